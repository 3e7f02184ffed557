package svg_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
)

// family is artwork of one package that is not icons of one colour, from the folder
// that FURROW_DATA names: npm's packages as they are, Debian's unpacked in .debian.
type family struct {
	name, pattern string
	files         int     // compared, evenly among all
	least         float64 // share of them that must pass
}

var families = []family{
	{"clip art", ".debian/usr/share/openclipart/svg/*/*.svg", 60, 0.97},
	{"clip art in folders", ".debian/usr/share/openclipart/svg/*/*/*.svg", 60, 0.97},
	{"game themes", ".debian/usr/share/k*/themes/*.svg* .debian/usr/share/granatier/*/*.svgz", 10, 0.85},
	{"playing cards", ".debian/usr/share/carddecks/*/*.svgz", 8, 0.5},
	{"playing cards, one a file", "@younestouati/playing-cards-standard-deck/cards/*.svg", 20, 0.97},
	{"desktop icons in colour", ".debian/usr/share/icons/Tango/scalable/*/*.svg", 30, 0.95},
	{"emoji", "@twemoji/svg/*.svg", 60, 0.97},
	{"flags with emblems", "flag-icons/flags/4x3/*.svg", 40, 0.97},
	{"round flags", "circle-flags/flags/*.svg", 30, 0.97},
	{"illustrations", "@gravity-ui/illustrations/svgs/*.svg", 30, 0.97},
	{"street scenes", "@streetmix/illustrations/images/*/*.svg", 40, 0.97},
	{"weather, animated", "@bybas/weather-icons/production/fill/all/*.svg", 30, 0.97},
	{"maps", "@svg-maps/*/*.svg", 1, 1},
}

// outcome is one file compared.
type outcome struct {
	file     string
	share    float64 // of the painted pixels that are marked, and the other way round
	noFont   bool
	warnings []path.Warning
	err      error
}

const passes = 0.985

// The marked region is what librsvg paints: laid over white, a pixel is painted
// where a channel is below 0.96. FURROW_FAMILY picks one by name, FURROW_MORE
// compares so many times as many files.
func TestFamiliesAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	outside.Slow(t)
	for _, f := range families {
		if one := os.Getenv("FURROW_FAMILY"); one != "" && one != f.name {
			continue
		}
		t.Run(f.name, func(t *testing.T) {
			var all []string
			for pattern := range strings.FieldsSeq(f.pattern) {
				all = append(all, outside.Files(t, pattern, 1)...)
			}
			list := evenly(all, f.files*max(1, envInt(t, "FURROW_MORE", 1)))
			good, judged := 0, 0
			for _, o := range compareFiles(list) {
				switch {
				case o.noFont:
					t.Logf("%.4f %s: its font is not at hand", o.share, o.file)
					continue
				case o.err != nil:
					t.Logf("%s: %v", o.file, o.err)
				case o.share < passes:
					t.Logf("%.4f %s %s", o.share, o.file, summary(o.warnings))
				default:
					good++
				}
				judged++
			}
			t.Logf("%s: %d of %d", f.name, good, judged)
			assert.GreaterOrEqual(t, float64(good), f.least*float64(judged))
		})
	}
}

func summary(list []path.Warning) string {
	var s []string
	for _, w := range list[:min(3, len(list))] {
		s = append(s, w.String())
	}
	return strings.Join(s, " | ")
}

// evenly takes n of a list.
func evenly(list []string, n int) []string {
	if len(list) <= n {
		return list
	}
	var out []string
	for i := range n {
		out = append(out, list[i*len(list)/n])
	}
	return out
}

// compareFiles compares on two goroutines.
func compareFiles(files []string) []outcome {
	out := make([]outcome, len(files))
	var wg sync.WaitGroup
	for part := range 2 {
		wg.Go(func() {
			for i := part; i < len(files); i += 2 {
				out[i] = compareFile(files[i])
			}
		})
	}
	wg.Wait()
	return out
}

// pictureSize is the longer side of a picture, in pixels.
const pictureSize = 320

func compareFile(file string) (o outcome) {
	o.file = file
	data, err := os.ReadFile(file)
	if err != nil {
		o.err = err
		return o
	}
	doc, err := svg.Read(bytes.NewReader(data), svg.Options{Fonts: []fs.FS{os.DirFS("/usr/share/fonts")}})
	if err != nil {
		o.err = err
		return o
	}
	o.warnings = doc.Warnings
	o.noFont = slices.ContainsFunc(doc.Fonts, func(f path.Font) bool { return f.Used == "" })
	ours, err := marked(doc.Artwork)
	if err != nil {
		o.err = err
		return o
	}
	theirs, err := rsvg(data, ours.w, ours.h)
	if err != nil {
		o.err = fmt.Errorf("librsvg: %w", err)
		return o
	}
	o.share = overlap(ours, theirs.ink())
	return o
}

// plate is which pixels of a picture are marked.
type plate struct {
	w, h int
	on   []bool
}

// marked hatches an artwork, four rows a pixel, and asks the middle of each pixel.
func marked(art path.Artwork) (*plate, error) {
	k := pictureSize / max(art.Page.W(), art.Page.H())
	if !(k > 0) || math.IsInf(k, 0) {
		return nil, errors.New("it paints nothing")
	}
	p := &plate{w: max(1, int(math.Round(art.Page.W()*k))), h: max(1, int(math.Round(art.Page.H()*k)))}
	p.on = make([]bool, p.w*p.h)
	group := hatch.Group{Setting: path.Setting{SpacingMM: 1 / k / 4}, MarkWidth: path.MinSpacing}
	marks, _, err := hatch.Fill(art, hatch.Settings{Groups: []hatch.Group{group}, Workers: 1})
	if err != nil {
		return nil, err
	}
	for i := range marks.Rows {
		r := &marks.Rows[i]
		for n := range r.NumRows() {
			y := (art.Page.Max.Y - r.At(n, 0).Y) * k
			row := int(math.Floor(y))
			if row < 0 || row >= p.h || math.Abs(y-float64(row)-0.5) > 0.126 {
				continue
			}
			for _, s := range r.Row(n) {
				x0, x1 := (r.At(n, s.X0).X-art.Page.Min.X)*k, (r.At(n, s.X1).X-art.Page.Min.X)*k
				for x := max(0, int(math.Ceil(x0-0.5))); x < p.w && float64(x)+0.5 < x1; x++ {
					p.on[row*p.w+x] = true
				}
			}
		}
	}
	return p, nil
}

// ink is which pixels of a picture are painted.
func (p *picture) ink() *plate {
	out := &plate{w: p.w, h: p.h, on: make([]bool, p.w*p.h)}
	for i, c := range p.rgb {
		out.on[i] = min(c[0], c[1], c[2]) < 0.96
	}
	return out
}

// overlap is the share of the pixels marked in either on which both agree. Those
// beside an edge in either are forgiven.
func overlap(a, b *plate) float64 {
	if a.w != b.w || a.h != b.h {
		return 0
	}
	either, same := 0, 0
	for i := range a.on {
		if !a.on[i] && !b.on[i] {
			continue
		}
		either++
		if a.on[i] == b.on[i] || a.edgeAt(i%a.w, i/a.w) || b.edgeAt(i%a.w, i/a.w) {
			same++
		}
	}
	if either == 0 {
		return 1
	}
	return float64(same) / float64(either)
}

func (p *plate) edgeAt(x, y int) bool {
	for v := max(0, y-1); v <= min(p.h-1, y+1); v++ {
		for u := max(0, x-1); u <= min(p.w-1, x+1); u++ {
			if p.on[v*p.w+u] != p.on[y*p.w+x] {
				return true
			}
		}
	}
	return false
}
