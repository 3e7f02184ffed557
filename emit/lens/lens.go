package lens

import (
	"fmt"
	"math"
	"slices"

	"furrow/path"
)

// Sample is a point of the calibration grid, mm: commanded from the middle of the
// field, measured from anywhere.
type Sample struct{ Commanded, Measured path.Point }

// Correction is a fitted map. It never changes.
type Correction struct {
	forward surface
	samples []Sample // by rows
	domain  path.Rect
}

// FitError says what is wrong with the samples. Point counts from 1 in their
// sequence, and is 0 where no single one is at fault.
type FitError struct {
	Point int
	Msg   string
}

func (e *FitError) Error() string {
	if e.Point == 0 {
		return "correction grid: " + e.Msg
	}
	return fmt.Sprintf("correction grid, point %d: %s", e.Point, e.Msg)
}

// beyond is how far the correction reaches beyond the outermost points, in
// widths of the cell there.
const beyond = 0.25

// Fit makes a correction of samples whose commanded points are the nodes of a
// grid of four or more columns and rows, in any sequence, not necessarily
// evenly spaced. Places may be measured from any origin, along X and Y. A grid
// that folds over itself, was measured in another unit or lay turned is refused.
func Fit(samples []Sample) (*Correction, error) {
	a, err := gridOf(samples)
	if err != nil {
		return nil, err
	}
	c := &Correction{samples: make([]Sample, len(samples))}
	if err := c.sort(a, samples); err != nil {
		return nil, err
	}
	measured := make([]path.Point, len(samples))
	for i, s := range c.samples {
		measured[i] = s.Measured
	}
	if c.forward, err = newSurface(a, measured); err != nil {
		return nil, &FitError{Msg: err.Error()}
	}
	c.domain = a.domain()
	c.keepMiddle()
	if err := c.checkFolds(); err != nil {
		return nil, err
	}
	return c, c.checkPlain()
}

// keepMiddle moves what was measured so that the middle of the field stays where
// it is. It does not matter, then, from where the points were measured.
func (c *Correction) keepMiddle() {
	if !c.inside(path.Point{}) {
		return
	}
	by := c.Undo(path.Point{})
	for i := range c.forward.nodes {
		n := &c.forward.nodes[i]
		n.f = n.f.Sub(by)
	}
}

// gridOf returns the columns and rows of the commanded points.
func gridOf(samples []Sample) (axes, error) {
	var a axes
	for i, s := range samples {
		if !s.Commanded.Finite() || !s.Measured.Finite() || !small(s.Commanded) || !small(s.Measured) {
			return a, &FitError{i + 1, "is not a place in millimetres"}
		}
		a.x, a.y = append(a.x, s.Commanded.X), append(a.y, s.Commanded.Y)
	}
	slices.Sort(a.x)
	slices.Sort(a.y)
	a.x, a.y = slices.Compact(a.x), slices.Compact(a.y)
	if len(a.x) < 4 || len(a.y) < 4 {
		return a, &FitError{Msg: fmt.Sprintf("has %d columns and %d rows, and needs four or more of both",
			len(a.x), len(a.y))}
	}
	if want := len(a.x) * len(a.y); want != len(samples) {
		return a, &FitError{Msg: fmt.Sprintf("has %d points in %d columns and %d rows, which makes %d",
			len(samples), len(a.x), len(a.y), want)}
	}
	return a, nil
}

// mostMM bounds a coordinate: far beyond any field, far below overflow.
const mostMM = 1e4

func small(p path.Point) bool { return math.Abs(p.X) <= mostMM && math.Abs(p.Y) <= mostMM }

// sort puts the samples in rows.
func (c *Correction) sort(a axes, samples []Sample) error {
	seen := make([]bool, len(samples))
	for i, s := range samples {
		col, _ := slices.BinarySearch(a.x, s.Commanded.X)
		row, _ := slices.BinarySearch(a.y, s.Commanded.Y)
		k := row*len(a.x) + col
		if seen[k] {
			return &FitError{i + 1, fmt.Sprintf("%g, %g mm is there twice", s.Commanded.X, s.Commanded.Y)}
		}
		seen[k], c.samples[k] = true, s
	}
	return nil
}

// domain is where commanded points are trusted.
func (a axes) domain() path.Rect {
	grow := func(at []float64) (lo, hi float64) {
		n := len(at)
		return at[0] - beyond*(at[1]-at[0]), at[n-1] + beyond*(at[n-1]-at[n-2])
	}
	var r path.Rect
	r.Min.X, r.Max.X = grow(a.x)
	r.Min.Y, r.Max.Y = grow(a.y)
	return r
}

// checkFolds looks at the map's Jacobian: where it is not positive the map
// turns inside out, and no place can be reached by one command.
func (c *Correction) checkFolds() error {
	const perCell = 8
	r, nx, ny := c.domain, perCell*len(c.forward.x), perCell*len(c.forward.y)
	for j := range ny + 1 {
		for i := range nx + 1 {
			p := path.Point{
				X: r.Min.X + r.W()*float64(i)/float64(nx),
				Y: r.Min.Y + r.H()*float64(j)/float64(ny),
			}
			if _, fx, fy := c.forward.at(p); !(fx.Cross(fy) > 0) {
				return &FitError{Msg: fmt.Sprintf("folds over itself near %.4g, %.4g mm: points are swapped, "+
					"mirrored or measured wrongly", p.X, p.Y)}
			}
		}
	}
	return nil
}

// mostStretch is how much larger or smaller than commanded a field may be; the
// factors that trim one keep to the same range.
const mostStretch = 2

// checkPlain refuses what no lens does: a field measured in another unit, or on a
// plate that lay turned. Marks would take on the wrong size or lie wrongly.
func (c *Correction) checkPlain() error {
	cols := len(c.forward.x)
	first, last := c.samples[0], c.samples[len(c.samples)-1]
	side := c.samples[cols-1].Measured.Sub(first.Measured)
	if side.X <= math.Abs(side.Y) {
		return &FitError{Msg: "the points are measured on a plate that lay turned: measure X and Y along the " +
			"field's own"}
	}
	scale := last.Measured.Dist(first.Measured) / last.Commanded.Dist(first.Commanded)
	if scale > mostStretch || scale < 1.0/mostStretch {
		return &FitError{Msg: fmt.Sprintf("the measured field is %.3g times as large as the commanded one: measure "+
			"in millimetres", scale)}
	}
	return nil
}

// Undo returns where the beam goes when it is sent to a point.
func (c *Correction) Undo(commanded path.Point) path.Point {
	f, _, _ := c.forward.at(commanded)
	return f
}

// closeMM ends Newton's method, a thousandth of the grid of a list.
const closeMM = 1e-7

// Apply returns the point to send the beam to so that it goes to want, and
// false if that lies outside the part of the field that was measured.
func (c *Correction) Apply(want path.Point) (path.Point, bool) {
	p := c.clamp(want)
	for range 30 {
		f, fx, fy := c.forward.at(p)
		d := want.Sub(f)
		det := fx.Cross(fy)
		if det == 0 {
			return p, false
		}
		step := path.Point{X: d.Cross(fy) / det, Y: fx.Cross(d) / det}
		next := p.Add(step)
		if step.Len() < closeMM {
			return next, c.inside(next)
		}
		p = c.clamp(next)
	}
	return p, false
}

func (c *Correction) clamp(p path.Point) path.Point {
	r := c.domain
	return path.Point{X: min(max(p.X, r.Min.X), r.Max.X), Y: min(max(p.Y, r.Min.Y), r.Max.Y)}
}

func (c *Correction) inside(p path.Point) bool { return c.clamp(p).Dist(p) < 1e-4 }
