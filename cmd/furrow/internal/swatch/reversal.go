package swatch

import (
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
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
	combAbove  = 5.0 + 3.2 // the longest tooth, and the name of the comb
	combBelow  = 5.0 + 2.6 // and the numbers
	combSide   = 2.5
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
		return nil, fault.Usagef("%s is a %s: rows marked backwards are measured on a gantry", s.Machine.ID, s.Machine.Kind).
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
	wide := []float64{}
	high := 0.0
	width, total := 2*edge, 2*edge
	for _, a := range g.cols() {
		b := combBox(a, step)
		wide, high = append(wide, b.W()), max(high, b.H())
		width += b.W() + 2
	}
	g.title = wrapped(g.titleItems(), titleHigh, max(narrowest, width-2*edge))
	total += float64(len(g.title))*leading*titleHigh + float64(len(g.rws()))*(high+1)
	c := Card{Spec: s, Number: 1, Of: 1, Size: path.Point{X: max(narrowest+2*edge, width), Y: total}}
	if c.Size.X > g.room.X+1e-9 || c.Size.Y > g.room.Y+1e-9 {
		return nil, fault.Workf("the combs take %s x %s mm, and there are %s x %s mm", words.Decimal(c.Size.X, 1),
			words.Decimal(c.Size.Y, 1), words.Decimal(g.room.X, 1), words.Decimal(g.room.Y, 1)).
			Hintf("take fewer speeds or angles, or a larger blank")
	}
	g.lettered(&c)
	top := c.Size.Y - edge - float64(len(g.title))*leading*titleHigh
	for k, speed := range g.rws() {
		x := edge
		for i, angle := range g.cols() {
			box := combBox(angle, step)
			middle := path.Point{X: x + wide[i]/2, Y: top - float64(k)*(high+1) - high/2}
			zero := middle.Sub(box.Centre())
			if err := c.comb(Name(i, k), angle, speed, step, zero, asSet); err != nil {
				return nil, err
			}
			x += wide[i] + 2
		}
	}
	if len(c.Patches) == 0 {
		return nil, nothing(s, c.Out[0])
	}
	return []Card{c}, nil
}

// combBox is what a comb takes round the foot of its tooth 0, turned by its angle.
func combBox(degrees, step float64) path.Rect {
	r := path.EmptyRect()
	for _, p := range []path.Point{
		{X: -combBefore*(toothPitch+step) - combSide, Y: combAbove}, {X: combBehind*(toothPitch+step) + combSide, Y: -combBelow},
		{X: -combBefore*(toothPitch+step) - combSide, Y: -combBelow}, {X: combBehind*(toothPitch+step) + combSide, Y: combAbove},
	} {
		r = r.Include(path.Rotate(degrees).Apply(p))
	}
	return r
}

// comb adds a comb whose tooth 0 stands at a place: the teeth of rows marked forwards,
// those of rows marked backwards, the numbers, and its name.
func (c *Card) comb(name string, degrees, speed, step float64, at path.Point, asSet bool) error {
	m := path.Translate(at.X, at.Y).Mul(path.Rotate(degrees))
	fill, oneWay := c.Spec.atDose(speed), true
	fill.OneWay = &oneWay
	var planned *machine.Profile
	if !asSet {
		bare := c.Spec.Machine.Profile.WithoutLead()
		planned = &bare
	}
	for _, scale := range []struct {
		name          string
		degrees, sign float64
		pitch         float64
	}{{" there", degrees, 1, toothPitch}, {" back", degrees + 180, -1, toothPitch + step}} {
		p := Patch{
			Name: name + scale.name, Profile: planned,
			Shows: fmt.Sprintf("teeth %s mm apart", words.Decimal(scale.pitch, 4)),
		}
		f := fill
		f.Angle = &value.Angles{scale.degrees}
		p.Fill = f
		if why := unfit(c.Spec.Machine.Profile, p, settingOf(f, c.Spec.Machine)); why != "" {
			c.Out = append(c.Out, Left{name, why})
			return nil
		}
		shapes, box := teeth(scale.sign, scale.pitch, m)
		c.add(p, box, shapes)
	}
	for k := -combBefore; k <= combBehind; k += 10 {
		at := m.Apply(path.Point{X: float64(k) * (toothPitch + step), Y: -5.0 - 0.6 - combLabel/2})
		c.Labels = append(c.Labels, Label{Text: words.Decimal(float64(k)*step, 3), At: at, HighMM: combLabel, Anchor: 0.5, Turn: degrees})
	}
	power, _ := KindOf("power")
	p, _ := power.Of(fill)
	text := fmt.Sprintf("%s  %s mm/s  %s", name, words.Decimal(speed, 2), power.Words(p))
	c.Labels = append(c.Labels, Label{Text: text, At: m.Apply(path.Point{X: -combBefore * toothPitch, Y: 5.0 + 1.8}), HighMM: 1.6, Turn: degrees})
	return nil
}

// teeth are those of one scale: longer at each fifth, longest at 0.
func teeth(sign, pitch float64, m path.Matrix) (shapes []path.Shape, box path.Rect) {
	box = path.EmptyRect()
	for k := -combBefore; k <= combBehind; k++ {
		high := toothHigh
		switch {
		case k == 0:
			high = 5
		case k%5 == 0:
			high = 4.2
		}
		x := float64(k) * pitch
		r := path.Rect{Min: path.Point{X: x - toothWide/2, Y: math.Min(0, sign*high)}, Max: path.Point{X: x + toothWide/2, Y: math.Max(0, sign*high)}}
		for _, s := range square(r) {
			s.Path = s.Path.Transform(m)
			shapes = append(shapes, s)
			box = box.Union(s.Path.Bounds())
		}
	}
	return shapes, box
}

func reversalReading(f File, name string) []string {
	return []string{
		"In each comb find the tooth above that stands straight over its partner below, and read the number below it, in mm; between two numbers count by the step.",
		fmt.Sprintf("Set it for each speed, as speed=offset: furrow machines set %s --reversal 150=0.3,300=0.45", f.Machine),
		"The card is marked without any correction, so the reading is the whole offset. To prove it: furrow swatch reversal --as-set, on which the long teeth meet.",
		"A turned comb reads along its own rows: its label stands along them too.",
	}
}
