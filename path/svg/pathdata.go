package svg

import (
	"fmt"
	"math"

	"furrow/path"
)

// parsePathData reads the d attribute by the grammar of SVG 2, 9.3.9. At the
// first error it stops and returns what was drawn up to there, with the error
// (SVG 2, 9.5.4).
func parsePathData(d string) (path.Path, error) {
	p := pathParser{s: d}
	err := p.all()
	return p.out, err
}

// errTooLong ends the reading of a document.
var errTooLong = fmt.Errorf("a path of more than %d points", maxOnePath)

type pathParser struct {
	s       string
	i       int
	out     path.Path
	cur     path.Point
	start   path.Point
	control path.Point // the last control point, for S and T
	last    byte       // the last command, in upper case
}

func (p *pathParser) all() error {
	for {
		p.space()
		if p.i >= len(p.s) {
			return nil
		}
		c := p.s[p.i]
		if upper(c) != 'M' && p.out.Empty() {
			return p.fail("path data does not start with M")
		}
		if numArgs(upper(c)) < 0 {
			return p.fail(fmt.Sprintf("unknown command %q", clip(p.s[p.i:min(len(p.s), p.i+8)])))
		}
		p.i++
		if err := p.command(c); err != nil {
			return err
		}
		if len(p.out.Verbs) > maxOnePath {
			return errTooLong
		}
	}
}

func (p *pathParser) fail(what string) error {
	return fmt.Errorf("%s at character %d; drawn up to there", what, p.i+1)
}

func upper(c byte) byte {
	if c >= 'a' && c <= 'z' {
		return c - 32
	}
	return c
}

func numArgs(c byte) int {
	switch c {
	case 'Z':
		return 0
	case 'H', 'V':
		return 1
	case 'M', 'L', 'T':
		return 2
	case 'S', 'Q':
		return 4
	case 'C':
		return 6
	case 'A':
		return 7
	}
	return -1
}

// command draws all argument groups of one command letter.
func (p *pathParser) command(c byte) error {
	n := numArgs(upper(c))
	if n == 0 {
		p.close()
		return nil
	}
	for group := 0; ; group++ {
		if len(p.out.Points) > maxOnePath {
			return errTooLong
		}
		p.space()
		before := p.i
		if group > 0 {
			p.comma()
			if !p.numberAhead() {
				if p.i = before; p.commaAhead() {
					return p.fail("a number is missing")
				}
				return nil
			}
		}
		var args [7]float64
		for k := range n {
			if k > 0 {
				p.comma()
			}
			if err := p.argument(c, k, &args[k]); err != nil {
				return err
			}
		}
		if err := p.draw(c, args[:n]); err != nil {
			return err
		}
		if upper(c) == 'M' { // further pairs are lines
			c--
		}
	}
}

func (p *pathParser) argument(c byte, k int, v *float64) error {
	if upper(c) == 'A' && (k == 3 || k == 4) { // flags may stand without separators
		if p.i < len(p.s) && (p.s[p.i] == '0' || p.s[p.i] == '1') {
			*v = float64(p.s[p.i] - '0')
			p.i++
			return nil
		}
		return p.fail("an arc flag is neither 0 nor 1")
	}
	x, n := scanNumber(p.s[p.i:])
	if n == 0 {
		return p.fail("a number is missing")
	}
	if !(math.Abs(x) < maxUser) {
		return p.fail("a number is too large")
	}
	*v = x
	p.i += n
	return nil
}

func (p *pathParser) space() {
	for p.i < len(p.s) && (p.s[p.i] == ' ' || p.s[p.i] >= '\t' && p.s[p.i] <= '\r' && p.s[p.i] != '\v') {
		p.i++
	}
}

func (p *pathParser) commaAhead() bool { return p.i < len(p.s) && p.s[p.i] == ',' }

func (p *pathParser) comma() {
	p.space()
	if p.commaAhead() {
		p.i++
		p.space()
	}
}

func (p *pathParser) numberAhead() bool {
	if p.i >= len(p.s) {
		return false
	}
	c := p.s[p.i]
	return c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+'
}

func (p *pathParser) close() {
	if p.last != 'Z' {
		p.out.Close()
	}
	p.cur, p.last = p.start, 'Z'
}

// draw appends one segment.
func (p *pathParser) draw(c byte, a []float64) error {
	var base path.Point
	if c >= 'a' {
		base = p.cur
	}
	at := func(i int) path.Point { return path.Point{X: base.X + a[i], Y: base.Y + a[i+1]} }
	kind := upper(c)
	end := p.end(kind, base, a)
	if !(math.Abs(end.X) < maxUser && math.Abs(end.Y) < maxUser) {
		return p.fail("a coordinate is too large")
	}
	if p.last == 'Z' && kind != 'M' {
		p.out.MoveTo(p.start)
	}
	control := end
	switch kind {
	case 'M':
		p.move(end)
	case 'L', 'H', 'V':
		p.out.LineTo(end)
	case 'C':
		control = at(2)
		p.out.CubeTo(at(0), control, end)
	case 'S':
		control = at(0)
		p.out.CubeTo(p.reflected('C', 'S'), control, end)
	case 'Q':
		control = at(0)
		p.out.QuadTo(control, end)
	case 'T':
		control = p.reflected('Q', 'T')
		p.out.QuadTo(control, end)
	case 'A':
		arcTo(&p.out, p.cur, a[0], a[1], a[2], a[3] != 0, a[4] != 0, end)
	}
	p.cur, p.control, p.last = end, control, kind
	return nil
}

// end returns the end point of a segment.
func (p *pathParser) end(kind byte, base path.Point, a []float64) path.Point {
	switch kind {
	case 'H':
		return path.Point{X: base.X + a[0], Y: p.cur.Y}
	case 'V':
		return path.Point{X: p.cur.X, Y: base.Y + a[0]}
	}
	n := len(a)
	return path.Point{X: base.X + a[n-2], Y: base.Y + a[n-1]}
}

// move starts a subpath; one that was only moved to is replaced, since it can
// draw nothing.
func (p *pathParser) move(to path.Point) {
	if n := len(p.out.Verbs); n > 0 && p.out.Verbs[n-1] == path.MoveTo {
		p.out.Points[len(p.out.Points)-1] = to
	} else {
		p.out.MoveTo(to)
	}
	p.start = to
}

// reflected returns the control point mirrored at the current point when the
// last command was of the same family, else the current point.
func (p *pathParser) reflected(a, b byte) path.Point {
	if p.last != a && p.last != b {
		return p.cur
	}
	return p.cur.Mul(2).Sub(p.control)
}
