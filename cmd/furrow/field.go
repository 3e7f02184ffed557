package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// correction says how a galvo's field is corrected, for hatch --json.
type correction struct {
	Points           int        `json:"points"`
	ResidualRMSMM    float64    `json:"residual_rms_mm"`
	ResidualWorstMM  float64    `json:"residual_worst_mm"`
	WorstAtMM        [2]float64 `json:"worst_at_mm"` // as commanded
	MeasuringErrorMM float64    `json:"measuring_error_mm,omitempty"`
}

// correctionOf returns nil where the field has no grid of measured points.
func correctionOf(p machine.Profile) *correction {
	r, ok := p.Residual()
	if !ok {
		return nil
	}
	at := r.Worst.Commanded
	return &correction{len(p.Galvo.Samples), r.RMSMM, r.WorstMM, [2]float64{at.X, at.Y}, p.Galvo.MeasuringErrorMM}
}

func (c *correction) words() string {
	s := fmt.Sprintf("corrected by %d points; residual %s mm, at most %s mm (at %g, %g mm)", c.Points,
		decimal(c.ResidualRMSMM, 4), decimal(c.ResidualWorstMM, 4), c.WorstAtMM[0], c.WorstAtMM[1])
	if c.MeasuringErrorMM > 0 {
		return s + fmt.Sprintf("; measured to %g mm", c.MeasuringErrorMM)
	}
	return s + "; the profile names no measuring_error_mm"
}

// fieldHint says what to do about work that leaves a galvo's field, and names the
// galvos whose field would do.
func fieldHint(fe *emit.FieldError) string {
	if asIs, _ := fe.FitsIn(fe.Field); asIs {
		return fe.Hint()
	}
	all, err := allMachines()
	if err != nil {
		return fe.Hint() // whose error another command tells
	}
	if wider := fieldsFor(fe, all); len(wider) > 0 {
		return fe.Hint() + "; machines whose field holds it: " + strings.Join(wider, ", ")
	}
	return fe.Hint() + "; no other galvo that furrow knows has a field that holds it"
}

// fieldsFor lists the galvos other than the one that refused the work in whose
// field it fits, the smallest field first.
func fieldsFor(fe *emit.FieldError, all []machineFile) []string {
	all = slices.DeleteFunc(slices.Clone(all), func(m machineFile) bool { return m.Galvo == nil || m.ID == fe.Machine })
	slices.SortStableFunc(all, func(a, b machineFile) int { return cmp.Compare(area(a.Galvo.FieldMM), area(b.Galvo.FieldMM)) })
	var fit []string
	for _, m := range all {
		name := fmt.Sprintf("%s (%g x %g mm)", m.ID, m.Galvo.FieldMM[0], m.Galvo.FieldMM[1])
		switch asIs, turned := fe.FitsIn(path.Point{X: m.Galvo.FieldMM[0], Y: m.Galvo.FieldMM[1]}); {
		case asIs:
			fit = append(fit, name)
		case turned:
			fit = append(fit, name+" turned by 90 degrees")
		}
	}
	return fit
}

func area(size [2]float64) float64 { return size[0] * size[1] }
