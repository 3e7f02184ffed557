package view

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/raster/density"
)

// addHeat adds the highest rise that each place of the blank sees, with the most of
// the beam that it may take in.
func (s *Subject) addHeat(o *density.Options) error {
	e, err := s.heat()
	if err != nil {
		return err
	}
	m := e.Map
	rise := make([]float32, len(m.Highest))
	for i, v := range m.Highest {
		rise[i] = float32(e.Most) * v
	}
	o.Heat = density.HeatMap{Rect: m.Rect, NX: m.NX, NY: m.NY, RiseK: rise}
	fact := fmt.Sprintf("an estimate, with %s %% of the beam taken in", words.Decimal(100*e.Most, 0))
	if e.From == "" {
		fact = "an estimate, as if all of the beam were taken in"
	}
	o.Caption.Facts = append(append([]string(nil), o.Caption.Facts...), fact)
	return nil
}
