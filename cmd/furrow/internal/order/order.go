package order

import (
	"fmt"
	"io"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/sheet"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/raster/paper"
)

// Part is one that the customer gets.
type Part struct {
	Number int
	Look   int          // parts of the same look are marked alike
	Texts  []paper.Fact // what is its own
}

// Source is the parts of an order and how each look is drawn.
type Source struct {
	Parts []Part
	Draw  func(look int) (work.Drawing, error)
	Prove func(look int, s work.Strokes) error // that what is to be read of a look can be; nil for nothing
	First []int                                // looks that a person should see first
	Table func(io.Writer) error                // prints the parts for a person; nil for the order's own table
}

// Alike is a source of so many parts of one drawing.
func Alike(quantity int, d work.Drawing) Source {
	s := Source{Draw: func(int) (work.Drawing, error) { return d, nil }}
	for n := range quantity {
		s.Parts = append(s.Parts, Part{Number: n + 1})
	}
	return s
}

// Input is all that an order is made from.
type Input struct {
	job.Resolved
	Source  Source
	Numbers []int // of the parts to make now, rising
	// of a fixture that a file describes; nil where the job describes it
	Pockets []fixture.Pocket
	Name    string                                               // begins the names of files: "load"
	Version string                                               // of the program
	Trace   bool                                                 // write a trace of the fixture too
	Flags   []string                                             // what the command line says besides the job file
	Settle  func(work.Input) (work.Input, error)                 // what the job leaves open; nil for nothing
	Pause   func(work.Input, work.Strokes) (work.Strokes, error) // where the job asks for it; nil for nowhere
	Cooled  func() [][2]string                                   // lines of what that came to; nil for none
	Observe work.Observer
}

// Order is parts in the pockets of loads.
type Order struct {
	Input
	One     work.Work     // the first part alone, as the job places it
	Blank   fixture.Blank // what lies in a pocket
	Pockets []fixture.Pocket
	Skipped []int // pockets that a clamp is in the way of, of a fixture that is filled
	Loads   []Load

	parts    map[int]Part
	look     look                  // made last
	draws    bool                  // the looks that are made, for the proof
	pictures map[int]sheet.Picture // of these
	wider    bool                  // letters are drawn wider than they are marked
	letters  map[int]path.Program  // of these: the strokes of letters without width, from the corner of the blank
	unpacked int                   // dots of all pictures
}

// Load is one filling of the fixture and the file that marks it.
type Load struct {
	fixture.Load
	File  string
	First bool // the file is made for this load, and not for an earlier one that is alike
}

// look is the strokes of one look, from the lower-left corner of its blank.
type look struct {
	number  int
	strokes work.Strokes
}

// Plan makes the first part, finds the pockets, and spreads the parts over loads.
func Plan(in Input) (*Order, error) {
	if len(in.Numbers) == 0 {
		return nil, fault.Usagef("no part to make")
	}
	o := &Order{Input: in, parts: map[int]Part{}, look: look{number: -1}, pictures: map[int]sheet.Picture{},
		letters: map[int]path.Program{}}
	for _, p := range in.Source.Parts {
		o.parts[p.Number] = p
	}
	for _, n := range in.Numbers {
		if _, ok := o.parts[n]; !ok {
			return nil, fault.Usagef("there is no part %d: the order has %d", n, len(in.Source.Parts))
		}
	}
	if err := o.asFirst(); err != nil {
		return nil, err
	}
	if err := o.first(); err != nil {
		return nil, err
	}
	if err := o.pockets(); err != nil {
		return nil, err
	}
	o.spread()
	return o, nil
}

// asFirst settles what the job leaves open by the order's first part where others alone are
// made: they are to look like it.
func (o *Order) asFirst() error {
	if o.Numbers[0] == o.Source.Parts[0].Number || !o.leavesOpen() {
		return nil
	}
	_, err := o.input(o.Source.Parts[0].Look)
	return err
}

// leavesOpen reports that the job leaves the sequence or an angle to the program.
func (o *Order) leavesOpen() bool {
	return value.Or(o.Job.Spread, false) || slices.ContainsFunc(o.Fills, func(f job.ResolvedFill) bool {
		return f.Spec.Angle != nil && len(*f.Spec.Angle) == 0
	})
}

// first makes the first part as a piece of work of its own, which tells what it
// needs and what is odd about it.
func (o *Order) first() error {
	in, err := o.input(o.parts[o.Numbers[0]].Look)
	if err != nil {
		return err
	}
	s, err := o.fillIn(o.parts[o.Numbers[0]].Look, in)
	if err != nil {
		return err
	}
	if o.One, err = work.Plan(in, s); err != nil {
		return err
	}
	lies := o.lies(o.One)
	o.Blank = fixture.Blank{Size: path.Point{X: lies.W(), Y: lies.H()}, Round: o.Job.Blank.Round()}
	o.keep(o.parts[o.Numbers[0]].Look, o.One)
	return nil
}

// input is what the work of a look is made from, settled.
func (o *Order) input(look int) (work.Input, error) {
	in, err := o.asked(look)
	if err == nil && o.Settle != nil {
		return o.Settle(in)
	}
	return in, err
}

// asked is what the work of a look is made from, as the job has it.
func (o *Order) asked(look int) (work.Input, error) {
	d, err := o.Source.Draw(look)
	if err != nil {
		return work.Input{}, err
	}
	in := work.NewInput(o.Resolved, d)
	in.Observe = o.Observe
	if o.differ() {
		if in.Job.Effort == nil {
			quick := "quick" // a search is worth less for a part that is made once
			in.Job.Effort = &quick
		}
	} else {
		in.Times = len(o.Source.Parts)
	}
	return in, nil
}

// lies returns where the blank of a part lies that is worked on alone: the page
// where the blank's size is not known.
func (o *Order) lies(w work.Work) path.Rect {
	if r, ok := w.BlankRect(); ok {
		return r
	}
	return w.Art.Page
}

// keep remembers the strokes of a look, from the corner of its blank.
func (o *Order) keep(number int, w work.Work) {
	at := o.lies(w).Min
	o.look = look{number: number, strokes: w.Strokes.Moved(path.Translate(-at.X, -at.Y))}
}

// strokes returns those of a look, from the corner of its blank.
func (o *Order) strokes(number int) (work.Strokes, error) {
	if o.look.number == number {
		return o.look.strokes, nil
	}
	in, err := o.input(number)
	if err != nil {
		return work.Strokes{}, err
	}
	s, err := o.fillIn(number, in)
	if err != nil {
		return work.Strokes{}, err
	}
	o.keep(number, work.Work{Input: in, Strokes: s})
	return o.look.strokes, nil
}

// fillIn makes the strokes of a look, and proves what is to be read of them.
func (o *Order) fillIn(look int, in work.Input) (work.Strokes, error) {
	in.Aside = true // to its pocket
	s, err := work.Fill(in)
	if err == nil && o.Pause != nil {
		s, err = o.Pause(in, s)
	}
	if err == nil && o.Source.Prove != nil {
		err = o.Source.Prove(look, s)
	}
	return s, err
}

// differ reports that parts look different, so that each is made for itself.
func (o *Order) differ() bool {
	all := o.Source.Parts
	return slices.ContainsFunc(all, func(p Part) bool { return p.Look != all[0].Look })
}

// spread puts parts into loads. Loads that mark the same looks in the same pockets
// share a file.
func (o *Order) spread() {
	files := map[string]string{}
	for _, l := range fixture.Loads(o.Numbers, o.Pockets) {
		key := ""
		for _, s := range l.Seats {
			key += fmt.Sprintf("%d@%d ", o.parts[s.Part].Look, s.Pocket.Number)
		}
		file, had := files[key]
		if !had {
			file = fmt.Sprintf("%s-%02d.%s", o.Name, len(files)+1, o.ending())
			files[key] = file
		}
		o.Loads = append(o.Loads, Load{Load: l, File: file, First: !had})
	}
}

func (o *Order) ending() string {
	if o.Machine.TakesList() {
		return "mvl"
	}
	return "nc"
}

// Quantity returns how many parts the customer gets.
func (o *Order) Quantity() int { return len(o.Source.Parts) }

// FirstArticle reports that the first part is to be accepted before the rest.
func (o *Order) FirstArticle() bool {
	return value.Or(o.Job.Order.FirstArticle, true) && o.Quantity() > 1
}

// makesFirst reports that the first article is among what is made, and not made again.
func (o *Order) makesFirst() bool { return o.Name != "again" && o.Numbers[0] == 1 }

// clamps are what the head must keep out of.
func (o *Order) clamps() []path.Rect { return machine.Clamps(o.Job.KeepOut) }
