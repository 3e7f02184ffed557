package page

import (
	"image"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
)

// Drawn returns the page as its SVG and PDF hold it, lines as lines, in pixels.
func (p *Page) Drawn() *image.RGBA {
	return rasterizer.Draw(p.vector(), canvas.DPMM(1/p.sheet.unit), nil)
}
