package sheet

import (
	"fmt"
	"image"

	"furrow/raster/paper"
)

// Picture is an image with its size at full scale, mm.
type Picture struct {
	Image  func() (image.Image, error)
	WMM    float64
	HMM    float64
	Legend string
}

// place draws the picture at true size where that fits high mm, and else smaller,
// which it says.
func (p Picture) place(d *paper.Document, size paper.Size, high float64) {
	if p.Image == nil || !(p.WMM > 0 && p.HMM > 0) {
		return
	}
	scale := p.scale(size, high)
	d.Picture(p.Image, p.WMM*scale, p.HMM*scale)
	legend := p.Legend
	if scale < 1 {
		legend += fmt.Sprintf(" Drawn at %.0f %% of true size.", 100*scale)
	}
	if legend != "" {
		d.Small(legend)
	}
}

// scale is at which the picture fits a page's width and high mm.
func (p Picture) scale(size paper.Size, high float64) float64 {
	room, _ := size.Room()
	return min(1, room/p.WMM, high/p.HMM)
}
