package emit

import (
	"errors"
	"iter"

	"furrow/emit/machine"
	"furrow/path"
)

// OfGCode returns moves that were read from G-code as those of their machine. Of a galvo
// they get its field and delays, which G-code has no words for: the controller keeps
// them, and the profile tells what they are. Those of a gantry are returned as they are.
func OfGCode(m Moves, p machine.Profile) (Moves, error) {
	if !p.IsGalvo() || p.TakesList() {
		return m, nil
	}
	h := galvoHeader(p)
	m.Header.Field, m.Header.GCode = h.Field, true
	_, needed, err := newFieldMap(p)
	if err != nil {
		return m, err
	}
	m.Header.Corrected = needed
	if len(m.Settings) == 0 { // a file that marks nothing
		m.Settings = []path.Setting{{SpeedMMPerS: p.Galvo.MaxSpeedMMPerS}}
	}
	m.Scanner = p.Scanners(m.Settings)
	m.Play = withNextSetting(m.All())
	return m, nil
}

// withNextSetting gives what leads to a mark the mark's setting, as it has when it is
// planned: a jump, and what is between it and the mark. What runs out of a mark keeps
// that of the mark.
func withNextSetting(moves iter.Seq2[Move, error]) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		var ahead []Move // from a jump on
		last := uint16(0)
		pass := func(setting uint16) bool {
			for _, mv := range ahead {
				mv.Setting = setting
				if !yield(mv, nil) {
					return false
				}
			}
			ahead = ahead[:0]
			return true
		}
		for mv, err := range moves {
			switch {
			case err != nil:
				pass(last)
				yield(mv, err)
				return
			case mv.Kind == Mark:
				if last = mv.Setting; !pass(last) || !yield(mv, nil) {
					return
				}
			case mv.Kind == Travel || len(ahead) > 0:
				ahead = append(ahead, mv)
			default:
				mv.Setting = last
				if !yield(mv, nil) {
					return
				}
			}
		}
		pass(last)
	}
}

// checkGalvoCode returns an error unless the source and the scanner can do the moves of
// a file of G-code. Of a list its own reader judges that.
func checkGalvoCode(m Moves, p machine.Profile) error {
	fast := SpeedError{Machine: p.ID, Max: p.Galvo.MaxSpeedMMPerS}
	weak := PowerError{Machine: p.ID, Floor: p.Laser.FloorPercent / 100}
	i := 0
	for mv, err := range m.All() {
		if err != nil {
			return err
		}
		if mv.Speed > fast.Max && fast.Asked == 0 {
			fast.Move, fast.Asked = i, mv.Speed
		}
		if mv.Kind == Mark && (mv.Power > 1 || mv.Power < weak.Floor || mv.Power <= 0) {
			if weak.Count++; weak.Count == 1 {
				weak.Move, weak.Power = i, mv.Power
			}
		}
		i++
	}
	var all []error
	if fast.Asked > 0 {
		all = append(all, &fast)
	}
	if weak.Count > 0 {
		all = append(all, &weak)
	}
	return errors.Join(all...)
}
