package order

import (
	"fmt"
	"io"
	"strconv"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/path"
	"furrow/path/text/stroke"
)

// traceSpeed is that of a gantry's trace: slow enough to follow by eye, mm/s.
const traceSpeed = 20

// traceTolerance is the least of how far the chords of a trace may be from a curve, mm: a guide
// goes round for half a minute, and nobody sees less.
const traceTolerance = 0.01

// writeTrace writes a file that shows where the pockets are, with their numbers and
// the beam off.
func (o *Order) writeTrace(f *product.Folder, r *Record) error {
	outlines, err := o.outlines()
	if err != nil {
		return err
	}
	m, err := emit.Trace(outlines, o.Machine.Profile, traceSpeed)
	if err == nil {
		err = emit.Check(m, o.Machine.Profile, o.clamps()...)
	}
	if err != nil {
		return fault.Workf("the trace of the fixture: %w", err)
	}
	name := "locate-fixture." + o.ending()
	facts := newFacts(nil)
	if err := f.Write(name, func(w io.Writer) error { return o.encodeTrace(io.MultiWriter(w, facts), m) }); err != nil {
		return err
	}
	r.Outputs = append(r.Outputs, Output{Name: name, SHA256: facts.sum.hex(), Lines: facts.lines, CRC: facts.crc})
	return nil
}

func (o *Order) encodeTrace(w io.Writer, m emit.Moves) error {
	comments := append([]string{
		"furrow " + o.Version, o.title(), "locating trace of the fixture: beam off throughout",
	}, settings.CautionLines(o.Machine.Laser)...)
	if m.IsList() {
		return markvec.Encoder{Comments: comments}.Encode(w, m)
	}
	return gcode.Encoder{Profile: o.Machine.Controller(), Comments: comments, BeamOff: true}.Encode(w, m)
}

// outlines are the edges of the pockets' blanks, and their numbers.
func (o *Order) outlines() (all []emit.Outline, err error) {
	for _, p := range o.Pockets {
		edge := p.Form(o.Blank).Edge(max(traceTolerance, o.One.CurveTolerance()))
		all = append(all, emit.Outline{Points: edge, Note: fmt.Sprintf("pocket %d", p.Number)})
		digits, err := number(p.Number, 0.2*min(o.Blank.Size.X, o.Blank.Size.Y))
		if err != nil {
			return nil, err
		}
		middle := p.Room(o.Blank).Centre()
		for _, line := range digits {
			for i := range line {
				line[i] = line[i].Add(middle)
			}
			all = append(all, emit.Outline{Points: line})
		}
	}
	return all, nil
}

// number returns the strokes of a number of a size, mm, about 0,0.
func number(n int, size float64) (lines [][]path.Point, err error) {
	shape, err := stroke.SingleLine().Lay(strconv.Itoa(n), stroke.Line{Size: size, Anchor: 0.5})
	if err != nil {
		return nil, err
	}
	middle := shape.Centre.Bounds().Centre()
	const fine = 0.05 // mm, which nobody sees
	shape.Centre.Transform(path.Translate(-middle.X, -middle.Y)).Flatten(fine, func(pts []path.Point, _ bool) {
		lines = append(lines, append([]path.Point(nil), pts...))
	})
	return lines, nil
}
