package emit

import (
	"errors"
	"fmt"

	"furrow/emit/machine"
	"furrow/path"
)

// checkGantry plays the moves once.
func checkGantry(m Moves, p machine.Profile, keepOut []path.Rect) error {
	c := gantryChecker{profile: p, gantry: *p.Gantry, course: course{work: path.EmptyRect()}}
	byHand := p.Gantry.Zero == machine.ZeroByHand
	c.bed = BedError{Machine: p.ID, Bed: p.Gantry.Bed(), ByHand: byHand, Travel: path.EmptyRect()}
	if c.bed.ByHand {
		c.bed.Travel = path.Rect{}
	}
	c.boxes = append(p.Gantry.KeepOut(), keepOut...)
	c.entered = make([]*KeepOutError, len(c.boxes))
	for mv, err := range m.All() {
		if err == nil {
			err = c.move(mv)
		}
		if err != nil {
			return err
		}
	}
	return c.verdict()
}

type gantryChecker struct {
	profile machine.Profile
	gantry  machine.Gantry
	boxes   []path.Rect
	n       int
	at      path.Point
	course  course
	bed     BedError // once it is true
	offBed  bool
	speed   *SpeedError
	power   *PowerError
	stops   *StopError
	last    Move
	lastDir path.Point      // of unit length, where it moved
	entered []*KeepOutError // by box
}

func (c *gantryChecker) move(mv Move) error {
	if !mv.To.Finite() || !mv.Centre.Finite() {
		return fmt.Errorf("move %d goes to %g, %g", c.n, mv.To.X, mv.To.Y)
	}
	c.bed.Travel = c.bed.Travel.Include(mv.To)
	if mv.Turn != Straight {
		c.bed.Travel = c.bed.Travel.Union(mv.Bounds(c.at))
	}
	c.course.add(c.at, mv)
	c.checkBed()
	c.checkSpeed(mv)
	c.checkPower(mv)
	c.checkStops(mv)
	for i, box := range c.boxes {
		c.checkBox(i, box, mv)
	}
	c.at = mv.To
	c.n++
	return nil
}

// checkBed takes the travel so far, in which by hand X0 Y0 is part of it.
func (c *gantryChecker) checkBed() {
	if c.offBed {
		return
	}
	c.bed.Move = c.n
	c.offBed = len(c.bed.sides()) > 0
}

// speedSlack allows for the rounding of feeds and of directions, relative.
const speedSlack = 1e-4

func (c *gantryChecker) checkSpeed(mv Move) {
	slow := min(c.gantry.MaxSpeedMMPerS[0], c.gantry.MaxSpeedMMPerS[1])
	if mv.Kind != Mark && mv.Kind != Gap || mv.Speed <= slow || mv.To == c.at {
		return
	}
	limit := slow
	if mv.Turn == Straight {
		d := mv.To.Sub(c.at)
		limit = c.gantry.MaxSpeed(d.Mul(1 / d.Len()))
	}
	if mv.Speed <= limit*(1+speedSlack) {
		return
	}
	if c.speed == nil {
		c.speed = &SpeedError{Machine: c.profile.ID, Move: c.n, Asked: mv.Speed, Max: limit}
	}
}

func (c *gantryChecker) checkPower(mv Move) {
	floor := c.profile.Laser.FloorPercent / 100
	if mv.Kind != Mark || mv.Power > 0 && mv.Power >= floor && mv.Power <= 1 {
		return
	}
	if c.power == nil {
		c.power = &PowerError{Machine: c.profile.ID, Move: c.n, Power: mv.Power, Floor: floor}
	}
	c.power.Count++
}

// checkStops finds spans of rows on a controller that stops at every change of power:
// marks in line with a beam-off run, or with a mark of another power.
func (c *gantryChecker) checkStops(mv Move) {
	d := mv.To.Sub(c.at)
	if c.profile.Controller().PowerChange != machine.PowerStops || mv.Turn != Straight || d == (path.Point{}) {
		return
	}
	dir, last := d.Mul(1/d.Len()), c.last
	c.last = mv
	inLine := c.lastDir.Dot(dir) > inLineCos
	c.lastDir = dir
	fed := (last.Kind == Mark || last.Kind == Gap) && (mv.Kind == Mark || mv.Kind == Gap)
	if !fed || !inLine || last.Power == mv.Power {
		return
	}
	if c.stops == nil {
		c.stops = &StopError{Machine: c.profile.ID, Move: c.n}
	}
	c.stops.Count++
}

// inLineCos allows for what rounding to the grid does to the direction of spans of a few
// micrometres.
const inLineCos = 0.7

// checkBox keeps the deepest entry into each box. An arc counts by its bounds.
func (c *gantryChecker) checkBox(i int, box path.Rect, mv Move) {
	deep := depth(clip(c.at, mv, box), box)
	if deep <= slackMM {
		return
	}
	e := c.entered[i]
	if e == nil {
		e = &KeepOutError{Move: c.n, Box: box}
		c.entered[i] = e
	}
	e.Depth = max(e.Depth, deep)
}

// helpBed finds what would bring the travel onto the bed, now that all of it is
// known.
func (c *gantryChecker) helpBed(e *BedError) {
	work, bed := sizeOf(c.course.work), sizeOf(e.Bed)
	d := LeastShift(c.course.work, c.room())
	d = path.Point{X: onGrid(d.X), Y: onGrid(d.Y)}
	switch {
	case c.onBed(d):
		e.Fits, e.Shift, e.Clear = true, d, c.course.keepsClear(d, c.boxes)
	case fits(path.Point{X: work.Y, Y: work.X}, bed):
		e.Turned = true
	}
}

// room returns where work that is no larger than the bed may lie: with zero by
// hand anywhere that leaves X0 Y0 on the bed too.
func (c *gantryChecker) room() path.Rect {
	if !c.bed.ByHand {
		return c.bed.Bed
	}
	size := sizeOf(c.bed.Bed)
	return path.Rect{Min: size.Mul(-1), Max: size}
}

// onBed reports that the whole travel fits the bed when the work is moved by d.
func (c *gantryChecker) onBed(d path.Point) bool {
	b := c.bed
	b.Travel = c.course.work.Move(d)
	if b.ByHand || c.course.back {
		b.Travel = b.Travel.Include(path.Point{})
	}
	return len(b.sides()) == 0
}

// helpKeepOut finds the shortest movement along an axis that takes the work out
// of a box and leaves the head clear of all of them, and on the bed.
func (c *gantryChecker) helpKeepOut(e *KeepOutError) {
	e.Zero = e.Box.Min.X < 0 && e.Box.Max.X > 0 && e.Box.Min.Y < 0 && e.Box.Max.Y > 0
	for _, way := range exits(c.course.work, e.Box) {
		mm := onGrid(way.mm)
		d := way.dir.Mul(mm)
		if mm > 0 && (e.Clear == 0 || mm < e.Clear) && c.onBed(d) && c.course.keepsClear(d, c.boxes) {
			e.Clear, e.Side = mm, way.side
		}
	}
}

func (c *gantryChecker) verdict() error {
	var errs []error
	if c.offBed {
		c.helpBed(&c.bed)
		errs = append(errs, &c.bed)
	}
	for _, e := range c.entered {
		if e != nil {
			c.helpKeepOut(e)
			errs = append(errs, e)
		}
	}
	if c.speed != nil {
		errs = append(errs, c.speed)
	}
	if c.power != nil {
		errs = append(errs, c.power)
	}
	if c.stops != nil {
		errs = append(errs, c.stops)
	}
	if len(errs) == 1 {
		return errs[0]
	}
	return errors.Join(errs...)
}
