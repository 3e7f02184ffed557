package emit

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"furrow/emit/machine"
	"furrow/path"
)

// BedError says that the head's travel does not fit the bed.
type BedError struct {
	Machine string    // id of the profile
	Move    int       // index of the first move that does not fit
	Bed     path.Rect // mm from X0 Y0; with zero by hand only its size counts
	ByHand  bool
	Travel  path.Rect // of the head, mm; with zero by hand X0 Y0 is part of it

	Fits   bool       // when the page is moved by Shift
	Shift  path.Point // mm
	Clear  bool       // of every keep-out when moved so
	Turned bool       // the work would fit when turned by 90 degrees with its rows
}

func (e *BedError) Error() string {
	return fmt.Sprintf("the head's travel of %s mm does not fit the %s mm bed of %s: %s",
		rectSize(e.Travel), rectSize(e.Bed), e.Machine, strings.Join(e.sides(), ", "))
}

func (e *BedError) sides() []string {
	if !e.ByHand {
		return outside(e.Bed, e.Travel, slackMM)
	}
	var out []string
	if over := e.Travel.W() - e.Bed.W(); over > slackMM {
		out = append(out, millimetres(over)+" mm too wide")
	}
	if over := e.Travel.H() - e.Bed.H(); over > slackMM {
		out = append(out, millimetres(over)+" mm too high")
	}
	return out
}

// Hint says what would help.
func (e *BedError) Hint() string {
	switch {
	case e.Fits && e.Clear:
		return fmt.Sprintf("it fits when the page is moved by %s, %s mm", decimal(e.Shift.X), decimal(e.Shift.Y))
	case e.Fits:
		return fmt.Sprintf("it fits when the page is moved by %s, %s mm, and the clamps out of its way",
			decimal(e.Shift.X), decimal(e.Shift.Y))
	case e.Turned:
		return "turned by 90 degrees, rows and all, it fits if the other axis needs no more overtravel; " +
			"a lower speed shortens it"
	}
	return "a lower speed shortens the overtravel, and rows along the other side may put it where there is room; " +
		"else make the work smaller or use a larger machine"
}

// SpeedError says that a move is faster than an axis allows.
type SpeedError struct {
	Machine    string
	Move       int     // index of the first such move
	Asked, Max float64 // mm/s along that move
}

func (e *SpeedError) Error() string {
	return fmt.Sprintf("%s mm/s exceeds the %s mm/s of %s", tenths(math.Round(10*e.Asked)),
		tenths(math.Round(10*e.Max)), e.Machine)
}

// Hint says what would help.
func (e *SpeedError) Hint() string {
	return fmt.Sprintf("mark at %s mm/s or less, or along a faster axis", tenths(math.Floor(10*e.Max+1e-6)))
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

// StopError says that rows are to be marked by a controller that stops the head at every
// change of power.
type StopError struct {
	Machine string
	Move    int // index of the first at which it stops in a row
	Count   int // of such moves
}

func (e *StopError) Error() string {
	return fmt.Sprintf("the controller of %s stops at every change of power, %d times within rows: the beam would "+
		"burn "+
		"at both ends of every span, and the head never reach its speed", e.Machine, e.Count)
}

// Hint says what would help.
func (e *StopError) Hint() string {
	return "set the controller to change power without a stop, if it can, and power_change = \"on-the-fly\" in the " +
		"profile; else mark outlines alone, which begin and end at rest anyway"
}

// FirstMove returns the index of the first such move in its Moves.
func (e *StopError) FirstMove() int { return e.Move }

// KeepOutError says that the head would pass through a place it must not.
type KeepOutError struct {
	Move  int       // index of the first such move
	Box   path.Rect // mm from X0 Y0
	Depth float64   // how far the head enters it, by the shortest way out, mm
	Zero  bool      // X0 Y0 lies in it
	// how far the work has to move to stay clear of every keep-out, mm; 0 where no way along an axis does
	Clear float64
	Side  string // and which way
}

func (e *KeepOutError) Error() string {
	return fmt.Sprintf("the head passes %.4g mm into the keep-out from X%.4g Y%.4g to X%.4g Y%.4g",
		e.Depth, e.Box.Min.X, e.Box.Min.Y, e.Box.Max.X, e.Box.Max.Y)
}

// Hint says what would help.
func (e *KeepOutError) Hint() string {
	switch {
	case e.Zero:
		return "X0 Y0 itself lies in it: set the zero elsewhere, or move the clamp"
	case e.Clear == 0:
		return "move the clamp, or set the zero so that neither the work nor the way to it meets it"
	}
	return fmt.Sprintf("move the work %s mm %s, or the clamp; a lower speed shortens the overtravel",
		decimal(e.Clear), e.Side)
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

// outside words each side on which r leaves room by more than slack, with by how
// much.
func outside(room, r path.Rect, slack float64) []string {
	var out []string
	for _, s := range [...]struct {
		over float64
		name string
	}{
		{room.Min.X - r.Min.X, "left"}, {r.Max.X - room.Max.X, "right"},
		{room.Min.Y - r.Min.Y, "bottom"}, {r.Max.Y - room.Max.Y, "top"},
	} {
		if s.over > slack {
			out = append(out, fmt.Sprintf("%s mm past the %s edge", millimetres(s.over), s.name))
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
	case hi-lo > roomHi-roomLo+slackMM:
		return 0
	case lo < roomLo:
		return roomLo - lo
	case hi > roomHi:
		return roomHi - hi
	}
	return 0
}

func sizeOf(r path.Rect) path.Point { return path.Point{X: r.W(), Y: r.H()} }

func rectSize(r path.Rect) string { return size(sizeOf(r)) }

// millimetres writes a length in four digits, or in whole millimetres where it has more.
func millimetres(mm float64) string {
	if mm >= 10000 {
		return strconv.FormatFloat(mm, 'f', 0, 64)
	}
	return strconv.FormatFloat(mm, 'g', 4, 64)
}

// tenths writes n tenths.
func tenths(n float64) string { return strconv.FormatFloat(n/10, 'f', -1, 64) }

// decimal writes a length as the finest grid of a file holds it.
func decimal(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*machine.GalvoStepsPerMM)/machine.GalvoStepsPerMM+0, 'f', -1, 64)
}
