package better

import (
	"errors"
	"fmt"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/path/hatch"
	"math"
	"slices"
)

// way is another way to do the work.
type way struct {
	change  string
	fill    func(group int, f *hatch.Group) // nil leaves the fill
	turned  bool                            // the part lies turned by 90 degrees
	quality string                          // what it costs, besides the dose
}

// quarterTurn turns the rows on the machine by 90 degrees, or the part, or both.
func quarterTurn(rows, part bool) way {
	w := way{turned: part}
	if rows {
		w.fill = func(_ int, f *hatch.Group) { f.Angles = turned(f.Angles, 90) }
	}
	return w
}

// as words a way.
func (o way) as(change, quality string) way {
	o.change, o.quality = change, quality
	return o
}

// drawback says what a variant costs.
func (o way) drawback(b, v done) string {
	if b.hasDoseOf(v) {
		return o.quality + "; same dose"
	}
	return fmt.Sprintf("%s; dose %s instead of %s J/cm2", o.quality, words.Number(v.dose(), 1),
		words.Number(b.dose(), 1))
}

func (b done) otherWays() ([]way, error) {
	if b.Groups[0].Contours {
		return nil, nil // there are no rows to lay otherwise
	}
	all := []way{
		quarterTurn(true, false).as("rows turned by 90 degrees", "the lines run the other way"),
		quarterTurn(false, true).as("the part turned by 90 degrees, rows along the same axis",
			"the lines run the other way on the part"),
	}
	if slices.ContainsFunc(b.Groups, func(f hatch.Group) bool { return f.Cross != 0 }) {
		all = append(all, way{change: "one direction of rows instead of two", fill: func(_ int, f *hatch.Group) {
			f.Cross = 0
		},
			quality: "single hatch, not crossed: lines visible"})
	}
	if f := b.Groups[0]; f.MarkWidth > f.Setting.SpacingMM*1.05 {
		all = append(all, way{
			change:  fmt.Sprintf("spacing as wide as a mark, %s mm", words.Number(f.MarkWidth, 4)),
			fill:    func(_ int, p *hatch.Group) { p.Setting.SpacingMM = max(p.Setting.SpacingMM, f.MarkWidth) },
			quality: "lines just meet",
		})
	}
	turn, err := b.rows().best(0)
	if err != nil {
		return nil, err
	}
	if math.Mod(turn, 90) != 0 {
		all = append(all, b.rowsTurned(turn))
	}
	return all, nil
}

// rowsTurned is the way in which the rows of the whole run at another angle.
func (b done) rowsTurned(degrees float64) way {
	f := b.Groups[0]
	f.Angles = turned(f.Angles, degrees)
	return way{change: "rows at " + work.AngleWords(f), fill: func(group int, p *hatch.Group) {
		if group == 0 {
			p.Angles = f.Angles
		}
	}, quality: "the lines run another way"}
}

// variant does the work in another way; nil where that does not fit the machine.
func (b done) variant(o way) (*done, error) {
	in := b.Input
	in.Observe.Stage = nil
	in.Groups = slices.Clone(b.Groups)
	if o.fill != nil {
		for i := range in.Groups {
			o.fill(i, &in.Groups[i])
		}
	}
	in.Turned = in.Turned != o.turned
	return unlessUnfit(work.Make(in))
}

// unlessUnfit returns no work, and no error, where the machine cannot do it.
func unlessUnfit(w work.Work, err error) (*done, error) {
	var unfit *work.UnfitError
	switch {
	case errors.As(err, &unfit):
		return nil, nil
	case err != nil:
		return nil, err
	}
	return &done{w}, nil
}
