package swatch

import (
	"fmt"
	"math"

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
	rampTicks = 20
	tickHigh  = 1.5
	longTick  = 3
)

// rampCard is one line over a blank that is tilted, with ticks that tell the height at
// each place from that in the middle.
func rampCard(r Request) ([]Card, error) {
	if r.Columns.Given() || r.Rows.Given() {
		return nil, fault.Usagef("a ramp varies nothing but the height").Hintf("say with --rise how much higher the right end lies")
	}
	apart := value.Spacing{MM: 1}
	r.Fill.Spacing = &apart
	s, err := r.begin("ramp", noAxis, func(*settings.Machine) Axis { return axisOf("angle", 0) })
	if err != nil {
		return nil, err
	}
	s.Rows, s.Fill, s.varied = Axis{}, single(s.Fill), []string{"spacing"}
	rise := float64(value.Or(r.RiseMM, rampRise))
	s.Remarks = []string{fmt.Sprintf("rise %s mm to the right", words.Decimal(rise, 2)), "mm above the middle", "read: the thinnest place"}
	return s.ramp(rise)
}

func noAxis(*settings.Machine) Axis { return Axis{} }

func (s Spec) ramp(rise float64) ([]Card, error) {
	room := roomOf(s)
	long := math.Min(rampLong, room.X-2*edge-6)
	if long < 20 {
		return nil, fault.Workf("a card of %s mm is too narrow for a ramp", words.Decimal(room.X, 1)).Hintf("use a longer blank")
	}
	g := grid{Spec: s, room: room}
	g.title = wrapped(g.titleItems(), titleHigh, long)
	c := Card{Spec: s, Number: 1, Of: 1}
	c.Size = path.Point{X: long + 2*edge + 6, Y: float64(len(g.title))*leading*titleHigh + 2*edge + 9}
	if c.Size.Y > room.Y {
		return nil, fault.Workf("a card of %s mm is too low for a ramp", words.Decimal(room.Y, 1)).Hintf("use a higher blank")
	}
	g.lettered(&c)
	left, y := edge+3.0, edge+6.0
	for i := range rampTicks + 1 {
		t := float64(i) / rampTicks
		x, high := left+long*t, tickHigh
		if i%5 == 0 {
			high = longTick
			h := words.Decimal(rise*(t-0.5), 2)
			c.label(h, path.Point{X: x, Y: y - longTick - 1 - 1.2}, 1.6, 0.5)
		}
		c.Lines = append(c.Lines, Polyline{{X: x, Y: y - 0.8}, {X: x, Y: y - 0.8 - high}})
	}
	box := path.Rect{Min: path.Point{X: left, Y: y - 0.25}, Max: path.Point{X: left + long, Y: y + 0.25}}
	p := Patch{Name: "A1", Fill: s.Fill}
	if why := unfit(s.Machine.Profile, p, settingOf(s.Fill, s.Machine)); why != "" {
		return nil, nothing(s, Left{"the line", why})
	}
	c.add(p, box, square(box))
	return []Card{c}, nil
}

// lettered adds the title at the top of a card.
func (g *grid) lettered(c *Card) {
	for i, line := range g.title {
		c.label(line, path.Point{X: edge, Y: c.Size.Y - edge - titleHigh/2 - float64(i)*leading*titleHigh}, titleHigh, 0)
	}
}

// add puts a patch of any shape in its place.
func (c *Card) add(p Patch, box path.Rect, shapes []path.Shape) {
	p.Box, p.Shapes, p.Fill = box, shapes, asFiled(p.Fill, c.Spec.Machine)
	c.Patches = append(c.Patches, p)
}

func rampReading(f File, name string) []string {
	return []string{
		"Tilt the blank: its right end higher by the rise on the card than its left, the middle at the height that you take for the focus.",
		"Under a loupe: find the thinnest place of the line. The number at the ticks there is how much higher the focus is than that.",
		fmt.Sprintf("Set the height by that, mark again, and keep it: furrow machines set %s focus_height_mm=HEIGHT", f.Machine),
		"The width of the line there is the spot: furrow swatch width reads it more finely.",
	}
}
