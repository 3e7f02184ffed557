package swatch

import (
	"fmt"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// The measures of a comb, mm: two scales of teeth, of which the lower one, marked
// backwards, has them farther apart by the step that is read.
const (
	toothPitch = 1.0
	toothWide  = 0.3
	toothHigh  = 3.4
	combBefore = 10 // teeth before the one that is read as 0
	combBehind = 20
	combLabel  = 1.3 // of the numbers' capitals
	combStep   = 0.05
	longTooth  = 5.0
	fifthTooth = 4.2
	combAbove  = longTooth + 3.2 // and the name of the comb
	combBelow  = longTooth + 2.6 // and the numbers
	combSide   = 2.5
	combGap    = 1.5 // from comb to comb
)

// reversalCard has a comb for each speed and angle. Its rows are planned without any
// correction, so that what is read is the whole offset.
func reversalCard(r Request) ([]Card, error) {
	if err := r.only("reversal", "angle", "speed"); err != nil {
		return nil, err
	}
	s, err := r.begin("reversal", func(*settings.Machine) Axis { return axisOf("angle", 0) }, speedsOf(r))
	if err != nil {
		return nil, err
	}
	if !s.Machine.IsGantry() {
		return nil, fault.Usagef("%s is a %s: rows marked backwards are measured on a gantry", s.Machine.ID,
			s.Machine.Kind).
			Hintf("furrow swatch delays measures a galvo's row ends")
	}
	step := float64(value.Or(r.StepMM, combStep))
	s.Remarks = []string{"upper teeth there, lower back", "read: mm where teeth meet"}
	s.Fill, s.varied = single(s.Fill), []string{"power"}
	return s.combs(step, r.AsSet)
}

// speedsOf are those that a shop marks at: of the recipe, and half and a quarter of it.
func speedsOf(r Request) func(*settings.Machine) Axis {
	return func(m *settings.Machine) Axis {
		v := settings.TopSpeed(m.Profile) / 2
		if recipe, err := r.recipe(); err == nil && recipe != nil {
			v = recipe.SpeedMMPerS
		}
		if r.Fill.Speed != nil {
			v = float64(*r.Fill.Speed)
		}
		return axisOf("speed", v/4, v/2, v)
	}
}

// combs lays out a comb in each column and row.
func (s Spec) combs(step float64, asSet bool) ([]Card, error) {
	g := grid{Spec: s, room: roomOf(s)}
	high, wide := 0.0, 2*edge
	for _, a := range g.cols() {
		b := combBox(a, step)
		high, wide = max(high, b.H()+combGap), wide+b.W()+combGap
	}
	wide = max(narrowest, wide)
	g.title = wrapped(g.titleItems(), titleHigh, wide-2*edge)
	c := Card{Spec: s, Number: 1, Of: 1}
	c.Size = path.Point{X: wide, Y: 2*edge + g.titleHeight() + float64(len(g.rws()))*high}
	if err := g.holds(c.Size, "take fewer speeds or angles, or a larger blank"); err != nil {
		return nil, err
	}
	top := g.lettered(&c)
	for k, speed := range g.rws() {
		x := edge
		for i, degrees := range g.cols() {
			box := combBox(degrees, step)
			middle := path.Point{X: x + box.W()/2, Y: top - (float64(k)+0.5)*high}
			c.comb(comb{name: Name(i, k), degrees: degrees, speed: speed, step: step,
				at: middle.Sub(box.Centre()), asSet: asSet})
			x += box.W() + combGap
		}
	}
	if len(c.Patches) == 0 {
		return nil, nothing(s, c.Out[0])
	}
	return []Card{c}, nil
}

// comb is one of a card.
type comb struct {
	name    string
	degrees float64 // of its rows
	speed   float64
	step    float64    // that a tooth tells, mm
	at      path.Point // the foot of its tooth 0
	asSet   bool       // it is marked with the profile's own correction
}

// combBox is what a comb takes round the foot of its tooth 0, turned by its angle.
func combBox(degrees, step float64) path.Rect {
	r := path.EmptyRect()
	left, right := -combBefore*(toothPitch+step)-combSide, combBehind*(toothPitch+step)+combSide
	for _, p := range []path.Point{{X: left, Y: combAbove}, {X: right, Y: -combBelow}, {X: left, Y: -combBelow},
		{X: right, Y: combAbove}} {
		r = r.Include(path.Rotate(degrees).Apply(p))
	}
	return r
}

// comb adds a comb: the teeth of rows marked forwards, those of rows marked backwards, the
// numbers, and its name. Where the machine cannot mark it, it is left out.
func (c *Card) comb(b comb) {
	m := path.Translate(b.at.X, b.at.Y).Mul(path.Rotate(b.degrees))
	there := c.scale(b, " there", b.degrees)
	if why := unfit(c.Spec.Machine.Profile, there, settingOf(there.Fill, c.Spec.Machine)); why != "" {
		c.Out = append(c.Out, Left{b.name, why})
		return
	}
	c.teeth(there, 1, toothPitch, m)
	c.teeth(c.scale(b, " back", b.degrees+180), -1, toothPitch+b.step, m)
	for k := -combBefore; k <= combBehind; k += 10 {
		at := m.Apply(path.Point{X: float64(k) * (toothPitch + b.step), Y: -longTooth - 0.6 - combLabel/2})
		number := words.Decimal(float64(k)*b.step, 3)
		c.Labels = append(c.Labels, Label{Text: number, At: at, HighMM: combLabel, Anchor: 0.5, Turn: b.degrees})
	}
	power, _ := KindOf("power")
	p, _ := power.Of(there.Fill)
	text := fmt.Sprintf("%s  %s mm/s  %s", b.name, words.Decimal(b.speed, 2), power.Words(p))
	at := m.Apply(path.Point{X: -combBefore * toothPitch, Y: longTooth + 1.8})
	c.Labels = append(c.Labels, Label{Text: text, At: at, HighMM: 1.6, Turn: b.degrees})
}

// scale returns one of the two scales of a comb, whose rows run at an angle.
func (c *Card) scale(b comb, name string, degrees float64) Patch {
	p := Patch{Name: b.name + name, Fill: c.Spec.atDose(b.speed)}
	oneWay := true
	p.Fill.OneWay, p.Fill.Angle = &oneWay, &value.Angles{degrees}
	if !b.asSet {
		bare := c.Spec.Machine.Profile.WithoutLead()
		p.Profile = &bare
	}
	return p
}

// teeth adds those of one scale, up or down from its foot: longer at each fifth, longest
// at 0.
func (c *Card) teeth(p Patch, sign, pitch float64, m path.Matrix) {
	p.Shows = fmt.Sprintf("teeth %s mm apart", words.Decimal(pitch, 4))
	var shapes []path.Shape
	box := path.EmptyRect()
	for k := -combBefore; k <= combBehind; k++ {
		high := toothHigh
		switch {
		case k == 0:
			high = longTooth
		case k%5 == 0:
			high = fifthTooth
		}
		x := float64(k) * pitch
		r := path.EmptyRect().Include(path.Point{X: x - toothWide/2}).
			Include(path.Point{X: x + toothWide/2, Y: sign * high})
		for _, s := range square(r) {
			s.Path = s.Path.Transform(m)
			shapes, box = append(shapes, s), box.Union(s.Path.Bounds())
		}
	}
	c.add(p, box, shapes)
}

// offsets is what the card's speeds are set by, a pair for each: speed=offset.
func offsets(f File) string {
	var pairs []string
	for _, r := range []*AxisRecord{f.Columns, f.Rows} {
		for _, v := range r.axis().Values {
			if r.Setting == "speed" {
				pairs = append(pairs, words.Decimal(v, 4)+"=OFFSET")
			}
		}
	}
	return strings.Join(pairs, ",")
}

func reversalReading(f File, name string) []string {
	return []string{
		"In each comb find the tooth above that stands straight over its partner below, and read the number below " +
			"it, " +
			"in mm; between two numbers count by the step.",
		fmt.Sprintf("Set it for each speed, with the numbers read: furrow machines set %s --reversal %s", f.Machine,
			offsets(f)),
		"The card is marked without any correction, so the reading is the whole offset. To prove it: furrow swatch " +
			"reversal --as-set, on which the long teeth meet.",
		"A turned comb reads along its own rows: its label stands along them too.",
	}
}
