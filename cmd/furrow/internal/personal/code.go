package personal

import (
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/code"
	"furrow/path/hatch"
	"furrow/raster/readback"
)

// Code is a code of a part as it came out.
type Code struct {
	Pick   string
	Symbol code.Symbol
	Placed code.Placed

	light bool
	width float64     // of a mark, mm
	onto  path.Matrix // from where it is placed to the machine
}

func (s *Setter) setCode(p *Part, at place, text string) ([]path.Shape, error) {
	fill := s.in.Groups[at.Group]
	if fill.Outline.When == hatch.Only {
		return nil, fmt.Errorf("a code needs rows, and its fill is an outline only")
	}
	symbol, err := code.Encode(code.Kind(at.code.Kind), text)
	if err != nil {
		return nil, err
	}
	own := at.Frame.Matrix.Mul(path.Scale(1/s.scale, 1/s.scale)) // from millimetres on the blank to the page
	room := code.Room{
		Rect:        path.Rect{Max: path.Point{X: at.Frame.W * s.scale, Y: at.Frame.H * s.scale}},
		SpacingMM:   fill.Setting.SpacingMM,
		MarkWidthMM: fill.MarkWidth,
		Light:       s.light(at.code),
		Part:        len(s.in.Groups) + len(p.Drawing.Codes),
		Source:      at.Source,
	}
	placed, err := symbol.Place(room)
	if err != nil {
		return nil, err
	}
	onto := s.placing.Mul(own)
	p.Drawing.Codes = append(p.Drawing.Codes, work.CodeFill{
		Fill: at.Group, Angle: angle(onto), SpacingMM: room.SpacingMM,
	})
	c := Code{Pick: at.pick, Symbol: symbol, Placed: placed, light: room.Light, width: room.MarkWidthMM, onto: onto}
	if c.width == 0 {
		c.width = room.SpacingMM
	}
	p.Codes = append(p.Codes, c)
	art := path.Artwork{Shapes: placed.Shapes}.Transform(own)
	for i := range art.Shapes {
		art.Shapes[i].Invert, art.Shapes[i].In, art.Shapes[i].Clips = at.Invert, at.In, at.Clips
	}
	return art.Shapes, nil
}

// light reports that marks are lighter than the blank, as the code or else the
// recipe says.
func (s *Setter) light(c *job.Code) bool {
	tone := ""
	if s.in.Recipe != nil {
		tone = s.in.Recipe.Tone
	}
	return value.Or(c.Tone, tone) == job.ToneWords[0]
}

// angle returns the direction of X after a map, degrees, exact for quarter turns.
func angle(m path.Matrix) float64 {
	x := m.ApplyVector(path.Point{X: 1})
	degrees := math.Atan2(x.Y, x.X) * 180 / math.Pi
	if whole := math.Round(degrees); math.Abs(degrees-whole) < 1e-9 {
		return whole
	}
	return degrees
}

// ReadBack reads every code of the part from its marks, drawn at their true width.
func (p Part) ReadBack(s work.Strokes) error {
	for _, c := range p.Codes {
		by := s.Art.Page.Min.Sub(p.corner) // what moved the work onto the bed
		back, ok := path.Translate(by.X, by.Y).Mul(c.onto).Inverse()
		if !ok {
			return &PlaceError{c.Pick, fmt.Errorf("it has no size")}
		}
		program := s.Program.Transform(back)
		marks := readback.Marks{Program: &program, WidthMM: c.width, Light: c.light}
		if err := marks.Verify(c.Symbol, c.Placed); err != nil {
			return &PlaceError{c.Pick, err}
		}
	}
	return nil
}
