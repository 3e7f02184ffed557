package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
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
	return &correction{Points: len(p.Galvo.Samples), ResidualRMSMM: r.RMSMM, ResidualWorstMM: r.WorstMM,
		WorstAtMM: [2]float64{at.X, at.Y}, MeasuringErrorMM: p.Galvo.MeasuringErrorMM}
}

func (c *correction) words() string {
	s := fmt.Sprintf("corrected by %d points; residual %s mm, at most %s mm (at %g, %g mm)", c.Points,
		words.Decimal(c.ResidualRMSMM, 4), words.Decimal(c.ResidualWorstMM, 4), c.WorstAtMM[0], c.WorstAtMM[1])
	if c.MeasuringErrorMM > 0 {
		return s + fmt.Sprintf("; measured to %g mm", c.MeasuringErrorMM)
	}
	return s + "; the profile names no measuring_error_mm"
}
