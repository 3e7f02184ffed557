package emit

import (
	"fmt"
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// driven is a setting at one of the powers that its strokes have.
type driven struct {
	setting uint16
	power   float64
}

// withFileSettings returns the program with its settings as a list has them: rounded,
// one for each power of its strokes, without those that no stroke with a length uses,
// and with those that a list cannot tell apart made one, under the first one's name.
func withFileSettings(prog path.Program, p machine.Profile) (path.Program, error) {
	used := usedPowers(&prog, p.StepsPerMM())
	q := path.Program{Points: prog.Points, Rests: prog.Rests}
	index, merged := map[driven]uint16{}, map[path.Setting]uint16{}
	for i, set := range prog.Settings {
		for _, power := range used[i] {
			set.Power = power
			rounded := p.Rounded(set)
			key := path.Setting{SpeedMMPerS: rounded.SpeedMMPerS, Power: rounded.Power,
				FrequencyHz: rounded.FrequencyHz, PulseNS: rounded.PulseNS, Air: rounded.Air && !p.TakesList()}
			n, ok := merged[key]
			if !ok {
				if len(q.Settings) > math.MaxUint16 {
					return q, fmt.Errorf("more than %d settings: use fewer powers", math.MaxUint16)
				}
				n = uint16(len(q.Settings))
				merged[key] = n
				q.Settings = append(q.Settings, rounded)
			}
			index[driven{uint16(i), power}] = n
		}
	}
	q.Strokes = withSettings(&prog, used, index)
	return q, nil
}

// withSettings returns the strokes by the settings of the file: the program's own
// where nothing changes.
func withSettings(prog *path.Program, used [][]float64, index map[driven]uint16) []path.Stroke {
	same := true
	for i, powers := range used {
		same = same && len(powers) == 1 && index[driven{uint16(i), powers[0]}] == uint16(i)
	}
	if same {
		return prog.Strokes
	}
	var strokes []path.Stroke
	for i, s := range prog.Strokes {
		n, ok := index[driven{s.Setting, prog.PowerOf(i)}]
		if ok {
			s.Setting = n
			strokes = append(strokes, s)
		}
	}
	return strokes
}

// usedPowers lists the powers of each setting's strokes that have a length.
func usedPowers(prog *path.Program, stepsPerMM float64) [][]float64 {
	used := make([][]float64, len(prog.Settings))
	seen := map[driven]bool{}
	var last driven
	for i, s := range prog.Strokes {
		d := driven{s.Setting, prog.PowerOf(i)}
		if d == last && len(seen) > 0 || seen[d] || !hasLength(prog.PointsOf(i), stepsPerMM) {
			continue
		}
		seen[d], last = true, d
		used[s.Setting] = append(used[s.Setting], d.power)
	}
	return used
}
