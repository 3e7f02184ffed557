package order

import (
	"errors"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
	"furrow/path"
)

// pockets finds those of the job's fixture: of one blank, as the job places it,
// where it names none.
func (o *Order) pockets() error {
	f := o.Job.Fixture
	if value.Or(f.Hold, false) && !o.Machine.IsGalvo() {
		return fault.Usagef("%s: a gantry's file cannot wait between parts",
			settings.At(o.Job.Name, o.Job.Data, "fixture.hold")).
			Hintf("leave hold out; --only-parts writes a file for single parts")
	}
	var err error
	switch {
	case o.Input.Pockets != nil:
		o.Pockets = o.Input.Pockets
	case value.Or(f.Fill, false):
		o.Pockets, o.Skipped, err = fixture.Fill(o.area(), o.Blank)
	case f.Given():
		o.Pockets, err = o.grid().Pockets()
	default:
		o.Pockets = []fixture.Pocket{{Number: 1, At: o.lies(o.One).Min}}
		return nil
	}
	if err != nil {
		return o.wrong(err)
	}
	if o.Machine.IsGalvo() && len(f.First) == 0 && o.Input.Pockets == nil {
		o.Pockets = fixture.Centred(o.Pockets, o.Blank)
	}
	o.Pockets = fixture.OnGrid(o.Pockets, o.gridMM())
	if o.Pockets, err = fixture.Without(o.Pockets, append(o.Skipped, f.Skip...)); err != nil {
		return o.wrong(err)
	}
	return o.wrong(fixture.CheckApart(o.Pockets, o.Blank))
}

// grid is the job's columns and rows.
func (o *Order) grid() fixture.Grid {
	f := o.Job.Fixture
	g := fixture.Grid{
		Columns: int(value.Or(f.Columns, 1)), Rows: int(value.Or(f.Rows, 1)), First: pair(f.First),
		Turn: float64(value.Or(f.Turn, 0)), HalfTurns: value.Or(f.HalfTurns, false),
	}
	if len(f.Pitch) > 0 {
		g.Pitch = pair(f.Pitch)
		return g
	}
	room := fixture.Pocket{Turn: g.Turn}.Room(o.Blank)
	g.Pitch = path.Point{X: room.W(), Y: room.H()}.Add(pair(f.Gap))
	return g
}

func pair(v []value.Length) path.Point {
	if len(v) < 2 {
		return path.Point{}
	}
	return path.Point{X: float64(v[0]), Y: float64(v[1])}
}

// gridMM is a step of the file's coordinates.
func (o *Order) gridMM() float64 {
	if o.Machine.IsGalvo() {
		return 1 / o.Machine.StepsPerMM()
	}
	return o.Machine.Controller().Grid().StepMM()
}

// area is where a fixture that is filled may lie.
func (o *Order) area() fixture.Area {
	a := fixture.Area{GapMM: max(pair(o.Job.Fixture.Gap).X, pair(o.Job.Fixture.Gap).Y), Keep: o.clamps(),
		Beyond: o.beyond}
	if g := o.Machine.Gantry; g != nil {
		if a.Room = g.Bed(); g.Zero != machine.ZeroBed {
			a.Room = o.byHand()
		}
		return a
	}
	half := path.Point{X: o.Machine.Galvo.FieldMM[0] / 2, Y: o.Machine.Galvo.FieldMM[1] / 2}
	a.Room = path.Rect{Min: half.Mul(-1), Max: half}
	return a
}

// byHand is the bed's room about X0 Y0 that the first blank's corner is set to.
func (o *Order) byHand() path.Rect {
	reach := o.beyond(0)
	at := path.Point{X: min(0, reach.Min.X), Y: min(0, reach.Min.Y)}
	return path.Rect{Min: at, Max: at.Add(path.Point{X: o.Machine.Gantry.BedMM[0], Y: o.Machine.Gantry.BedMM[1]})}
}

// beyond returns how far the head goes about a blank that lies turned from 0,0: on a
// galvo as far as its marks.
func (o *Order) beyond(turn float64) path.Rect {
	lies, reach := o.lies(o.One), o.One.Clock.Moves
	if o.Machine.IsGalvo() {
		reach = o.One.Clock.Marks
	}
	reach = path.Rect{Min: reach.Min.Sub(lies.Min), Max: reach.Max.Sub(lies.Min)}
	return path.Artwork{Page: reach}.Transform(fixture.Pocket{Turn: turn}.Place(o.Blank)).Page
}

// wrong tells where the job says what is wrong with its fixture.
func (o *Order) wrong(err error) error {
	var fe *fixture.Error
	if !errors.As(err, &fe) {
		return err
	}
	key := fe.Key
	switch f := o.Job.Fixture; {
	case key == "pitch" && f.Pockets != "":
		key = "pockets"
	case key == "pitch" && len(f.Gap) > 0:
		key = "gap"
	}
	f := fault.Workf("%s: %w", settings.At(o.Job.Name, o.Job.Data, "fixture."+key), err)
	if fe.Hint != "" {
		return f.Hintf("%s", fe.Hint)
	}
	return f
}
