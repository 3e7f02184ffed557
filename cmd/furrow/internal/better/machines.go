package better

import (
	"cmp"
	"errors"
	"fmt"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/pulse"
	"furrow/path"
	"math"
	"slices"
)

// Comparison is the same work on several machines. The JSON keys are a contract.
type Comparison struct {
	Job      string   `json:"job"`
	Material string   `json:"material,omitempty"`
	Quantity int      `json:"quantity"`
	LoadingS float64  `json:"loading_s"`
	Machines []*Entry `json:"machines"`   // those that can do it, quickest first
	Unfit    []*Entry `json:"do_not_fit"` // with settings, but the work does not fit
	Unranked []*Entry `json:"not_ranked"` // without settings for the material
	sameDose bool
}

// Entry is one machine.
type Entry struct {
	Machine  string   `json:"machine"`
	Example  bool     `json:"built_in_example"`
	Settings string   `json:"settings,omitempty"` // recipe, or what stands in for one
	Tested   string   `json:"tested,omitempty"`
	Untested bool     `json:"-"`                       // a recipe of the shop's own, never tried on scrap
	Others   []string `json:"other_recipes,omitempty"` // for the material on the machine
	Fits     string   `json:"fits,omitempty"`          // yes, no, or how it would
	Why      string   `json:"why_not,omitempty"`
	Hint     string   `json:"hint,omitempty"`
	*Ranked
	Work *work.Work `json:"-"` // nil where it cannot be done
}

// Ranked is what is known of a machine that can do the work.
type Ranked struct {
	Figures     figures.Figures `json:"figures"` // those of hatch and check
	Hours       float64         `json:"hours"`   // for the quantity, with loading
	EnergyJ     float64         `json:"energy_j"`
	AbsorbedJ   float64         `json:"absorbed_j,omitempty"`
	Heat        *warmth.Figures `json:"heat,omitempty"`          // of the blank, marked alone
	MeanPowerW  float64         `json:"mean_power_w"`            // over the time of a part
	DoseJPerCM2 float64         `json:"dose_j_cm2"`              // of the fill that no group picks
	SpeedMMPerS float64         `json:"speed_mm_s,omitempty"`    // of its rows
	Quickest    float64         `json:"quickest_mm_s,omitempty"` // by time, or as far as pulses overlap
	Warnings    []string        `json:"warnings"`
	Better      []Improvement   `json:"better"`
}

// Question is what is to be compared.
type Question struct {
	Name     string // of the file, for people
	Job      job.Job
	Asked    job.Request // but for machine and recipe, which each machine has of its own
	Machines []settings.Machine
	Wanted   Wanted
	Quantity int
	LoadingS float64
	SameDose bool // hold the dose where a better speed is looked for
	AsAsked  bool // look for nothing better

	Bound   *work.Rounds
	Read    func(j job.Resolved) (work.Drawing, error)
	Observe func(machine string) work.Observer
	Step    func() // called when another way has been tried
}

// MaxBetter is how many of the quickest machines are looked at for what would
// make them better: each change is a whole new run.
const MaxBetter = 2

// Compare tries the work on each machine. What fails for another reason than that it
// does not fit a machine is an error.
func Compare(q Question) (*Comparison, error) {
	pick, err := newPicker(q.Job, q.Wanted)
	if err != nil {
		return nil, err
	}
	t := &Comparison{
		Job: q.Name, Material: pick.material, sameDose: q.SameDose,
		Quantity: q.Quantity, LoadingS: q.LoadingS,
	}
	for _, m := range q.Machines {
		e, err := q.try(m, pick)
		if err != nil {
			return nil, err
		}
		t.add(e)
	}
	t.rank()
	if q.AsAsked {
		return t, nil
	}
	return t, t.improve(q.Step)
}

// Looked returns the machines that are looked at for what would make them better.
func (t *Comparison) Looked() []*Entry { return t.Machines[:min(len(t.Machines), MaxBetter)] }

// try does the work on one machine.
func (q Question) try(m settings.Machine, pick *picker) (*Entry, error) {
	e := &Entry{Machine: m.ID, Example: m.BuiltIn()}
	asked := q.Asked
	asked.Machine, asked.Recipe = cmp.Or(m.File, m.ID), ""
	if asked.Effort == nil {
		quick := "quick"
		asked.Effort = &quick
	}
	if r, ok := pick.recipeFor(m.ID); ok && !q.whole(m, asked, pick) {
		asked.Recipe = cmp.Or(r.File, r.ID)
		e.Settings, e.Tested, e.Others = r.ID, r.Tested(), pick.others(r)
		e.Untested = r.File != "" && r.TestedOn == ""
	}
	j, err := job.Resolve(jobFor(q.Job, m), asked, false)
	if err != nil {
		return e.notRanked(err, pick), nil
	}
	if f := j.Fills[0].From["speed_mm_s"]; j.Recipe == nil || f != "recipe "+j.Recipe.ID {
		e.Settings, e.Tested, e.Untested = standIn(e.Settings, f), "not from a recipe", false
	}
	return e, q.make(e, j)
}

// whole reports that the job says all that its own machine needs and names no recipe. Then
// one that is found by the material may add nothing, a second set of rows or a pass: hatch
// and order know nothing of it.
func (q Question) whole(m settings.Machine, asked job.Request, pick *picker) bool {
	if _, named := pick.use[m.ID]; named || m.ID != pick.own {
		return false
	}
	_, err := job.Resolve(jobFor(q.Job, m), asked, false)
	return err == nil
}

// make does the work of a job whose machine and settings are known.
func (q Question) make(e *Entry, j job.Resolved) error {
	observe := q.Observe(e.Machine)
	in := work.NewInput(j, work.Drawing{})
	in.Observe, in.Bound = observe, q.Bound
	err := observe.Run("read", func() (err error) {
		in.Drawing, err = q.Read(j)
		return err
	})
	var cool Cooling
	if err == nil {
		in, err = cool.Settle(in)
	}
	if err != nil {
		return err
	}
	w, marks, err := planned(in, &cool)
	var unfit *work.UnfitError
	var unpaused *UnpausedError
	switch {
	case errors.As(err, &unpaused):
		e.unfit(err, marks)
		return nil
	case errors.As(err, &unfit):
		e.unfit(err, marks)
		return e.elsewhere(in)
	case err != nil:
		return err
	}
	return e.measure(w)
}

// planned is the work of an input, or the place of its marks where the machine cannot
// do it.
func planned(in work.Input, cool *Cooling) (w work.Work, marks path.Rect, err error) {
	strokes, err := work.Fill(in)
	if err == nil {
		strokes, err = cool.Pause(in, strokes)
	}
	if err == nil {
		strokes = in.IntoField(strokes)
		w, err = work.Plan(in, strokes)
	}
	return w, strokes.Program.Bounds(), err
}

// ifMoved is said of work that fits a machine in another place than the one asked for.
const ifMoved = "if moved"

// elsewhere does work that would fit if it was moved where nothing says that it goes.
func (e *Entry) elsewhere(in work.Input) error {
	if e.Fits != ifMoved || in.Job.Artwork.At == nil {
		return nil
	}
	in.Job.Artwork.At = nil
	w, _, err := planned(in, new(Cooling))
	if err != nil {
		return nil // then it does not fit
	}
	err = e.measure(w)
	e.Fits = ifMoved
	return err
}

// standIn words settings that no recipe gives.
func standIn(recipe, from string) string {
	what := "the job"
	if from == "command line" {
		what = "flags"
	}
	if recipe == "" {
		return what
	}
	return recipe + " and " + what
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

func (e *Entry) notRanked(err error, pick *picker) *Entry {
	var f *fault.Failure
	if errors.As(err, &f) {
		e.Hint = f.Hint
	}
	e.Why = err.Error()
	if e.Settings == "" && pick.material != "" {
		e.Why = fmt.Sprintf("no recipe for %s", pick.material)
		if pick.own != "" {
			e.Why += ": the job's settings are for " + pick.own
		}
		e.Hint = pick.otherMaterial()
	}
	return e
}

// unfit says why the machine cannot do it.
func (e *Entry) unfit(err error, marks path.Rect) {
	e.Why = err.Error()
	var h fault.Hinter
	if errors.As(err, &h) {
		e.Hint = h.Hint()
	}
	e.Fits = "no"
	if travel, room, ok := travelAndRoom(err); ok {
		e.Fits = fitWords(marks, travel, room)
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
		return ifMoved
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
func (e *Entry) measure(w work.Work) error {
	b := done{w}
	joules, err := b.energyJ()
	if err != nil {
		return err
	}
	span, err := figures.SpanOf(w.Moves, w.Machine.Profile, w.Clock)
	if err != nil {
		return err
	}
	e.Work, e.Fits = &w, "yes"
	f := figures.Of(figures.FormatOf(b.Machine.Profile), b.Machine.ID, b.Clock)
	f.Add(span)
	e.Ranked = &Ranked{
		Figures: f, EnergyJ: joules,
		DoseJPerCM2: b.dose(),
		SpeedMMPerS: b.rowSpeed(), Quickest: b.quickestSpeed(), Warnings: []string{}, Better: []Improvement{},
	}
	if s := b.Clock.Total().Seconds(); s > 0 {
		e.MeanPowerW = joules / s
	}
	e.Heat = warmth.Of(w).Figures()
	if b.Recipe != nil {
		e.AbsorbedJ = joules * b.Recipe.AbsorbedFraction
	}
	for _, w := range b.Warnings {
		e.Warnings = append(e.Warnings, w.String())
	}
	return nil
}

// energyJ returns the energy that the beam puts out for one part.
func (b done) energyJ() (float64, error) {
	strokes, err := clock.Strokes(b.Moves, b.Machine.Profile)
	return clock.Energy(strokes), err
}

// dose returns what the fill of the whole lays down, J/cm2.
func (b done) dose() float64 {
	f := b.Groups[0]
	return pulse.Of(f.Setting, b.Laser(0), work.Fillings(f)).DoseJPerCM2
}

// sameDose is by how much a dose may differ and still be the same, relative: less
// than the steps of power in a file.
const sameDose = 0.005

// hasDoseOf reports that the work lays down the same as when it is done as in v, or
// that neither has rows.
func (b done) hasDoseOf(v done) bool {
	now, then := b.dose(), v.dose()
	return now == then || math.Abs(then/now-1) <= sameDose
}

func (t *Comparison) add(e *Entry) {
	switch {
	case e.Ranked != nil:
		t.Machines = append(t.Machines, e)
	case e.Fits != "":
		t.Unfit = append(t.Unfit, e)
	default:
		t.Unranked = append(t.Unranked, e)
	}
}

// rank sorts by the time of the quantity.
func (t *Comparison) rank() {
	for _, e := range t.Machines {
		e.Hours = t.hours(e.Figures.Seconds)
	}
	slices.SortStableFunc(t.Machines, func(a, b *Entry) int {
		return cmp.Or(cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Machine, b.Machine))
	})
	for _, list := range []*[]*Entry{&t.Machines, &t.Unfit, &t.Unranked} {
		if *list == nil {
			*list = []*Entry{} // an empty list, not null
		}
	}
}

// hours returns those of the quantity, with loading.
func (t *Comparison) hours(partS float64) float64 {
	return (partS + t.LoadingS) * float64(t.Quantity) / 3600
}
