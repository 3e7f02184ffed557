package swatch

import (
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
)

// Choice is the settings that were chosen on a card, and where on it, in words.
type Choice struct {
	Fill job.Fill
	From string // "patch C4 of card.toml"
}

// Choose returns the settings of a patch.
func (f File) Choose(name, file string) (Choice, error) {
	p, err := f.Patch(name)
	return Choice{p.Fill(), fmt.Sprintf("patch %s of %s", p.Name, filepath.Base(file))}, err
}

// Between returns the middle of two patches, named "C4,C5": of each setting that the card
// varies by its own step, even or by ratios.
func (f File) Between(names, file string) (Choice, error) {
	one, other, ok := strings.Cut(names, ",")
	if !ok {
		return Choice{}, fault.Usagef("%q is not two patches: write C4,C5", names)
	}
	a, err := f.Patch(strings.TrimSpace(one))
	if err != nil {
		return Choice{}, err
	}
	b, err := f.Patch(strings.TrimSpace(other))
	if err != nil {
		return Choice{}, err
	}
	c := Choice{a.Fill(), fmt.Sprintf("between patches %s and %s of %s", a.Name, b.Name, filepath.Base(file))}
	if c.Fill, err = f.middle(a.Fill(), b.Fill()); err != nil {
		return Choice{}, err
	}
	return c, nil
}

// middle returns a fill between two that differ in numbers alone.
func (f File) middle(a, b job.Fill) (job.Fill, error) {
	mid := a
	for _, k := range Kinds {
		v, had := k.Of(a)
		w, has := k.Of(b)
		if had != has || v == w {
			continue
		}
		m := f.axisOf(k).middle(v, w)
		if k.whole && m != math.Round(m) {
			return mid, fault.Usagef("there is nothing between %s of %s and %s", k.Word, k.Words(v), k.Words(w)).
				Hintf("choose one of the two with --patch")
		}
		mid, a, b = k.With(mid, tidied(m)), k.With(a, 0), k.With(b, 0)
	}
	if !reflect.DeepEqual(a, b) {
		return mid, fault.Usagef("the two patches differ in more than numbers").Hintf("choose one of them with --patch")
	}
	return mid, nil
}

// axisOf returns the axis of the card that varies a setting.
func (f File) axisOf(k Kind) Axis {
	for _, r := range []*AxisRecord{f.Columns, f.Rows} {
		if a := r.axis(); a.Kind == k {
			return a
		}
	}
	return Axis{Kind: k}
}
