package better

import (
	"cmp"
	"slices"
)

// Improvement is a change that makes a machine quicker, and its drawback.
type Improvement struct {
	Change   string  `json:"change"`
	Seconds  float64 `json:"seconds"`            // of one part with it
	Saved    float64 `json:"saved_s"`            // of one part
	Hours    float64 `json:"saved_hours"`        // of the quantity
	Drawback string  `json:"drawback,omitempty"` // in quality or dose
}

// improve looks for what would make the quickest machines quicker.
func (t *Comparison) improve(step func()) error {
	for _, e := range t.Looked() {
		if err := t.improveOne(e, step); err != nil {
			return err
		}
	}
	return nil
}

func (t *Comparison) improveOne(e *Entry, step func()) error {
	b := done{*e.Work}
	v, change, drawback, err := b.quicker(t.sameDose)
	if err != nil {
		return err
	}
	if v != nil {
		e.note(t.Quantity, *v, change, drawback)
	}
	ways, err := b.otherWays()
	if err != nil {
		return err
	}
	for _, o := range ways {
		step()
		v, err := b.variant(o)
		if err != nil {
			return err
		}
		if v != nil {
			e.note(t.Quantity, *v, o.change, o.drawback(b, *v))
		}
	}
	slices.SortStableFunc(e.Better, func(x, y Improvement) int { return cmp.Compare(y.Saved, x.Saved) })
	return nil
}

// note adds a way to do the work, if it is worth it.
func (e *Entry) note(quantity int, v done, change, drawback string) {
	b := done{*e.Work}
	saved := b.Clock.Total() - v.Clock.Total()
	if !b.worth(saved) {
		return
	}
	e.Better = append(e.Better, Improvement{
		Change: change, Seconds: v.Clock.Total().Seconds(), Saved: saved.Seconds(),
		Hours: saved.Seconds() * float64(quantity) / 3600, Drawback: drawback,
	})
}
