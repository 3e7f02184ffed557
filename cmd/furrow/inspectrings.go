package main

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"path/filepath"
	"slices"

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
	rows := program(&r.Rows)
	if len(rows.Points) == 0 {
		return fault.Workf("nothing in %s is marked, so there is no picture", name)
	}
	o := density.Options{
		Show: density.ShowFinish, MarkWidthMM: r.Rows.Spacing,
		Tones: []color.RGBA{{150, 150, 150, 255}}, // light enough for rings to stand out
		Blank: art.Page, BlankName: "page", Inches: value.Or(c.units, "mm") == "in",
		Rings: append(f.Bridges.rings(page.Circle, "bridge"), f.Gaps.rings(page.DashedCircle, "gap")...),
	}
	o.Caption.Name = filepath.Base(name)
	o.Caption.Facts = []string{words.Size(art.Page), fmt.Sprintf("mark %s mm wide", words.Decimal(r.MarkWidth, 4))}
	o.Caption.Facts = append(o.Caption.Facts, f.Bridges.fact("thinnest bridge")...)
	o.Caption.Facts = append(o.Caption.Facts, f.Gaps.fact("smallest gap")...)
	o.CloseUps = f.closeUps()
	if len(o.CloseUps) > 0 {
		o.Caption.Facts = append(o.Caption.Facts, "insets "+words.Decimal(o.CloseUps[0].WideMM, 2)+" mm wide")
	}
	o.Caption.Facts = append(o.Caption.Facts, f.notRinged()...)
	f.Picture = c.out.Path
	return drawTo(a, c.out, rows, o)
}

// closest is how many of the narrowest places a picture shows magnified.
const closest = 5

// closeUps returns those, the narrowest first.
func (f *findings) closeUps() (all []density.CloseUp) {
	type place struct {
		thinFound
		what string
	}
	var places []place
	for _, kind := range []struct {
		narrowFound
		what string
	}{{f.Bridges, "bridge"}, {f.Gaps, "gap"}} {
		for _, t := range kind.places() {
			places = append(places, place{t, kind.what})
		}
	}
	slices.SortStableFunc(places, func(a, b place) int { return cmp.Compare(a.WidthMM, b.WidthMM) })
	places = places[:min(len(places), closest)]
	for _, p := range places {
		all = append(all, density.CloseUp{
			At: path.Point{X: p.AtMM[0], Y: p.AtMM[1]}, WideMM: f.closeUpMM(places[len(places)-1].WidthMM),
			Label: fmt.Sprintf("%d: %s %.2f mm", p.Number, p.what, p.WidthMM),
		})
	}
	return all
}

// closeUpMM is how much an inset shows: four times the widest of the places, or eight marks
// side by side where that is less, in halves of a millimetre.
func (f *findings) closeUpMM(widest float64) float64 {
	return math.Ceil(2*min(4*widest, 8*f.MarkMM)) / 2
}

// notRinged says how many places have no ring, where that is not all of them.
func (f *findings) notRinged() []string {
	more := max(0, len(f.Bridges.places())-mostRings) + max(0, len(f.Gaps.places())-mostRings)
	if more == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%s not ringed, wider than the others", words.Plural(more, "more place"))}
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

// program makes a stroke of every span of the rows, all of one setting, as if by marks
// as wide as the rows are apart: those reach half their width past both ends.
func program(set *path.RowSet) path.Program {
	p := path.Program{Settings: make([]path.Setting, 1)}
	for k := range set.NumRows() {
		for _, s := range set.Row(k) {
			end := min(set.Spacing, s.X1-s.X0) / 2
			p.Append(path.Stroke{}, set.At(k, s.X0+end), set.At(k, s.X1-end))
		}
	}
	return p
}
