package swatch

import (
	"math"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// Calibration is a card that is read for a value of a recipe or a profile.
type Calibration struct {
	Word, What string
	Make       func(Request) ([]Card, error)
	Reading    func(f File, name string) []string
}

// Calibrations lists them in the sequence in which a new machine is measured.
func Calibrations() []Calibration {
	return []Calibration{
		{Word: "focus", What: "thin lines at stepped heights: where the focus is", Make: focusCard,
			Reading: focusReading},
		{Word: "width", What: "lines at falling spacing: how wide a mark is", Make: widthCard, Reading: widthReading},
		{Word: "ramp", What: "one line over a tilted blank: where the focus is, at one go", Make: rampCard,
			Reading: rampReading},
		{Word: "reversal", What: "two scales of teeth: how far rows marked backwards land from their place",
			Make: reversalCard, Reading: reversalReading},
		{Word: "delays", What: "a pattern for each of a galvo's delays, in steps", Make: delaysCard,
			Reading: delaysReading},
		{Word: "power", What: "patches of one dose at falling percent: what the source truly gives", Make: powerCard,
			Reading: powerReading},
	}
}

// CalibrationOf returns the card of a word.
func CalibrationOf(word string) (Calibration, error) {
	var words []string
	for _, c := range Calibrations() {
		if c.Word == word {
			return c, nil
		}
		words = append(words, c.Word)
	}
	return Calibration{}, fault.Usagef("swatch: unknown card %q", word).Hintf("%s", fault.Suggest(word, words))
}

// begin settles a request whose axes a card has of its own, unless they are given.
func (r Request) begin(kind string, columns, rows func(*settings.Machine) Axis) (Spec, error) {
	m, err := r.machine()
	if err != nil {
		return Spec{}, err
	}
	if !r.Columns.Given() {
		r.Columns = columns(m)
	}
	if !r.Rows.Given() {
		r.Rows = rows(m)
	}
	s, err := r.Spec()
	s.Kind = kind
	return s, err
}

// only refuses a card that varies something else than it is made for.
func (r Request) only(kind string, columns, rows string) error {
	for _, a := range []struct {
		axis Axis
		flag string
		may  string
	}{{r.Columns, "--columns", columns}, {r.Rows, "--rows", rows}} {
		if a.axis.Given() && a.axis.Kind.Word != a.may {
			return fault.Usagef("%s: the card for %s varies %s there, not %s", a.flag, kind, a.may, a.axis.Kind.Word)
		}
	}
	return nil
}

func axisOf(word string, values ...float64) Axis {
	k, _ := KindOf(word)
	a := Axis{Kind: k}
	for _, v := range values {
		if v = k.rounded(v); !slices.Contains(a.Values, v) {
			a.Values = append(a.Values, v)
		}
	}
	return a
}

// bothWays are lines along X and along Y.
func bothWays(*settings.Machine) Axis { return axisOf("angle", 0, 90) }

// atDose returns the fill at another speed, with the power that keeps its dose as far as
// the source has it.
func (s Spec) atDose(speed float64) job.Fill {
	f := s.Fill
	if f.Speed != nil && f.Power != nil {
		p := float64(*f.Power) * speed / float64(*f.Speed)
		p = min(100, max(p, s.Machine.Laser.FloorPercent, 1))
		f.Power = value.Given(value.Number(math.Ceil(10*p) / 10))
	}
	f.Speed = value.Given(value.Number(speed))
	return f
}

// single makes a fill of lines that each stand for themselves.
func single(f job.Fill) job.Fill {
	one, none := value.Count(1), value.Number(0)
	f.Passes, f.Cross, f.PassTurn, f.MarkWidth = &one, &none, &none, nil
	return f
}
