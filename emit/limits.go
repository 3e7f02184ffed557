package emit

import (
	"fmt"
	"strings"

	"furrow/path"
)

// BedError says that the head's travel does not fit the bed.
type BedError struct {
	Machine string    // id of the profile
	Move    int       // index of the first move that does not fit
	Bed     path.Rect // mm from X0 Y0; with zero by hand only its size counts
	ByHand  bool
	Travel  path.Rect // of the head, mm; with zero by hand X0 Y0 is part of it
	Work    path.Rect // of the head at work, without the ways there, mm
}

func (e *BedError) Error() string {
	return fmt.Sprintf("the head's travel of %s mm does not fit the %s mm bed of %s: %s",
		rectSize(e.Travel), rectSize(e.Bed), e.Machine, strings.Join(e.sides(), ", "))
}

func (e *BedError) sides() []string {
	if !e.ByHand {
		return outside(e.Bed, e.Travel)
	}
	var out []string
	if over := e.Travel.W() - e.Bed.W(); over > slackMM {
		out = append(out, fmt.Sprintf("%.4g mm too wide", over))
	}
	if over := e.Travel.H() - e.Bed.H(); over > slackMM {
		out = append(out, fmt.Sprintf("%.4g mm too high", over))
	}
	return out
}

// Hint says what would help.
func (e *BedError) Hint() string {
	s, bed := sizeOf(e.Travel), sizeOf(e.Bed)
	switch {
	case !e.ByHand && fits(s, bed):
		d := LeastShift(e.Travel, e.Bed)
		return fmt.Sprintf("it fits when the page is moved by %.4g, %.4g mm", d.X, d.Y)
	case e.ByHand && !e.Work.Empty() && fits(sizeOf(e.Work), bed):
		d := LeastShift(e.Work, nearZero(e.Work, bed))
		return fmt.Sprintf("it fits when the page is moved by %.4g, %.4g mm, nearer to X0 Y0", d.X, d.Y)
	case fits(path.Point{X: s.Y, Y: s.X}, bed):
		return "it fits when it is turned by 90 degrees; rows along the shorter side need less room too"
	}
	return "a lower speed shortens the overtravel, rows along the other side put it where there is room; else make the work smaller or use a larger machine"
}

// nearZero returns the room for the work where X0 Y0, set by hand, has to be on
// the bed as well: on the side of X0 Y0 where the work lies.
func nearZero(work path.Rect, bed path.Point) path.Rect {
	lo, hi := path.Point{}, bed
	if work.Centre().X < 0 {
		lo.X, hi.X = -bed.X, 0
	}
	if work.Centre().Y < 0 {
		lo.Y, hi.Y = -bed.Y, 0
	}
	room := path.Rect{Min: lo, Max: hi}
	if work.Min.X < 0 && work.Max.X > 0 { // across X0: its own length is what counts
		room.Min.X, room.Max.X = work.Min.X, work.Max.X
	}
	if work.Min.Y < 0 && work.Max.Y > 0 {
		room.Min.Y, room.Max.Y = work.Min.Y, work.Max.Y
	}
	return room
}

// SpeedError says that a move is faster than an axis allows.
type SpeedError struct {
	Machine    string
	Move       int     // index of the first such move
	Asked, Max float64 // mm/s along that move
	Count      int     // of such moves
}

func (e *SpeedError) Error() string {
	return fmt.Sprintf("%d moves are faster than %s allows: the first asks for %.4g mm/s where the axes allow %.4g mm/s",
		e.Count, e.Machine, e.Asked, e.Max)
}

// Hint says what would help.
func (e *SpeedError) Hint() string {
	return fmt.Sprintf("mark at %.4g mm/s or less, or along a faster axis", e.Max)
}

// PowerError says that a mark has a power that the source cannot give.
type PowerError struct {
	Machine string
	Move    int     // index of the first such move
	Power   float64 // fraction of full
	Floor   float64 // fraction below which the source does not fire
	Count   int
}

func (e *PowerError) Error() string {
	if e.Power > 1 {
		return fmt.Sprintf("%d marks ask for %.4g percent power", e.Count, 100*e.Power)
	}
	if e.Power <= 0 {
		return fmt.Sprintf("%d marks have a power that rounds to S0 on %s", e.Count, e.Machine)
	}
	return fmt.Sprintf("%d marks at %.4g percent are below %.4g percent, where the source of %s does not fire",
		e.Count, 100*e.Power, 100*e.Floor, e.Machine)
}

// Hint says what would help.
func (e *PowerError) Hint() string {
	if e.Power > 1 {
		return "use 100 percent or less, and a lower speed"
	}
	return "use more power and raise the speed with it"
}

// KeepOutError says that the head would pass through a place it must not.
type KeepOutError struct {
	Move  int        // index of the first such move
	Box   [4]float64 // left, bottom, right, top, mm
	Depth float64    // how far the head enters it, by the shortest way out, mm
	Zero  bool       // X0 Y0 lies in it
	Clear float64    // the least by which the work has to move to stay clear of it, mm; 0 where no way along an axis does
	Side  string     // and which way
}

func (e *KeepOutError) Error() string {
	return fmt.Sprintf("the head passes %.4g mm into the keep-out from X%.4g Y%.4g to X%.4g Y%.4g",
		e.Depth, e.Box[0], e.Box[1], e.Box[2], e.Box[3])
}

// Hint says what would help.
func (e *KeepOutError) Hint() string {
	switch {
	case e.Zero:
		return "X0 Y0 itself lies in it: set the zero elsewhere, or move the clamp"
	case e.Clear == 0:
		return "move the clamp, or set the zero so that neither the work nor the way to it meets it"
	}
	return fmt.Sprintf("move the work at least %.4g mm %s, or the clamp; a lower speed shortens the overtravel", e.Clear, e.Side)
}

// FirstMove returns the index of the first such move in its Moves.
func (e *BedError) FirstMove() int { return e.Move }

// FirstMove returns the index of the first such move in its Moves.
func (e *SpeedError) FirstMove() int { return e.Move }

// FirstMove returns the index of the first such move in its Moves.
func (e *PowerError) FirstMove() int { return e.Move }

// FirstMove returns the index of the first such move in its Moves.
func (e *KeepOutError) FirstMove() int { return e.Move }

// slackMM is half a step of the grid of files: less is not outside.
const slackMM = 0.0005

// outside words each side on which r leaves room, with by how much.
func outside(room, r path.Rect) []string {
	var out []string
	for _, s := range [...]struct {
		over float64
		name string
	}{
		{room.Min.X - r.Min.X, "left"}, {r.Max.X - room.Max.X, "right"},
		{room.Min.Y - r.Min.Y, "at the bottom"}, {r.Max.Y - room.Max.Y, "at the top"},
	} {
		if s.over > slackMM {
			out = append(out, fmt.Sprintf("%.4g mm too far %s", s.over, s.name))
		}
	}
	return out
}

// LeastShift returns the shortest movement along each axis that brings r into
// room, and none along an axis where it is there already or too long to fit.
func LeastShift(r, room path.Rect) path.Point {
	return path.Point{
		X: leastShift(r.Min.X, r.Max.X, room.Min.X, room.Max.X),
		Y: leastShift(r.Min.Y, r.Max.Y, room.Min.Y, room.Max.Y),
	}
}

func leastShift(lo, hi, roomLo, roomHi float64) float64 {
	switch {
	case hi-lo > roomHi-roomLo:
		return 0
	case lo < roomLo:
		return roomLo - lo
	case hi > roomHi:
		return roomHi - hi
	}
	return 0
}

// Bed returns where the head can go, mm from X0 Y0. With zero by hand only its
// size has a meaning.
func (g Gantry) Bed() path.Rect {
	min := path.Point{X: -g.OriginMM[0], Y: -g.OriginMM[1]}
	return path.Rect{Min: min, Max: min.Add(path.Point{X: g.BedMM[0], Y: g.BedMM[1]})}
}

func sizeOf(r path.Rect) path.Point { return path.Point{X: r.W(), Y: r.H()} }

func rectSize(r path.Rect) string { return size(sizeOf(r)) }
