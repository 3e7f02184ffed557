package swatch

import (
	"fmt"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// The measures of a ramp, mm.
const (
	rampLong  = 100 // of its line, where there is room
	rampRise  = 10  // of the blank from end to end
	leastRamp = 20
	rampSide  = 3  // left free beside it, for the numbers
	rampTicks = 20 // between the ends
	tickHigh  = 1.5
	longTick  = 3.0
)

// rampCard is one line over a blank that is tilted, with ticks that tell the height at
// each place from that in the middle.
func rampCard(r Request) ([]Card, error) {
	if r.Columns.Given() || r.Rows.Given() {
		return nil, fault.Usagef("a ramp varies nothing but the height").
			Hintf("say with --rise how much higher the right end lies")
	}
	apart := value.Spacing{MM: 1}
	r.Fill.Spacing = &apart
	s, err := r.begin("ramp", noAxis, func(*settings.Machine) Axis { return axisOf("angle", 0) })
	if err != nil {
		return nil, err
	}
	s.Rows, s.Fill, s.varied = Axis{}, single(s.Fill), []string{"spacing"}
	rise := float64(value.Or(r.RiseMM, rampRise))
	up := fmt.Sprintf("rise %s mm to the right", words.Decimal(rise, 2))
	s.Remarks = []string{up, "mm above the middle", "read: the thinnest place"}
	return s.ramp(rise)
}

func noAxis(*settings.Machine) Axis { return Axis{} }

func (s Spec) ramp(rise float64) ([]Card, error) {
	if why := unfit(s.Machine.Profile, Patch{Fill: s.Fill}, settingOf(s.Fill, s.Machine)); why != "" {
		return nil, nothing(s, Left{"the line", why})
	}
	g := grid{Spec: s, room: roomOf(s)}
	long := max(leastRamp, min(rampLong, g.room.X-2*edge-2*rampSide))
	g.title = wrapped(g.titleItems(), titleHigh, long)
	c := Card{Spec: s, Number: 1, Of: 1}
	c.Size = path.Point{X: long + 2*edge + 2*rampSide, Y: g.titleHeight() + 2*edge + 9}
	if err := g.holds(c.Size, "use a larger blank"); err != nil {
		return nil, err
	}
	g.lettered(&c)
	left := path.Point{X: edge + rampSide, Y: edge + 6}
	c.ticks(left, long, rise)
	const half = 0.25 // of the box in which the one row lies
	box := path.Rect{Min: left.Sub(path.Point{Y: half}), Max: left.Add(path.Point{X: long, Y: half})}
	c.add(Patch{Name: "A1", Fill: s.Fill}, box, square(box))
	return []Card{c}, nil
}

// ticks stand below the line, the long ones with their height.
func (c *Card) ticks(left path.Point, long, rise float64) {
	for i := range rampTicks + 1 {
		t := float64(i) / rampTicks
		at, high := left.Add(path.Point{X: long * t, Y: -0.8}), tickHigh
		if i%5 == 0 {
			high = longTick
			c.label(words.Decimal(rise*(t-0.5), 2), at.Sub(path.Point{Y: longTick + 1.4}), 1.6, 0.5)
		}
		c.Lines = append(c.Lines, Polyline{at, at.Sub(path.Point{Y: high})})
	}
}

// add puts a patch of any shape in its place.
func (c *Card) add(p Patch, box path.Rect, shapes []path.Shape) {
	p.Box, p.Shapes, p.Fill = box, shapes, asFiled(p.Fill, c.Spec.Machine)
	c.Patches = append(c.Patches, p)
}

func rampReading(f File, name string) []string {
	return []string{
		"Tilt the blank: its right end higher by the rise on the card than its left, the middle at the height that " +
			"you take for the focus.",
		"Under a loupe: find the thinnest place of the line. The number at the ticks there is how much higher the " +
			"focus is than that.",
		fmt.Sprintf("Set the height by that, mark again, and keep it: furrow machines set %s focus_height_mm=HEIGHT",
			f.Machine),
		"The width of the line there is the spot: furrow swatch width reads it more finely.",
	}
}
