package emit

import (
	"errors"
	"fmt"

	"furrow/path"
)

// checkGantry plays the moves once.
func checkGantry(m Moves, p Profile, keepOut [][4]float64) error {
	c := gantryChecker{profile: p, gantry: *p.Gantry}
	c.bed = BedError{Machine: p.ID, Bed: p.Gantry.Bed(), ByHand: p.Gantry.Zero == ZeroByHand, Travel: path.EmptyRect(), Work: path.EmptyRect()}
	if c.bed.ByHand {
		c.bed.Travel = path.Rect{}
	}
	c.boxes = append(append(c.boxes, p.Gantry.KeepOutMM...), keepOut...)
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
	profile Profile
	gantry  Gantry
	boxes   [][4]float64
	n       int
	at      path.Point
	start   path.Point // of the work
	bed     BedError   // once it is true
	offBed  bool
	speed   *SpeedError
	power   *PowerError
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
	if mv.Kind != Travel {
		if c.bed.Work.Empty() {
			c.start = c.at
		}
		c.bed.Work = c.bed.Work.Include(c.at).Union(mv.Bounds(c.at))
	}
	c.checkBed()
	c.checkSpeed(mv)
	c.checkPower(mv)
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
	c.speed.Count++
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

// checkBox keeps the deepest entry into each box. An arc counts by its bounds.
func (c *gantryChecker) checkBox(i int, box [4]float64, mv Move) {
	in := clip(c.at, mv, box)
	if in.Empty() {
		return
	}
	depth := exits(in, box)[0].mm
	if depth <= slackMM {
		return
	}
	e := c.entered[i]
	if e == nil {
		e = &KeepOutError{Move: c.n, Box: box}
		c.entered[i] = e
	}
	e.Depth = max(e.Depth, depth)
}

// help finds what would keep the head out of a box, now that its work is known.
func (c *gantryChecker) help(e *KeepOutError) {
	e.Zero = e.Box[0] < 0 && e.Box[2] > 0 && e.Box[1] < 0 && e.Box[3] > 0
	room := c.bed.Bed
	if c.bed.ByHand {
		room = path.EmptyRect()
	}
	if way, ok := wayClear(c.bed.Work, c.start, e.Box, c.boxes, room); ok && !c.bed.Work.Empty() {
		e.Clear, e.Side = way.mm, way.side
	}
}

func (c *gantryChecker) verdict() error {
	var errs []error
	if c.offBed {
		errs = append(errs, &c.bed)
	}
	for _, e := range c.entered {
		if e != nil {
			c.help(e)
			errs = append(errs, e)
		}
	}
	if c.speed != nil {
		errs = append(errs, c.speed)
	}
	if c.power != nil {
		errs = append(errs, c.power)
	}
	if len(errs) == 1 {
		return errs[0]
	}
	return errors.Join(errs...)
}
