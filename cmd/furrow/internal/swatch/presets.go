package swatch

import (
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/pulse"
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
		{"focus", "thin lines at stepped heights: where the focus is", focusCard, focusReading},
		{"width", "lines at falling spacing: how wide a mark is", widthCard, widthReading},
		{"ramp", "one line over a tilted blank: where the focus is, at one go", rampCard, rampReading},
		{"reversal", "two scales of teeth: how far rows marked backwards land from their place", reversalCard, reversalReading},
		{"delays", "a pattern for each of a galvo's delays, in steps", delaysCard, delaysReading},
		{"power", "patches of one dose at falling percent: what the source truly gives", powerCard, powerReading},
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

// widthCard has lines whose spacing falls from column to column, along X and along Y.
func widthCard(r Request) ([]Card, error) {
	if err := r.only("width", "spacing", "angle"); err != nil {
		return nil, err
	}
	spacing := value.Spacing{MM: 1} // which the columns vary
	r.Fill.Spacing = value.First(r.Fill.Spacing, &spacing)
	s, err := r.begin("width", func(m *settings.Machine) Axis {
		spot := max(m.Laser.SpotMM[0], m.Laser.SpotMM[1])
		k, _ := KindOf("spacing")
		a := Axis{Kind: k, Ratios: true, from: 3 * spot, to: 0.4 * spot}
		a.Values = a.spread(10)
		return a
	}, bothWays)
	if err != nil {
		return nil, err
	}
	s.Fill = single(s.Fill)
	s.Remarks = []string{"read: where bare gaps end"}
	return Grid(s)
}

func widthReading(f File, name string) []string {
	return []string{
		"Under a loupe, in each row: find the widest spacing at which no bare material shows between the lines.",
		"That spacing, from the head of its column, is the width of a mark: in the row of 0 degrees across Y, in that of 90 across X.",
		fmt.Sprintf("In the recipe: furrow recipes save NAME --recipe NAME --mark-width WIDTH --force%s", ofRecipe(f)),
		fmt.Sprintf("In the profile: furrow machines set %s spot_mm=X,Y with the widths across X and across Y, of the weakest power that still marks.", f.Machine),
	}
}

func ofRecipe(f File) string {
	if f.Recipe == "" {
		return ""
	}
	return " (the card is of " + f.Recipe + ")"
}

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
	z := math.Sqrt(3) * pulse.RayleighMM(m.Laser.WavelengthNM, min(m.Laser.SpotMM[0], m.Laser.SpotMM[1]), max(1, m.Laser.M2))
	step := max(0.1, math.Round(10*z/3)/10)
	return axisOf("focus", -3*step, -2*step, -step, 0, step, 2*step, 3*step)
}

func focusReading(f File, name string) []string {
	return []string{
		"Set the height that you take for the focus, and call it 0; for each row set its height from there (more: farther from the lens), then go on.",
		"Under a loupe: find the row whose lines are thinnest both ways. Its height is where the focus is.",
		fmt.Sprintf("Measure from the lens, or from what you set by, to the material there: furrow machines set %s focus_height_mm=HEIGHT", f.Machine),
		"Where the thinnest lines along X and along Y lie in different rows, the beam is astigmatic: take the row between.",
	}
}

// powerCard has a column for each percent and a row for each share of it that the source
// may truly give: the speed is such that a patch gets the dose of the reference, in the
// first column at full power, if its row tells the truth.
func powerCard(r Request) ([]Card, error) {
	if err := r.only("power", "power", "share"); err != nil {
		return nil, err
	}
	s, err := r.begin("power", func(*settings.Machine) Axis {
		return axisOf("power", 100, 80, 60, 50, 40, 30, 20, 10)
	}, func(*settings.Machine) Axis {
		return axisOf("share", 130, 115, 100, 90, 80, 70, 60, 50, 40)
	})
	if err != nil {
		return nil, err
	}
	speed, _ := KindOf("speed")
	power, _ := KindOf("power")
	v, had := speed.Of(s.Fill)
	p, set := power.Of(s.Fill)
	if !had || !set {
		return nil, fault.Usagef("the card needs a speed and power that mark the material").Hintf("add --speed and --power, or --recipe")
	}
	full := min(v*100/p, settings.TopSpeed(s.Machine.Profile)/1.3)
	s.Columns.Values = append([]float64{100}, slices.DeleteFunc(s.Columns.Values, func(p float64) bool { return p == 100 })...)
	s.cell = func(f job.Fill, percent, share float64) job.Fill {
		if percent == 100 {
			share = 100 // the reference
		}
		return speed.With(power.With(f, percent), tidied(full*percent/100*share/100))
	}
	s.varied = []string{"speed"}
	s.Remarks = []string{"column A: reference", "read: what looks like A"}
	return Grid(s)
}

func powerReading(f File, name string) []string {
	return []string{
		"Column A is the reference: full power, all patches alike.",
		"In each further column find the patch that looks like column A. The head of its row is the share of the percent that the source truly gives.",
		fmt.Sprintf("furrow machines set %s --power-curve 80=SHARE,60=SHARE,... with a pair for each column, percent=share", f.Machine),
		"Where all lie in the row of 100, the source follows its percentage: there is nothing to set.",
	}
}
