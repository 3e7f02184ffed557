package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
	"furrow/path/hatch"
)

// improvement is a change that makes a machine quicker, and its price.
type improvement struct {
	Change  string  `json:"change"`
	Seconds float64 `json:"seconds"`         // of one part with it
	Saved   float64 `json:"saved_s"`         // of one part
	Hours   float64 `json:"saved_hours"`     // of the quantity
	Price   string  `json:"price,omitempty"` // in quality or dose
}

// improve looks for what would make the quickest machines quicker.
func (t *comparison) improve(a *app, step func()) error {
	for _, e := range t.looked() {
		if err := t.improveOne(a, e, step); err != nil {
			return err
		}
	}
	return nil
}

func (t *comparison) improveOne(a *app, e *entry, step func()) error {
	b := e.b
	note := func(v *build, change, price string) {
		saved := b.clocked.Total() - v.clocked.Total()
		if !b.worth(saved) {
			return
		}
		e.Better = append(e.Better, improvement{change, v.clocked.Total().Seconds(), saved.Seconds(),
			saved.Seconds() * float64(t.Quantity) / 3600, price})
	}
	if v, change, price := b.quicker(t.sameDose); v != nil {
		note(v, change, price)
	}
	ways, err := b.otherWays()
	if err != nil {
		return err
	}
	for _, o := range ways {
		step()
		v, err := b.variant(a, o)
		if err != nil {
			return err
		}
		if v != nil {
			note(v, o.change, o.price(b, v))
		}
	}
	slices.SortStableFunc(e.Better, func(x, y improvement) int { return cmp.Compare(y.Saved, x.Saved) })
	return nil
}

// way is another way to do the work.
type way struct {
	change  string
	fill    func(part int, f *hatch.Part) // nil leaves the fill
	turned  bool                          // the part lies turned by 90 degrees
	quality string                        // what it costs, besides the dose
}

// quarterTurn turns the rows on the machine by 90 degrees, or the part, or both.
func quarterTurn(rows, part bool) way {
	w := way{turned: part}
	if rows {
		w.fill = func(_ int, f *hatch.Part) { f.Angles = turned(f.Angles, 90) }
	}
	return w
}

// as words a way.
func (o way) as(change, quality string) way {
	o.change, o.quality = change, quality
	return o
}

// price says what a variant costs.
func (o way) price(b, v *build) string {
	if b.hasDoseOf(v) {
		return o.quality + "; same dose"
	}
	return fmt.Sprintf("%s; dose %s in place of %s J/cm2", o.quality, words.Decimal(v.dose(), 1), words.Decimal(b.dose(), 1))
}

func (b *build) otherWays() ([]way, error) {
	if b.parts[0].Contours {
		return nil, nil // there are no rows to lay otherwise
	}
	all := []way{
		quarterTurn(true, false).as("rows turned by 90 degrees", "the lines run the other way"),
		quarterTurn(false, true).as("the part turned by 90 degrees, rows along the same axis", "the lines run the other way on the part"),
	}
	if slices.ContainsFunc(b.parts, func(f hatch.Part) bool { return f.Cross != 0 }) {
		all = append(all, way{"one direction of rows in place of two", func(_ int, f *hatch.Part) { f.Cross = 0 }, false, "the lines show"})
	}
	if f := b.parts[0]; f.MarkWidth > f.Setting.SpacingMM*1.05 {
		all = append(all, way{
			fmt.Sprintf("spacing as wide as a mark, %s mm", words.Decimal(f.MarkWidth, 4)),
			func(_ int, p *hatch.Part) { p.Setting.SpacingMM = max(p.Setting.SpacingMM, f.MarkWidth) }, false, "lines just meet",
		})
	}
	turn, err := b.bestAngle(0)
	if err != nil {
		return nil, b.unhatched(err)
	}
	if math.Mod(turn, 90) != 0 {
		all = append(all, b.rowsTurned(turn))
	}
	return all, nil
}

// rowsTurned is the way in which the rows of the whole run at another angle.
func (b *build) rowsTurned(degrees float64) way {
	f := b.parts[0]
	f.Angles = turned(f.Angles, degrees)
	return way{"rows at " + angleWords(f), func(part int, p *hatch.Part) {
		if part == 0 {
			p.Angles = f.Angles
		}
	}, false, "the lines run another way"}
}

// variant does the work in another way; nil where that does not fit.
func (b *build) variant(a *app, o way) (*build, error) {
	v := *b
	v.warnings = nil
	v.parts = slices.Clone(b.parts)
	if o.fill != nil {
		for i := range v.parts {
			o.fill(i, &v.parts[i])
		}
	}
	if o.turned {
		v.art = turnedPage(b.art, b.forGalvo())
	}
	marks, err := v.hatch()
	if err != nil {
		return nil, err
	}
	if err := v.sequence(a, marks); err != nil {
		return nil, err
	}
	if v.makeMoves() != nil {
		return nil, nil
	}
	return &v, nil
}

// turnedPage turns the page by a quarter and keeps its corner, or for a galvo its
// middle, in place.
func turnedPage(art path.Artwork, middle bool) path.Artwork {
	t := art.Transform(path.Rotate(90))
	from, to := t.Page.Min, art.Page.Min
	if middle {
		from, to = t.Page.Centre(), art.Page.Centre()
	}
	return t.Transform(path.Translate(to.X-from.X, to.Y-from.Y))
}
