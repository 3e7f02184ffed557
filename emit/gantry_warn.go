package emit

import (
	"fmt"
	"math"
	"slices"

	"furrow/emit/machine"
	"furrow/path"
)

// RowWarning is something that a gantry may do to rows.
type RowWarning struct {
	Cause   RowCause
	Message string
}

// RowCause is what makes rows uneven.
type RowCause uint8

// The causes.
const (
	Stagger         RowCause = iota // rows go both ways, and nothing has been measured; one way would do
	UnevenSteps                     // the spacing is no whole number of motor steps
	ShortOvertravel                 // the head is not at speed where a row begins
)

// RowWarnings says what a gantry may do to the rows of a program: stagger where
// nothing has been measured, uneven spacing, overtravel that is too short.
func RowWarnings(prog path.Program, p machine.Profile) []RowWarning {
	if !p.IsGantry() {
		return nil
	}
	g := *p.Gantry
	directions := rowDirections(prog)
	var all []RowWarning
	if text := stagger(g, prog.Settings, directions); text != "" {
		all = append(all, RowWarning{Stagger, text})
	}
	for _, r := range directions {
		s := prog.Settings[r.setting]
		for _, w := range []RowWarning{
			{UnevenSteps, unevenSteps(g, r.dir, s.SpacingMM)},
			{ShortOvertravel, shortOvertravel(g, r.dir, s.SpeedMMPerS)},
		} {
			if w.Message != "" && !slices.Contains(all, w) {
				all = append(all, w)
			}
		}
	}
	return all
}

// rowDirection is a direction in which rows of a setting lie.
type rowDirection struct {
	setting  uint16
	degrees  int64      // to X, in hundredths, 0 to 18000
	dir      path.Point // of unit length, of the first stroke
	bothWays bool
	back     bool // the first stroke goes backwards
}

// rowDirections lists the directions of the spans in prog.
func rowDirections(prog path.Program) []rowDirection {
	var all []rowDirection
	for i, s := range prog.Strokes {
		if s.Kind != path.SpanStroke || s.Len < 2 {
			continue
		}
		pts := prog.PointsOf(i)
		d := pts[1].Sub(pts[0])
		if d == (path.Point{}) {
			continue
		}
		all = addDirection(all, s.Setting, d)
	}
	return all
}

func addDirection(all []rowDirection, setting uint16, d path.Point) []rowDirection {
	dir := d.Mul(1 / d.Len())
	back := !machine.Forward(dir)
	degrees := int64(math.Round(100 * math.Mod(180/math.Pi*math.Atan2(dir.Y, dir.X)+180, 180)))
	for i := range all {
		if r := &all[i]; r.setting == setting && r.degrees == degrees {
			r.bothWays = r.bothWays || r.back != back
			return all
		}
	}
	return append(all, rowDirection{setting: setting, degrees: degrees, dir: dir, back: back})
}

// What an unmeasured machine may do, from memory: a beam that comes half a
// millisecond late, and a tenth of a millimetre of lost motion.
const (
	unknownLatencyS  = 500e-6
	unknownBacklashM = 0.1
)

// stagger tells of all speeds at once, of several the least and the greatest.
func stagger(g machine.Gantry, settings []path.Setting, all []rowDirection) string {
	slow, fast := math.Inf(1), 0.0
	for _, r := range all {
		if r.bothWays {
			v := settings[r.setting].SpeedMMPerS
			slow, fast = min(slow, v), max(fast, v)
		}
	}
	if g.Measured() || math.IsInf(slow, 1) {
		return ""
	}
	worst := func(v float64) float64 { return 2*v*unknownLatencyS + unknownBacklashM }
	less := ""
	if slow < fast {
		less = fmt.Sprintf(", %.2g mm at %.4g mm/s", worst(slow), slow)
	}
	return fmt.Sprintf("forward and return rows may be misaligned by up to %.2g mm at %.4g mm/s%s: "+
		"the profile has neither latency nor backlash", worst(fast), fast, less)
}

// wholeStep is how far a spacing may be from a whole number of motor steps.
const wholeStep = 0.02

func unevenSteps(g machine.Gantry, dir path.Point, spacing float64) string {
	axis, name := 1, "Y"
	if math.Abs(dir.X) < machine.Still {
		axis, name = 0, "X"
	} else if math.Abs(dir.Y) > machine.Still {
		return "" // both axes step
	}
	perMM := g.StepsPerMM[axis]
	steps := spacing * perMM
	if math.Abs(steps-math.Round(steps)) <= wholeStep { // as where one of them is not known
		return ""
	}
	near := max(1, math.Round(steps)) / perMM
	return fmt.Sprintf("a spacing of %.5g mm is %.4g motor steps of %s, so rows will lie unevenly; "+
		"%.5g mm is a whole number",
		spacing, steps, name, near)
}

func shortOvertravel(g machine.Gantry, dir path.Point, v float64) string {
	if g.OvertravelMM == 0 {
		return ""
	}
	set := g.OvertravelMM
	g.OvertravelMM, g.OvertravelMarginMM = 0, 0
	need := g.RunUp(dir, v)
	if need <= set {
		return ""
	}
	return fmt.Sprintf("an overtravel of %.4g mm, set by hand, is less than the %.4g mm in which "+
		"the head reaches %.4g mm/s: the ends of rows are marked too slowly, and burn deeper", set, need, v)
}
