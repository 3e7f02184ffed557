package swatch

import (
	"slices"
	"strconv"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"
	"furrow/path"
)

// Spec is what a card is made from.
type Spec struct {
	Kind     string            // what the card is called
	Machine  *settings.Machine // that marks it
	Material string            // "" where it is not known
	Recipe   string            // id of the recipe that the fixed values are of, or ""
	Date     string            // "" for none
	Fill     job.Fill          // of what no axis varies
	Letters  job.Fill          // of the lettering
	Columns  Axis
	Rows     Axis
	PatchMM  float64    // side of a patch
	GapMM    float64    // between patches
	Blank    path.Point // width and height; zero where it is not known
	MarginMM float64    // left free along the blank's edges
	At       *path.Point
	Remarks  []string // lines of the card's own below its title

	// cell makes the fill of a patch of its column's and row's value, where that is not
	// what these settings say by themselves; nil for that.
	cell   func(fill job.Fill, column, row float64) job.Fill
	varied []string // settings that patches have of their own, or that mean nothing here
}

// fixed lists the settings that are worth telling and that no patch varies.
func (s Spec) fixed() (all []Value) {
	for _, k := range Kinds {
		v, ok := k.Of(s.Fill)
		varied := slices.Contains(append(s.varied, s.Columns.Kind.Word, s.Rows.Kind.Word), k.Word)
		if ok && !varied && shown(k, v) {
			all = append(all, Value{k, v})
		}
	}
	return all
}

// Card is one blank full of patches, in millimetres from the lower-left corner of the
// card.
type Card struct {
	Spec    Spec
	Number  int // of the cards that belong together, from 1
	Of      int
	Size    path.Point
	Labels  []Label
	Patches []Patch    // in the sequence of their places: row by row, from the upper left
	Out     []Left     // what is left out
	Lines   []Polyline // that are marked as the lettering is: rules, ticks
}

// Polyline is a line of lettering that is no letter.
type Polyline []path.Point

// Patch is a piece of the card that is marked in one way.
type Patch struct {
	Name    string // "C4": column and row
	Box     path.Rect
	Fill    job.Fill // as the machine's file has it
	Shapes  []path.Shape
	Strokes []Polyline       // that are marked one after the other in place of Shapes
	Shows   string           // what it is there to show, where no setting tells
	Values  []Value          // that it is there to show
	Hold    bool             // the machine waits before it, for its height to be set
	Profile *machine.Profile // that it is planned with in place of the machine's, or nil

	stop int // of the heights that a person sets, from 1; 0 where the card has one
}

// Value is what a patch has of a setting that the card varies.
type Value struct {
	Kind Kind
	V    float64
}

// of returns what a patch has of a setting: that which it shows, else that of its fill.
func (p Patch) of(k Kind) float64 {
	for _, v := range p.Values {
		if v.Kind == k {
			return v.V
		}
	}
	v, _ := k.Of(p.Fill)
	return v
}

// Left is a patch that is left out, with the reason.
type Left struct{ Name, Why string }

// Name returns the name of the patch in a column and row, from 0: "C4".
func Name(column, row int) string {
	letters := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return letters + strconv.Itoa(row+1)
}

// square returns the shapes of a filled rectangle.
func square(r path.Rect) []path.Shape {
	var p path.Path
	p.MoveTo(r.Min)
	p.LineTo(path.Point{X: r.Max.X, Y: r.Min.Y})
	p.LineTo(r.Max)
	p.LineTo(path.Point{X: r.Min.X, Y: r.Max.Y})
	p.Close()
	return []path.Shape{{Path: p, Paint: path.Paint{Opacity: 1}}}
}
