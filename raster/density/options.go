package density

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"time"

	"furrow/path"
	"furrow/raster/page"
)

// Options says what to show of a Program, and how. A rectangle of no width or
// height is not known, or not wanted.
type Options struct {
	Show        Show
	MarkWidthMM float64 // width of a mark; 0 takes DefaultMarkWidthMM

	Bed       path.Rect   // what the machine reaches, in the Program's coordinates
	BedName   string      // "bed" where empty; a galvo has a field
	Blank     path.Rect   // the part
	Round     bool        // the blank, or each of those in pockets, is the ellipse in its rectangle
	BlankName string      // "blank" where empty; artwork has a page
	Keep      []path.Rect // what the head and beam keep out of: clamps
	Pockets   []Pocket    // where the blanks of a load sit
	Zero      string      // what 0,0 is called, where it is to be shown
	Window    path.Rect   // show only this
	Crop      bool        // show only the work, not the bed and blank
	Inches    bool        // rulers in inches
	ScaleEnd  float64     // of the colours of density, dose or heat, in their unit; 0 for one that suits the picture
	Dark      bool        // a dark page
	Caption   page.Caption
	Rings     []page.Ring // round places to look at
	CloseUps  []CloseUp   // of which insets show more
	Inset     bool        // show only the work and the blank, and where in the bed they lie in an inset

	// DPI is the pixels an inch of the work, and Size the longer side of the
	// whole picture in pixels, which counts where DPI is 0; both 0 takes
	// DefaultSize. Paper is for pages that are printed, or looked at in
	// millimetres, as SVG and PDF are: text is 2.5 mm high, and DPI is
	// DefaultDPI where it is 0, or less for a large page.
	DPI   float64
	Size  int
	Paper bool

	// for Rows: where the beam is on by a simulation, in place of the marks; the program's own lines are drawn thin
	// over it
	Driven    [][]path.Point
	Marking   []path.Marking // for Dose and Sequence: the energy and the time of each stroke
	Heat      HeatMap        // for Heat
	Travel    [][]path.Point // for Travel: beam-off movement
	Guide     [][]path.Point // for Travel: where a galvo shows its visible guide
	Reach     path.Rect      // for Travel: all that the head passes over
	ReachName string         // "reach of the head" where empty; a galvo has none
	Fine      path.Program   // for Finish and Rows: of the marks those that must be read, as letters of lines are
	FineMM    float64        // how wide these are drawn at least
	Ground    color.RGBA     // for Finish: the blank's colour; the page's where zero
	Tones     []color.RGBA   // for Finish: what each setting leaves; ink where missing or zero
}

// Pocket is where a blank of a load sits, with a number.
type Pocket struct {
	Number int // 0 where that is not known
	Rect   path.Rect
	Turn   float64 // of the blank about the middle of Rect, degrees counter-clockwise
}

// Defaults of Options.
const (
	DefaultMarkWidthMM = 0.1
	DefaultSize        = 1600
	DefaultDPI         = 254
)

// Show is what a picture shows.
type Show uint8

// The ways to show a program.
const (
	ShowDensity  Show = iota // lines/mm laid over each place
	ShowDose                 // J/cm2 laid down
	ShowFinish               // the part as it will look
	ShowSequence             // when each place is marked
	ShowTravel               // where the beam moves while it is off
	ShowRows                 // the marks themselves, at their width
	ShowHeat                 // how warm each place gets
)

var showNames = [...]string{"density", "dose", "finish", "sequence", "travel", "rows", "heat"}

// Shows returns the names that ParseShow knows.
func Shows() []string { return append([]string(nil), showNames[:]...) }

// String returns the name of s.
func (s Show) String() string {
	if int(s) < len(showNames) {
		return showNames[s]
	}
	return fmt.Sprintf("Show(%d)", uint8(s))
}

// ParseShow returns the Show of a name.
func ParseShow(name string) (Show, error) {
	for i, n := range showNames {
		if n == name {
			return Show(i), nil
		}
	}
	return 0, fmt.Errorf("unknown picture %q: use one of %q", name, showNames)
}

// ErrNothing is returned for a program that marks nothing, but where its travel is to be shown.
var ErrNothing = errors.New("nothing is marked, so there is nothing to show")

// ErrTooLarge is returned, before any memory is taken, for a picture of more than
// MaxPixels.
var ErrTooLarge = errors.New("the picture would be too large")

// ErrDots is returned where there is no density to show.
var ErrDots = errors.New("dots have no length and so no density: show dose, finish or rows instead")

// complete fills in defaults and refuses what cannot be shown.
func (o Options) complete(prog path.Program) (Options, error) {
	if o.MarkWidthMM == 0 {
		o.MarkWidthMM = DefaultMarkWidthMM
	}
	if o.Size == 0 {
		o.Size = DefaultSize
	}
	switch {
	case len(prog.Points) == 0 && !(o.Show == ShowTravel && given(o.Reach)):
		return o, ErrNothing
	case !(o.MarkWidthMM > 0) || math.IsInf(o.MarkWidthMM, 0):
		return o, fmt.Errorf("a mark width of %g mm is not above 0", o.MarkWidthMM)
	case o.DPI != 0 && !(o.DPI >= MinDPI && o.DPI <= MaxDPI):
		return o, fmt.Errorf("%g pixels an inch is out of range: use %d to %d", o.DPI, MinDPI, MaxDPI)
	case o.Size < MinSize || o.Size > MaxSize:
		return o, fmt.Errorf("a size of %d pixels is out of range: use %d to %d", o.Size, MinSize, MaxSize)
	}
	return o, o.checkNeeds(len(prog.Strokes))
}

// The ranges of Options: a Size that leaves room for the furniture and that a
// viewer opens, and a DPI from a wall chart to a microscope.
const (
	MinSize, MaxSize = 300, 20000
	MinDPI, MaxDPI   = 1, 100000
)

// checkNeeds refuses a picture whose facts are missing.
func (o Options) checkNeeds(strokes int) error {
	switch {
	case o.Show > ShowHeat:
		return fmt.Errorf("unknown picture %v", o.Show)
	case o.Show == ShowHeat && !o.Heat.known():
		return errors.New("heat needs the rise of each place of the plate")
	case o.Show == ShowDose && len(o.Marking) != strokes:
		return fmt.Errorf("dose needs the energy of each of %d strokes, not of %d", strokes, len(o.Marking))
	case o.Show == ShowSequence && len(o.Marking) != strokes:
		return fmt.Errorf("sequence needs the start and end of each of %d strokes, not of %d", strokes, len(o.Marking))
	case o.Show == ShowSequence && !(o.lastEnd() > 0):
		return fmt.Errorf("the last stroke ends at %g s, which leaves no time to show", o.lastEnd())
	}
	return nil
}

// lastEnd returns when the last stroke ends, s.
func (o Options) lastEnd() float64 {
	last := time.Duration(0)
	for _, m := range o.Marking {
		last = max(last, m.End)
	}
	return last.Seconds()
}
