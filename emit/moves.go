package emit

import (
	"iter"
	"math"
	"time"

	"furrow/emit/machine"
	"furrow/path"
)

// Kind is what a Move does.
type Kind uint8

// The kinds of move, with their word or record in the two formats.
const (
	Travel Kind = iota // beam off, as fast as the machine can: G0; J
	Mark               // beam on: G1, G2, G3 with S above 0; M
	Gap                // beam off at marking speed, for run-up, run-out and gaps: G1 with S 0; D
	Dot                // stand still, beam on for WaitUS: P
	Guide              // visible guide on, beam off: G
	Wait               // stand still, beam off, for WaitUS: W
	Hold               // wait for the operator: hold
)

// Turn is the shape of a Mark.
type Turn int8

// The turns: a straight line, or an arc round Move.Centre.
const (
	Straight         Turn = 0
	CounterClockwise Turn = 1
	Clockwise        Turn = -1
)

// Move is one movement from where the last one ended, the first from 0,0. Its
// numbers are those the file holds: coordinates lie on the format's grid.
type Move struct {
	To      path.Point // mm
	Centre  path.Point // of an arc, mm
	Speed   float64    // mm/s of Mark and Gap; 0 for the others, which go at the machine's own
	Power   float64    // fraction of full, 0..1; 0 unless Mark or Dot
	WaitUS  int64      // of Dot and Wait
	Setting uint16     // index in Moves.Settings
	Kind    Kind
	Turn    Turn
}

// Moves is a stream of moves for one machine. It holds none of them: Play can
// be ranged over any number of times and starts anew each time. It ends after
// the first error it yields.
type Moves struct {
	Header   Header
	Settings []path.Setting
	Scanner  []machine.Scanner // of a galvo, one for each of Settings; nil for a gantry
	Notes    []Note            // in the sequence of their moves; none of them moves anything
	Play     iter.Seq2[Move, error]
}

// ForGalvo reports that the moves are a galvo's: that they name a field.
func (m Moves) ForGalvo() bool { return m.Header.Field != path.Point{} }

// IsList reports that the moves' file is a mark-vector list.
func (m Moves) IsList() bool { return m.ForGalvo() && !m.Header.GCode }

// SameChain reports that a chain may pass from setting a to setting b: that
// they differ in nothing but power.
func (m Moves) SameChain(a, b uint16) bool {
	if a == b {
		return true
	}
	s, t := m.Settings[a], m.Settings[b]
	return m.Scanner[a] == m.Scanner[b] && s.SpeedMMPerS == t.SpeedMMPerS &&
		s.FrequencyHz == t.FrequencyHz && s.PulseNS == t.PulseNS
}

// All is Play, or nothing where that is nil, as in the zero value.
func (m Moves) All() iter.Seq2[Move, error] {
	if m.Play == nil {
		return func(func(Move, error) bool) {}
	}
	return m.Play
}

// Header is what a file says of itself, beside its moves.
type Header struct {
	Profile   string        // id of the machine profile; empty when the file names none
	Hash      string        // of that profile; empty when the file names none
	Program   string        // name and version of what wrote the file; empty when it does not say
	Time      time.Duration // that it took by the profile when it was made; 0 when it does not say
	Whole     bool          // a G-code file's closing comment was there, and right; a list is refused otherwise
	Blanks    []Blank       // that it was made for: one, or those in a load's pockets
	Inch      bool          // a G-code file's numbers are inches
	Bare      bool          // places are left uncorrected on purpose, to measure the field by
	Stepped   bool          // delays differ from the profile's on purpose, to be read off a card
	Field     path.Point    // width and height of a galvo's field, mm
	GCode     bool          // of a galvo: its file is G-code, and not a list
	Corrected bool          // a lens correction is already in the coordinates
	Unread    int           // comments that tell of a blank, by their looks, and cannot be read
	begun     string        // of a blank's comment, which the next one may go on with
}

// arcTolerance is how far Moves.Program may cut a corner of an arc, mm: the
// grid of the format that has arcs.
const arcTolerance = 0.001

// Strokes tells which stroke each move of a stream belongs to: every unbroken run of
// marks of one setting and power is a stroke, and every dot is one. The zero value
// stands before the first move.
type Strokes struct {
	n     int
	last  Kind
	set   uint16
	power float64
}

// Next takes the next move. It returns the number of its stroke, counted from 0, and
// whether that begins with it; -1 with the beam off.
func (s *Strokes) Next(mv *Move) (stroke int, begins bool) {
	begins = mv.Kind == Dot || mv.Kind == Mark && (s.last != Mark || s.set != mv.Setting || s.power != mv.Power)
	s.last, s.set, s.power = mv.Kind, mv.Setting, mv.Power
	if begins {
		s.n++
	}
	if mv.Kind != Mark && mv.Kind != Dot {
		return -1, false
	}
	return s.n - 1, begins
}

// Program returns the strokes as commanded, with their power; a dot is a stroke of a
// single point. Arcs become polylines within 1 µm.
func (m Moves) Program() (path.Program, error) {
	p := path.Program{Settings: m.Settings}
	var at path.Point
	var strokes Strokes
	for mv, err := range m.All() {
		if err != nil {
			return path.Program{}, err
		}
		_, begins := strokes.Next(&mv)
		if begins {
			from := at
			if mv.Kind == Dot {
				from = mv.To
			}
			p.Append(path.Stroke{Setting: mv.Setting, Kind: path.LineStroke, Power: mv.Power}, from)
		}
		if mv.Kind == Mark {
			appendMark(&p, at, mv)
		}
		at = mv.To
	}
	return p, nil
}

// Way returns the points of a move from from to its end, of an arc within 1 µm.
func (mv Move) Way(from path.Point) (pts []path.Point) {
	if mv.Turn == Straight {
		return []path.Point{from, mv.To}
	}
	arcPath(from, mv).Flatten(arcTolerance, func(line []path.Point, _ bool) { pts = append(pts, line...) })
	return pts
}

// appendMark extends the last stroke of p by a mark from at.
func appendMark(p *path.Program, at path.Point, mv Move) {
	first := len(p.Points)
	if mv.Turn == Straight {
		p.Points = append(p.Points, mv.To)
	} else {
		arcPath(at, mv).Flatten(arcTolerance, func(pts []path.Point, _ bool) {
			p.Points = append(p.Points, pts[1:]...)
		})
	}
	p.Strokes[len(p.Strokes)-1].Len += int32(len(p.Points) - first)
}

// arcPath returns the arc of mv from at. Start and end may lie at slightly
// different distances from the centre, by the rounding of the file; the start's
// is used, and the end point is kept.
func arcPath(at path.Point, mv Move) path.Path {
	u := at.Sub(mv.Centre)
	v := path.Point{X: -u.Y, Y: u.X}
	w := mv.To.Sub(mv.Centre)
	sweep := ArcSweep(u, w, mv.Turn)
	var p path.Path
	p.MoveTo(at)
	p.ArcTo(mv.Centre, u, v, 0, sweep, mv.To)
	return p
}

// Bounds returns a rectangle round the way of the move from from.
func (mv Move) Bounds(from path.Point) path.Rect {
	if mv.Turn == Straight {
		return path.EmptyRect().Include(from).Include(mv.To)
	}
	return arcPath(from, mv).Bounds()
}

// Length returns that of the way of the move from from, mm.
func (mv Move) Length(from path.Point) float64 {
	if mv.Turn == Straight {
		return from.Dist(mv.To)
	}
	u, w := from.Sub(mv.Centre), mv.To.Sub(mv.Centre)
	return u.Len() * math.Abs(ArcSweep(u, w, mv.Turn))
}

// ArcSweep returns the signed angle in radians, in (0, 2π] times the turn, from
// direction u to direction w. Equal directions make a full circle.
func ArcSweep(u, w path.Point, turn Turn) float64 {
	a := math.Atan2(u.Cross(w), u.Dot(w)) * float64(turn)
	if a <= 0 {
		a += 2 * math.Pi
	}
	return a * float64(turn)
}
