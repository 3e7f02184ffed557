package emit

import "furrow/emit/machine"

// Check returns an error unless the machine can do the moves: they stay on its
// bed or in its field, outside every keepOut (left, bottom, right, top, mm from
// X0 Y0; added to the profile's own), and within its speeds and power. Where
// several things are wrong the error joins them; each has a Hint method.
func Check(m Moves, p machine.Profile, keepOut ...[4]float64) error {
	switch {
	case p.Kind == machine.KindGalvo && p.Galvo != nil:
		return checkField(m, p)
	case p.Kind == machine.KindGantry && p.Gantry != nil:
		return checkGantry(m, p, keepOut)
	}
	return nil
}
