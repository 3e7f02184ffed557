package emit

import (
	"errors"

	"furrow/emit/machine"
	"furrow/path"
)

// Check returns an error unless the machine can do the moves: they stay on its
// bed or in its field, outside every keepOut (mm from X0 Y0; added to the
// profile's own), and within its speeds and power. Where
// several things are wrong the error joins them; each has a Hint method.
func Check(m Moves, p machine.Profile, keepOut ...path.Rect) error {
	switch {
	case p.IsGalvo() && !p.TakesList():
		return errors.Join(checkField(m, p), checkGalvoCode(m, p))
	case p.IsGalvo():
		return checkField(m, p)
	case p.IsGantry():
		return checkGantry(m, p, keepOut)
	}
	return nil
}
