package view

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/raster/density"
)

// addHeat adds the highest rise that each place of the blank sees, with the most of
// the beam that it may take in, and so many states of it for a film.
func (s *Subject) addHeat(o *density.Options, frames int) error {
	e, err := s.heat(frames)
	if err != nil {
		return err
	}
	m := e.Map
	o.Heat = density.HeatMap{Rect: m.Rect, NX: m.NX, NY: m.NY, RiseK: scaled(m.Highest, e.Most), EndS: e.Seconds}
	for _, f := range m.Frames {
		o.Heat.Frames = append(o.Heat.Frames, scaled(f, e.Most))
	}
	fact := fmt.Sprintf("an estimate, with %s %% of the beam taken in", words.Decimal(100*e.Most, 0))
	if e.From == "" {
		fact = "an estimate, as if all of the beam were taken in"
	}
	o.Caption.Facts = append(append([]string(nil), o.Caption.Facts...), fact)
	return nil
}

// scaled returns values times a factor.
func scaled(all []float32, by float64) []float32 {
	out := make([]float32, len(all))
	for i, v := range all {
		out[i] = float32(by) * v
	}
	return out
}
