package order

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/path"
)

// Made is a load as moves, proved against the machine's limits and timed.
type Made struct {
	Load
	Moves emit.Moves
	Clock clock.Report
	Runs  []run           // of its seats, each marked as one
	Parts []time.Duration // how long each of its seats takes, with the way to it
}

// Make makes the moves of a load.
func (o *Order) Make(l Load) (Made, error) {
	m := Made{Load: l}
	pieces, runs, err := o.pieces(l)
	m.Runs = runs
	if err != nil {
		return Made{}, err
	}
	if m.Moves, err = emit.PlanPieces(pieces, o.Machine.Profile); err != nil {
		return Made{}, o.unfit(m, err)
	}
	if err := emit.Check(m.Moves, o.Machine.Profile, o.clamps()...); err != nil {
		return Made{}, o.unfit(m, err)
	}
	m.Moves.Header.Blanks = o.blanks(l)
	return m, o.time(&m)
}

// blanks are where those of a load lie, for its file to tell.
func (o *Order) blanks(l Load) (all []emit.Blank) {
	if !o.Job.Blank.Known() {
		return nil
	}
	for _, s := range l.Seats {
		f := level(s.Pocket.Form(o.Blank))
		all = append(all, emit.Blank{Rect: f.Rect, Bleed: float64(value.Or(o.Job.Blank.Bleed, 0)), Round: f.Round,
			Turn: f.Turn})
	}
	return all
}

// level is a form told without a turn where it looks as well without.
func level(f path.Form) path.Form {
	circle := f.Round && math.Abs(f.Rect.W()-f.Rect.H()) < 1e-6
	if circle || math.Mod(f.Turn, 90) == 0 {
		return path.Form{Rect: f.Bounds(), Round: f.Round}
	}
	f.Turn = math.Mod(f.Turn, 180)
	return f
}

// pieces are the parts of a load where their pockets hold them.
func (o *Order) pieces(l Load) (all []emit.Piece, runs []run, err error) {
	runs = o.runs(l)
	for _, r := range runs {
		p, err := o.piece(l, r)
		if err != nil {
			return nil, nil, err
		}
		all = append(all, p)
	}
	return all, runs, nil
}

// piece is what is marked as one.
func (o *Order) piece(l Load, r run) (emit.Piece, error) {
	seat := l.Seats[r.from]
	s, err := o.strokes(o.parts[seat.Part].Look)
	if err != nil {
		return emit.Piece{}, fmt.Errorf("part %d: %w", seat.Part, err)
	}
	if err := o.drawLook(); err != nil {
		return emit.Piece{}, err
	}
	for _, one := range l.Seats[r.from:r.to] {
		if err := o.inField(s.Program, one.Pocket.Place(o.Blank), one.Pocket.Number); err != nil {
			return emit.Piece{}, err
		}
	}
	if r.to > r.from+1 {
		return o.across(l, r)
	}
	return emit.Piece{
		Program: s.Program, Place: seat.Pocket.Place(o.Blank), Note: o.note(l, r.from),
		Hold: r.from > 0 && value.Or(o.Job.Fixture.Hold, false),
	}, nil
}

// inField refuses a pocket whose marks leave a galvo's field.
func (o *Order) inField(p path.Program, place path.Matrix, pocket int) error {
	if !o.Machine.IsGalvo() {
		return nil
	}
	moved := p.Transform(place)
	if err := emit.InField(o.Machine.Profile, moved.Bounds()); err != nil {
		return fault.Workf("pocket %d: %w", pocket,
			err).Hintf("skip it, take fewer columns or rows, or set the pockets nearer to the middle of the field")
	}
	return nil
}

// note is what the file says before a part. A file that more than one load runs
// names the pocket alone.
func (o *Order) note(l Load, seat int) string {
	s := l.Seats[seat]
	if len(o.loadsOf(l.File)) > 1 {
		return fmt.Sprintf("pocket %d", s.Pocket.Number)
	}
	return fmt.Sprintf("part %d pocket %d", s.Part, s.Pocket.Number)
}

// loadsOf lists the loads that run a file.
func (o *Order) loadsOf(file string) (all []Load) {
	for _, l := range o.Loads {
		if l.File == file {
			all = append(all, l)
		}
	}
	return all
}

// time tells how long the load takes, and each of its parts.
func (o *Order) time(m *Made) (err error) {
	starts := make([]time.Duration, 0, len(m.Runs))
	n := 0
	m.Clock, err = clock.Each(m.Moves, o.Machine.Profile, func(t clock.Timed) {
		for len(starts) < len(m.Moves.Notes) && m.Moves.Notes[len(starts)].Move <= n {
			starts = append(starts, t.Start)
		}
		n++
	})
	for i, s := range starts {
		end := m.Clock.Total()
		if i+1 < len(starts) {
			end = starts[i+1]
		}
		r := m.Runs[i]
		for range r.to - r.from { // parts that are marked as one share its time
			m.Parts = append(m.Parts, (end-s)/time.Duration(r.to-r.from))
		}
	}
	return err
}

// fewer says how the fixture would fit a bed that it is too large for.
func (o *Order) fewer(e *emit.BedError) string {
	var what []string
	if e.Travel.W() > e.Bed.W() {
		what = append(what, "fewer columns")
	}
	if e.Travel.H() > e.Bed.H() {
		what = append(what, "fewer rows")
	}
	return strings.Join(what, " and ") + " of the fixture, or a smaller pitch; fixture.fill = true lays out as many " +
		"as fit"
}

// unfit names the pocket in which a move lies that the machine cannot make.
func (o *Order) unfit(m Made, err error) error {
	where := ""
	var at interface{ FirstMove() int }
	if errors.As(err, &at) && len(m.Moves.Notes) == len(m.Runs) {
		i, found := slices.BinarySearchFunc(m.Moves.Notes, at.FirstMove(),
			func(n emit.Note, move int) int { return n.Move - move })
		if !found {
			i--
		}
		if i >= 0 {
			where = fmt.Sprintf("pocket %d: ", m.Seats[m.Runs[i].from].Pocket.Number)
		}
	}
	f := fault.Workf("load %d: %s%w", m.Number, where, err)
	var bed *emit.BedError
	if errors.As(err, &bed) && !bed.Fits {
		return f.Hintf("%s", o.fewer(bed))
	}
	return f
}
