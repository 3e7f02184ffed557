package swatch

import (
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/pulse"
)

// focusCard has a few thin lines each way at every height.
func focusCard(r Request) ([]Card, error) {
	if err := r.only("focus", "angle", "focus"); err != nil {
		return nil, err
	}
	apart := value.Spacing{MM: 1}
	r.Fill.Spacing = value.First(r.Fill.Spacing, &apart)
	s, err := r.begin("focus", bothWays, heights)
	if err != nil {
		return nil, err
	}
	s.Fill, s.varied = single(s.Fill), []string{"spacing"}
	s.Fill.Spacing = &apart
	s.Remarks = []string{"read: the thinnest lines"}
	return Grid(s)
}

// heights go as far from the focus as the beam takes to be twice as wide, and a little
// more, in steps that can be set by hand.
func heights(m *settings.Machine) Axis {
	spot := min(m.Laser.SpotMM[0], m.Laser.SpotMM[1])
	z := math.Sqrt(3) * pulse.RayleighMM(m.Laser.WavelengthNM, spot, max(1, m.Laser.M2))
	step := max(0.1, math.Round(10*z/3)/10)
	return axisOf("focus", -3*step, -2*step, -step, 0, step, 2*step, 3*step)
}

func focusReading(f File, name string) []string {
	return []string{
		"Set the height that you take for the focus, and call it 0; for each row set its height from there (more: " +
			"farther from the lens), then go on.",
		"Under a loupe: find the row whose lines are thinnest both ways. Its height is where the focus is.",
		fmt.Sprintf("Measure from the lens, or from what you set by, to the material there: furrow machines set %s "+
			"focus_height_mm=HEIGHT", f.Machine),
		"Where the thinnest lines along X and along Y lie in different rows, the beam is astigmatic: take the row " +
			"between.",
	}
}
