package swatch

import (
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"
)

// delay is one of a galvo's waits and gate shifts, with a pattern that shows whether it is
// right.
type delay struct {
	name, key string
	of        func(*machine.Galvo) *float64
	pattern   func() []Polyline
	hint      string // on the card
	read      string // on the paper
}

// cellMM is the side of a cell of the card, of which the patterns leave a little free.
const cellMM = 8

// delays are in the sequence in which they are read: each rests on those before.
var delays = []delay{
	{name: "laser on", key: "laser_on_delay_us", of: func(g *machine.Galvo) *float64 { return &g.LaserOnDelayUS },
		pattern: startsAtUpright,
		hint:    "longest, no gap", read: "the longest whose lines still begin at the upright, without a gap"},
	{name: "laser off", key: "laser_off_delay_us", of: func(g *machine.Galvo) *float64 { return &g.LaserOffDelayUS },
		pattern: endsAtUpright,
		hint:    "shortest, no gap", read: "the shortest whose lines reach the upright"},
	{name: "mark", key: "mark_delay_us", of: func(g *machine.Galvo) *float64 { return &g.MarkDelayUS },
		pattern: thereAndBack,
		hint:    "shortest, no hook", read: "the shortest whose lines end straight, without a hook to the next"},
	{name: "corner", key: "corner_delay_us", of: func(g *machine.Galvo) *float64 { return &g.CornerDelayUS },
		pattern: squareWave,
		hint:    "shortest, sharp", read: "the shortest whose corners are sharp, and not burnt"},
	{name: "short jump", key: "short_jump_delay_us", of: func(g *machine.Galvo) *float64 { return &g.ShortJumpDelayUS },
		pattern: closeStrokes,
		hint:    "shortest, straight", read: "the shortest whose short lines begin straight"},
	{name: "jump", key: "jump_delay_us", of: func(g *machine.Galvo) *float64 { return &g.JumpDelayUS },
		pattern: fromSideToSide,
		hint:    "shortest, straight", read: "the shortest whose short lines begin straight"},
}

func across(y, from, to float64) Polyline  { return Polyline{{X: from, Y: y}, {X: to, Y: y}} }
func upright(x, from, to float64) Polyline { return Polyline{{X: x, Y: from}, {X: x, Y: to}} }

func startsAtUpright() (all []Polyline) {
	all = append(all, upright(1, 0.5, cellMM-0.5))
	for y := 1.0; y < cellMM; y++ {
		all = append(all, across(y, 1, cellMM-1))
	}
	return all
}

func endsAtUpright() (all []Polyline) {
	all = append(all, upright(cellMM-1, 0.5, cellMM-0.5))
	for y := 1.0; y < cellMM; y++ {
		all = append(all, across(y, 1, cellMM-1))
	}
	return all
}

func thereAndBack() (all []Polyline) {
	from, to := 1.0, cellMM-1.0
	for y := 1.0; y < cellMM; y++ {
		all = append(all, across(y, from, to))
		from, to = to, from
	}
	return all
}

func squareWave() []Polyline {
	var p Polyline
	low, high := 1.0, cellMM-1.0
	for x := 0.5; x < cellMM; x++ {
		p = append(p, path.Point{X: x, Y: low}, path.Point{X: x, Y: high})
		low, high = high, low
	}
	return []Polyline{p}
}

func fromSideToSide() (all []Polyline) {
	for y := 0.5; y < cellMM-1; y++ {
		all = append(all, upright(1, y, y+0.7), upright(cellMM-1, y, y+0.7))
	}
	return all
}

func closeStrokes() (all []Polyline) {
	for y := 0.5; y < cellMM-1; y++ {
		for x := 1.0; x <= cellMM-1; x += 0.5 {
			all = append(all, upright(x, y, y+0.7))
		}
	}
	return all
}

// hintHigh is the height of the capitals of what a row says to read, mm.
const hintHigh = 1.2

// delayColumns is how many values of each delay a card has.
const delayColumns = 8

// delaysCard has a row for each delay of a galvo, in steps round what the profile has.
func delaysCard(r Request) ([]Card, error) {
	if r.Columns.Given() || r.Rows.Given() {
		return nil, fault.Usagef("the card of delays steps all six of them, round what the profile has")
	}
	r.Fill.Spacing = &value.Spacing{MM: 1} // there are no rows
	s, err := r.begin("delays", noAxis, bothWays)
	if err != nil {
		return nil, err
	}
	if !s.Machine.IsGalvo() {
		return nil, fault.Usagef("%s is a %s: delays are measured on a galvo", s.Machine.ID, s.Machine.Kind).
			Hintf("furrow swatch reversal measures what a gantry has in their place")
	}
	if !s.Machine.TakesList() {
		return nil, fault.Usagef("%s takes G-code, which has no words for delays: step them at the controller",
			s.Machine.ID)
	}
	s.Rows, s.Fill, s.varied = Axis{}, single(s.Fill), []string{"spacing"}
	only := "only"
	s.Fill.Outline, s.Fill.Spacing = &only, nil
	s.Remarks = []string{"microseconds, one delay a row", "read: as each row says"}
	return s.delays()
}

func (s Spec) delays() ([]Card, error) {
	if why := unfit(s.Machine.Profile, Patch{}, settingOf(s.Fill, s.Machine)); why != "" {
		return nil, nothing(s, Left{"the lines", why})
	}
	g := grid{Spec: s, room: roomOf(s)}
	for _, d := range delays { // wider than the delay's name above it
		g.rowHead = max(g.rowHead, width(d.hint, hintHigh))
	}
	const pitch, up = cellMM + 2.0, cellMM + 2.0 + leading*headHigh
	wide := 2*edge + g.rowHead + apart + delayColumns*pitch
	g.title = wrapped(g.titleItems(), titleHigh, wide-2*edge)
	c := Card{Spec: s, Number: 1, Of: 1}
	c.Size = path.Point{X: wide, Y: 2*edge + g.titleHeight() + float64(len(delays))*up}
	if err := g.holds(c.Size, "use a larger blank"); err != nil {
		return nil, err
	}
	top := g.lettered(&c)
	for k, d := range delays {
		g.delayRow(&c, k, d, path.Point{X: edge + g.rowHead, Y: top - float64(k+1)*up + 2})
	}
	return []Card{c}, nil
}

// delayRow letters what a delay is called and how its row is read, right of which its
// cells stand.
func (g *grid) delayRow(c *Card, k int, d delay, at path.Point) {
	c.label(d.name, at.Add(path.Point{Y: cellMM/2 + 1.2}), headHigh, 1)
	c.label(d.hint, at.Add(path.Point{Y: cellMM/2 - 1.6}), hintHigh, 1)
	for i, us := range d.steps(g.explicit()) {
		cell := at.Add(path.Point{X: apart + float64(i)*(cellMM+2.0)})
		c.label(words.Decimal(us, 0), cell.Add(path.Point{X: cellMM / 2, Y: cellMM + headHigh/2 + 0.3}), headHigh, 0.5)
		c.delay(Name(i, k), d, us, cell)
	}
}

// delay adds a cell whose pattern is planned with another value of a delay.
func (c *Card) delay(name string, d delay, us float64, at path.Point) {
	p := c.Spec.explicit()
	galvo := *p.Galvo
	*d.of(&galvo) = us
	if d.key == "jump_delay_us" {
		galvo.ShortJumpDelayUS = min(galvo.ShortJumpDelayUS, us)
	}
	galvo.JumpDelayUS = max(galvo.JumpDelayUS, galvo.ShortJumpDelayUS)
	galvo.MarkDelayUS = max(galvo.MarkDelayUS, galvo.LaserOffDelayUS-galvo.LaserOnDelayUS)
	p.Galvo = &galvo
	patch := Patch{Name: name, Fill: c.Spec.Fill, Profile: &p, Shows: fmt.Sprintf("%s=%s", d.key, words.Decimal(us, 0))}
	for _, l := range d.pattern() {
		moved := make(Polyline, len(l))
		for i, q := range l {
			moved[i] = q.Add(at)
		}
		patch.Strokes = append(patch.Strokes, moved)
	}
	box := path.Rect{Min: at, Max: at.Add(path.Point{X: cellMM, Y: cellMM})}
	c.add(patch, box, nil)
}

// explicit returns the profile with its delays as numbers, where they follow from the
// tracking lag.
func (s Spec) explicit() machine.Profile {
	p := s.Machine.Profile
	g, t := *p.Galvo, p.Scanner(settingOf(s.Fill, s.Machine))
	g.TrackingLagUS = 0
	g.LaserOnDelayUS, g.LaserOffDelayUS = float64(t.OnUS), float64(t.OffUS)
	g.JumpDelayUS, g.ShortJumpDelayUS = float64(t.JumpUS), float64(t.ShortJumpUS)
	g.ShortJumpMM = float64(t.ShortJumpSteps) / machine.GalvoStepsPerMM
	g.MarkDelayUS, g.CornerDelayUS = float64(t.MarkUS), float64(t.CornerUS)
	p.Galvo = &g
	return p
}

// steps are even, from a quarter to twice what the profile has. A mark delay below the
// time that the gate needs to close is no choice: the beam would be on in the jump.
func (d delay) steps(p machine.Profile) (all []float64) {
	g := p.Galvo
	now := *d.of(g)
	least := 0.0
	if d.key == "mark_delay_us" {
		least = max(0, g.LaserOffDelayUS-g.LaserOnDelayUS)
	}
	most := max(2*now, least+100)
	for i := range delayColumns {
		all = append(all, math.Round(least+(most-least)*float64(i+1)/delayColumns))
	}
	return all
}

func delaysReading(f File, name string) []string {
	steps := []string{"Read the rows from above; each delay rests on those before it. Under a loupe, the value " +
		"above the cell is"}
	for _, d := range delays {
		steps = append(steps, fmt.Sprintf("in row %q %s: furrow machines set %s %s=VALUE", d.name, d.read,
			f.Machine, d.key))
	}
	return append(steps, "Set them, mark the card again, and read it again: its steps then lie round what you set.")
}
