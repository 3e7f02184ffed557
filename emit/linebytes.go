package emit

import "furrow/emit/machine"

// LineBytes counts the bytes of the lines that moves become in a G-code file,
// without making them: what a serial link has to carry. Package gcode, which
// makes them, tests that it counts right. Make one with NewLineBytes.
type LineBytes struct {
	gcode  machine.GCode
	grid   machine.Grid
	placed bool
	motion Kind
	turn   Turn
	x, y   int64
	s, f   int64
}

// NewLineBytes returns a counter at the start of a file's moves.
func NewLineBytes(g machine.GCode) *LineBytes {
	return &LineBytes{gcode: g, grid: g.Grid(), motion: Hold, f: -1}
}

// Of returns the bytes of the next move's line, its end included. It is 0 for
// what needs no line.
func (c *LineBytes) Of(mv *Move) int {
	x, y := int64(c.grid.CoordSteps(mv.To.X)), int64(c.grid.CoordSteps(mv.To.Y))
	if mv.Turn == Straight && x == c.x && y == c.y {
		return 0
	}
	arc, rapid := mv.Turn != Straight, mv.Kind == Travel
	n := c.motionBytes(mv)
	if arc {
		n += c.word(int64(c.grid.CoordSteps(mv.Centre.X))-c.x, coordDigits(c.gcode))
		n += c.word(int64(c.grid.CoordSteps(mv.Centre.Y))-c.y, coordDigits(c.gcode))
	}
	n += c.modal(&c.x, x, coordDigits(c.gcode), arc || !c.placed)
	n += c.modal(&c.y, y, coordDigits(c.gcode), arc || !c.placed)
	c.placed = true
	if !rapid {
		n += c.modal(&c.f, int64(c.grid.SpeedSteps(mv.Speed)), coordDigits(c.gcode), false)
	}
	n += c.modal(&c.s, int64(c.grid.PowerSteps(mv.Power)), c.gcode.PowerDecimals, false)
	return n + c.frame()
}

// frame returns the bytes that a line has besides its words, whose last one
// counts the line end: the number of the line, taken to have five digits, and CR.
func (c *LineBytes) frame() int {
	n := 0
	if c.gcode.LineNumbers {
		n += len("N12345 ")
	}
	if c.gcode.CRLF {
		n++
	}
	return n
}

func coordDigits(g machine.GCode) int {
	if g.Inch {
		return 5
	}
	return 3
}

func (c *LineBytes) motionBytes(mv *Move) int {
	kind := mv.Kind
	if kind == Gap {
		kind = Mark
	}
	if kind == c.motion && mv.Turn == c.turn && !c.gcode.RepeatWords {
		return 0
	}
	c.motion, c.turn = kind, mv.Turn
	return len("G1 ")
}

// modal returns the bytes of a word, none where its value holds already.
func (c *LineBytes) modal(old *int64, v int64, decimals int, always bool) int {
	if v == *old && !always && !c.gcode.RepeatWords {
		return 0
	}
	*old = v
	return c.word(v, decimals)
}

// word returns the bytes of a letter, a number of the grid and the space or
// line end behind it.
func (c *LineBytes) word(v int64, decimals int) int {
	n := 2
	if v < 0 {
		n++
		v = -v
	}
	whole := v
	for range decimals {
		whole /= 10
	}
	n++
	for whole >= 10 {
		whole /= 10
		n++
	}
	return n + fraction(v, decimals)
}

// fraction returns the bytes of the point and the decimals without the zeros at
// their end.
func fraction(v int64, decimals int) int {
	for decimals > 0 && v%10 == 0 {
		v /= 10
		decimals--
	}
	if decimals == 0 {
		return 0
	}
	return 1 + decimals
}
