package main

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/pulse"
	"furrow/path"
)

// comparison is the same work on several machines. The JSON keys are a contract.
type comparison struct {
	Job      string   `json:"job"`
	Material string   `json:"material,omitempty"`
	Quantity int      `json:"quantity"`
	LoadingS float64  `json:"loading_s"`
	Machines []*entry `json:"machines"`   // those that can do it, quickest first
	Unfit    []*entry `json:"do_not_fit"` // with settings, but the work does not fit
	Unranked []*entry `json:"not_ranked"` // without settings for the material
	sameDose bool
}

// entry is one machine.
type entry struct {
	Machine  string   `json:"machine"`
	Example  bool     `json:"built_in_example"`
	Settings string   `json:"settings,omitempty"` // recipe, or what stands in for one
	Tested   string   `json:"tested,omitempty"`
	Others   []string `json:"other_recipes,omitempty"` // for the material on the machine
	Fits     string   `json:"fits,omitempty"`          // yes, no, or how it would
	Why      string   `json:"why_not,omitempty"`
	Hint     string   `json:"hint,omitempty"`
	*ranked
	b *build
}

// ranked is what is known of a machine that can do the work.
type ranked struct {
	Figures     figures.Figures `json:"figures"` // those of hatch and check
	Hours       float64         `json:"hours"`   // for the quantity, with loading
	EnergyJ     float64         `json:"energy_j"`
	AbsorbedJ   float64         `json:"absorbed_j,omitempty"`
	MeanPowerW  float64         `json:"mean_power_w"`            // over the time of a part
	DoseJPerCM2 float64         `json:"dose_j_cm2"`              // of the fill that no part picks
	SpeedMMPerS float64         `json:"speed_mm_s,omitempty"`    // of its rows
	Quickest    float64         `json:"quickest_mm_s,omitempty"` // what its rows would be quickest at, by time or as far as pulses overlap
	Warnings    []string        `json:"warnings"`
	Better      []improvement   `json:"better"`
}

// try runs the work on one machine.
func (c *compareFlags) try(a *app, j job.Job, m settings.Machine, pick *picker, step func()) (*entry, error) {
	e := &entry{Machine: m.ID, Example: m.BuiltIn()}
	r := c.request
	r.Machine = cmp.Or(m.File, m.ID)
	if r.Effort == nil {
		quick := "quick"
		r.Effort = &quick
	}
	j, r.Recipe = jobFor(j, m), ""
	if rec, ok := pick.recipeFor(m.ID); ok {
		r.Recipe = cmp.Or(rec.File, rec.ID)
		e.Settings, e.Tested, e.Others = rec.ID, rec.Tested(), pick.others(rec)
	}
	b, err := r.buildOf(j, false)
	if err != nil {
		return e.notRanked(err, pick), nil
	}
	e.b = b
	b.stages.after = step
	if f := b.Fills[0].From["speed_mm_s"]; b.Recipe == nil || f != "recipe "+b.Recipe.ID {
		e.Settings, e.Tested = standIn(e.Settings, f), "not from a recipe"
	}
	if err := b.makeProgram(a); err != nil {
		return nil, err
	}
	err = b.makeMoves()
	if err == nil {
		err = b.withinMachine()
	}
	if err != nil {
		e.unfit(err)
		return e, nil
	}
	return e, e.measure()
}

// standIn words settings that no recipe gives.
func standIn(recipe, from string) string {
	if recipe == "" {
		return from
	}
	return recipe + ", speed from " + from
}

// jobFor returns the job as a machine sees it that may be another than its own.
func jobFor(j job.Job, m settings.Machine) job.Job {
	own := j.OwnMachine()
	j.Recipe = ""
	if own == "" || own == m.ID {
		return j
	}
	j, _ = j.Elsewhere()
	j.KeepOut = nil // clamps of the other machine's table
	return j
}

func (e *entry) notRanked(err error, pick *picker) *entry {
	var f *fault.Failure
	if errors.As(err, &f) {
		e.Hint = f.Hint
	}
	e.Why = err.Error()
	if e.Settings == "" && pick.material != "" {
		e.Why = fmt.Sprintf("no recipe for %s", pick.material)
		e.Hint = pick.otherMaterial()
	}
	return e
}

// unfit says why the machine cannot do it.
func (e *entry) unfit(err error) {
	e.Why = err.Error()
	var h fault.Hinter
	if errors.As(err, &h) {
		e.Hint = h.Hint()
	}
	e.Fits = "no"
	if travel, room, ok := travelAndRoom(err); ok {
		e.Fits = fitWords(e.b.program.Bounds(), travel, room)
	}
}

// travelAndRoom returns how much room the work takes and how much there is, mm,
// where that is what is wrong.
func travelAndRoom(err error) (travel, room path.Point, ok bool) {
	var bed *emit.BedError
	var field *emit.FieldError
	switch {
	case errors.As(err, &bed):
		return path.Point{X: bed.Travel.W(), Y: bed.Travel.H()}, path.Point{X: bed.Bed.W(), Y: bed.Bed.H()}, true
	case errors.As(err, &field):
		return field.Size(), field.Field, true
	}
	return path.Point{}, path.Point{}, false
}

// fitWords says how work that does not fit would: its marks take up some room,
// and its travel more. Each set-up needs the run-ups of the whole.
func fitWords(marks path.Rect, travel, room path.Point) string {
	runUp := travel.Sub(path.Point{X: marks.W(), Y: marks.H()})
	left := room.Sub(runUp)
	switch {
	case travel.X <= room.X && travel.Y <= room.Y:
		return "if moved"
	case travel.Y <= room.X && travel.X <= room.Y:
		return "if turned"
	case left.X > 0 && left.Y > 0:
		return fmt.Sprintf("in %d set-ups", setUps(path.Point{X: marks.W(), Y: marks.H()}, left))
	}
	return "no"
}

// setUps counts the pieces that work would have to be marked in, upright or
// turned.
func setUps(size, room path.Point) int {
	n := func(w, h float64) float64 { return math.Ceil(w/room.X) * math.Ceil(h/room.Y) }
	return int(min(n(size.X, size.Y), n(size.Y, size.X)))
}

// measure fills in what the clock says.
func (e *entry) measure() error {
	b := e.b
	joules, err := b.energyJ()
	if err != nil {
		return err
	}
	e.Fits = "yes"
	e.ranked = &ranked{
		Figures: b.figures().Figures, EnergyJ: joules, DoseJPerCM2: b.dose(),
		SpeedMMPerS: b.rowSpeed(), Quickest: b.quickestSpeed(), Warnings: []string{}, Better: []improvement{},
	}
	if s := b.clocked.Total().Seconds(); s > 0 {
		e.MeanPowerW = joules / s
	}
	if b.Recipe != nil {
		e.AbsorbedJ = joules * b.Recipe.AbsorbedFraction
	}
	for _, w := range b.warnings {
		e.Warnings = append(e.Warnings, w.String())
	}
	return nil
}

// energyJ returns the energy that the beam puts out for one part.
func (b *build) energyJ() (float64, error) {
	strokes, err := clock.Strokes(b.moves, b.Machine.Profile)
	return clock.Energy(strokes), err
}

// dose returns what the fill of the whole lays down, J/cm2.
func (b *build) dose() float64 {
	f := b.parts[0]
	return pulse.Of(f.Setting, b.laser(0), fillings(f)).DoseJPerCM2
}

// sameDose is by how much a dose may differ and still be the same, relative: less
// than the steps of power in a file.
const sameDose = 0.005

// hasDoseOf reports that the work lays down the same as when it is done as in v, or
// that neither has rows.
func (b *build) hasDoseOf(v *build) bool {
	now, then := b.dose(), v.dose()
	return now == then || math.Abs(then/now-1) <= sameDose
}

func (t *comparison) add(e *entry) {
	switch {
	case e.ranked != nil:
		t.Machines = append(t.Machines, e)
	case e.b != nil:
		t.Unfit = append(t.Unfit, e)
	default:
		t.Unranked = append(t.Unranked, e)
	}
}

// rank sorts by the time of the quantity.
func (t *comparison) rank() {
	for _, e := range t.Machines {
		e.Hours = t.hours(e.Figures.Seconds)
	}
	slices.SortStableFunc(t.Machines, func(a, b *entry) int {
		return cmp.Or(cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Machine, b.Machine))
	})
	for _, list := range []*[]*entry{&t.Machines, &t.Unfit, &t.Unranked} {
		if *list == nil {
			*list = []*entry{} // an empty list, not null
		}
	}
}

func (t *comparison) hours(partS float64) float64 {
	return (partS + t.LoadingS) * float64(t.Quantity) / 3600
}
