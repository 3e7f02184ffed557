package svg_test

import (
	"bytes"
	"math"
	"os"
	"slices"
	"testing"

	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

// marks rasterises what hatching marks: rows half a pixel apart, of which each row
// of pixels takes the nearest to its middle.
func marks(art path.Artwork, w int) (*picture, error) {
	p := &picture{w: w, scale: float64(w) / art.Page.W()}
	p.h = max(1, int(math.Round(art.Page.H()*p.scale)))
	p.rgb = make([][3]float64, w*p.h)
	for i := range p.rgb {
		p.rgb[i] = [3]float64{1, 1, 1}
	}
	pitch := min(max(0.5/p.scale, path.MinSpacing), path.MaxSpacing)
	m, _, err := hatch.Fill(art, hatch.Settings{Tolerance: pitch / 10, Workers: 1,
		Groups: []hatch.Group{{Setting: path.Setting{SpacingMM: pitch}}}})
	if err != nil {
		return nil, err
	}
	for i := range m.Rows {
		set := &m.Rows[i]
		for y := range p.h {
			at := art.Page.H() - (float64(y)+0.5)/p.scale
			k := int(math.Round((at - set.At(0, 0).Y) / set.Spacing))
			if k < 0 || k >= set.NumRows() {
				continue
			}
			for _, s := range set.Row(k) {
				for x := max(0, int(math.Ceil(s.X0*p.scale-0.5))); x < w && float64(x)+0.5 < s.X1*p.scale; x++ {
					p.rgb[y*w+x] = [3]float64{}
				}
			}
		}
	}
	for _, l := range m.Lines {
		p.line(l, art.Page.H())
	}
	return p, nil
}

// line blackens the pixels that a line runs through.
func (p *picture) line(l path.Line, top float64) {
	pts := l.Points
	if l.Closed {
		pts = append(slices.Clone(pts), pts[0])
	}
	for i := 1; i < len(pts); i++ {
		n := int(pts[i].Dist(pts[i-1])*p.scale*4) + 1
		for k := range n + 1 {
			q := pts[i-1].Lerp(pts[i], float64(k)/float64(n))
			if x, y := int(q.X*p.scale), int((top-q.Y)*p.scale); x >= 0 && y >= 0 && x < p.w && y < p.h {
				p.rgb[y*p.w+x] = [3]float64{}
			}
		}
	}
}

// seen makes a picture black where any channel is below 0.96, and white elsewhere.
func (p *picture) seen() *picture {
	q := &picture{w: p.w, h: p.h, rgb: make([][3]float64, len(p.rgb))}
	for i, c := range p.rgb {
		if min(c[0], c[1], c[2]) >= 0.96 {
			q.rgb[i] = [3]float64{1, 1, 1}
		}
	}
	return q
}

// What hatching marks must be what librsvg paints darker than bare: of every
// document about paint, and of flags, whose emblems have gradients and many colours.
func TestSeenAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	for name, inner := range paints {
		if same := seenAlike(t, []byte(on(inner)), 200); same < 0.985 {
			t.Errorf("%s: %.3f", name, same)
		}
	}
	files := outside.Files(t, "flag-icons/flags/4x3/*.svg", 200)
	low := 0
	for i := 0; i < len(files); i += 6 {
		text, err := os.ReadFile(files[i])
		require.NoError(t, err)
		if same := seenAlike(t, text, 240); same < 0.985 {
			t.Logf("%s: %.3f", files[i], same)
			low++
		}
	}
	require.LessOrEqual(t, low, 1, "of %d flags", len(files)/6)
}

func seenAlike(t *testing.T, text []byte, w int) float64 {
	t.Helper()
	doc, err := svg.Read(bytes.NewReader(text), svg.Options{})
	require.NoError(t, err)
	ours, err := marks(doc.Artwork, w)
	require.NoError(t, err)
	theirs, err := rsvg(text, ours.w, ours.h)
	require.NoError(t, err)
	return agreement(ours, theirs.seen())
}
