package main

import (
	"fmt"
	"image/color"
	"path/filepath"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
	"furrow/path/inspect"
	"furrow/raster/density"
	"furrow/raster/page"
)

// mostRings is how many places of a kind a picture rings.
const mostRings = 400

// draw writes the picture of what is marked with the narrow places ringed.
func (c *inspectFlags) draw(a *app, name string, art path.Artwork, r inspect.Report, f *findings) error {
	rows := program(r.Rows)
	if len(rows.Points) == 0 {
		return fault.Workf("nothing in %s is marked, so there is no picture", name)
	}
	o := density.Options{
		Show: density.ShowFinish, MarkWidthMM: r.Rows[0].Spacing,
		Tones: []color.RGBA{{150, 150, 150, 255}}, // light enough for rings to stand out
		Blank: art.Page, BlankName: "page", Inches: value.Or(c.units, "mm") == "in",
		Rings: append(f.Bridges.rings(page.Circle, "bridge"), f.Gaps.rings(page.DashedCircle, "gap")...),
	}
	o.Caption.Name = filepath.Base(name)
	o.Caption.Facts = []string{words.Size(art.Page), fmt.Sprintf("mark %s mm wide", words.Decimal(r.MarkWidth, 4))}
	o.Caption.Facts = append(o.Caption.Facts, f.Bridges.fact("thinnest bridge")...)
	o.Caption.Facts = append(o.Caption.Facts, f.Gaps.fact("smallest gap")...)
	f.Picture = c.out.Path
	return drawTo(a, c.out, rows, o)
}

func (n narrowFound) fact(what string) []string {
	if n.Narrowest == nil {
		return nil
	}
	return []string{fmt.Sprintf("%s %.2f mm", what, n.Narrowest.WidthMM)}
}

// rings returns those of the places, with the numbers of the list.
func (n narrowFound) rings(p page.Pattern, what string) (rings []page.Ring) {
	label := what + " too thin"
	if len(n.TooThin) == 0 {
		label = "narrowest " + what
	}
	places := n.places()
	for i, t := range places[:min(len(places), mostRings)] {
		r := page.Ring{At: path.Point{X: t.AtMM[0], Y: t.AtMM[1]}, Pattern: p, Label: label}
		if i < numberedPlaces {
			r.Number = fmt.Sprint(t.Number)
		}
		rings = append(rings, r)
	}
	return rings
}

// program makes a stroke of every span of the rows, all of one setting.
func program(sets []path.RowSet) path.Program {
	p := path.Program{Settings: make([]path.Setting, 1)}
	for i := range sets {
		for k := range sets[i].NumRows() {
			for _, s := range sets[i].Row(k) {
				p.Append(path.Stroke{}, sets[i].At(k, s.X0), sets[i].At(k, s.X1))
			}
		}
	}
	return p
}
