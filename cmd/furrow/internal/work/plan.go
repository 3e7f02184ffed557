package work

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
)

// Work is artwork made into the timed moves of a machine.
type Work struct {
	Input
	Strokes               // as they lie on the machine
	Shifted  bool         // moved onto the bed by the least that allows the run-up
	Moves    emit.Moves   // none without a machine
	Clock    clock.Report // of the moves
	Output   []float64    // of the beam, J, in each clock.OutputStepS; none where nothing is known of the blank's heat
	Warnings []Warning    // of all stages, in their sequence
}

// UnfitError is work that the machine cannot do as it was asked for.
type UnfitError struct{ failure *fault.Failure }

func (e *UnfitError) Error() string { return e.failure.Error() }

// Unwrap returns the failure, with its remedy.
func (e *UnfitError) Unwrap() error { return e.failure }

// unfit is for moves that the machine cannot make.
func unfit(err error) *UnfitError {
	f := fault.Workf("%w", err)
	var fe *emit.FieldError
	if errors.As(err, &fe) {
		f.Hint = settings.FieldHint(fe)
	}
	return &UnfitError{f}
}

// Make makes artwork into timed moves.
func Make(in Input) (Work, error) { return makeWith(in, Strokes{}) }

// Resequenced is Make with other speeds and powers than those of w, whose marks serve
// again where they were kept.
func (w Work) Resequenced(in Input) (Work, error) { return makeWith(in, w.Strokes) }

func makeWith(in Input, before Strokes) (Work, error) {
	s, err := in.fill(before)
	if err != nil {
		return Work{}, err
	}
	return Plan(in, in.IntoField(s))
}

// Plan makes strokes into moves of the machine, proves them against its limits and
// times them. Without a machine there are none.
func Plan(in Input, s Strokes) (Work, error) {
	w := Work{Input: in, Strokes: s, Warnings: slices.Clone(s.Warnings)}
	if in.Machine == nil {
		return w, nil
	}
	if err := w.planProved(); err != nil {
		return Work{}, err
	}
	if err := in.Observe.Run("time", w.time); err != nil {
		return Work{}, err
	}
	return w, nil
}

// planProved makes the strokes into moves that the machine can do.
func (w *Work) planProved() error {
	within := w.withinMachine()
	if !w.Lenient {
		if err := emit.InField(w.Machine.Profile, w.Program.Bounds()); err != nil {
			return fault.All(within, w.offField(err))
		}
		if within != nil {
			return within
		}
	} else if within != nil {
		w.Warnings = append(w.Warnings, Warning{Message: within.Error()})
	}
	if err := w.Observe.Run("plan", w.plan); err != nil {
		return err
	}
	if err := w.Observe.Run("check", w.prove); err != nil {
		if !w.Lenient {
			return w.unfitAll(err)
		}
		w.Warnings = append(w.Warnings, Warning{Message: err.Error()})
	}
	return nil
}

// prove plays the moves against the machine's limits and the job's clamps.
func (w *Work) prove() error {
	return emit.Check(w.Moves, w.Machine.Profile, machine.Clamps(w.Job.KeepOut)...)
}

// unfitAll tells all that the machine cannot do, each with its remedy. Where that is a speed,
// nothing is said of the room that its overtravel would take.
func (w *Work) unfitAll(err error) error {
	parts := []error{err}
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		parts = several.Unwrap()
	}
	var fast *emit.SpeedError
	tooFast := errors.As(err, &fast)
	var all []error
	for _, part := range parts {
		var bed *emit.BedError
		if tooFast && errors.As(part, &bed) {
			continue
		}
		e := unfit(part)
		if errors.As(part, &fast) {
			e = w.perMinute(e)
		}
		all = append(all, e)
	}
	return fault.All(all...)
}

// perMinute says of a speed that no move of the machine can have what it would be
// in mm/min.
func (w *Work) perMinute(e *UnfitError) *UnfitError {
	most := settings.Fastest(w.Machine.Profile)
	for _, s := range w.Program.Settings {
		if hint := settings.PerMinuteHint(s.SpeedMMPerS, most); s.SpeedMMPerS > most && hint != "" {
			e.failure.Hint = hint
			break
		}
	}
	return e
}

func (w *Work) time() (err error) {
	if w.Clock, err = w.play(); err != nil {
		return err
	}
	if w.Clock.Mark == 0 { // all is smaller than the file's grid
		return &UnfitError{w.nothingToMark(w.Strokes)}
	}
	if err := w.onBlank(); err != nil {
		return err
	}
	w.Warnings = append(w.Warnings, w.motionWarnings()...)
	w.Warnings = append(w.Warnings, w.laserWarnings()...)
	w.Warnings = append(append(w.Warnings, w.closeWarnings()...), w.doseWarnings()...)
	return nil
}

// play times the moves, and counts what the beam puts out where that will be asked for.
func (w *Work) play() (clock.Report, error) {
	if w.HeatsAs == nil {
		return clock.Run(w.Moves, w.Machine.Profile)
	}
	out := clock.NewOutput(w.Moves, w.Machine.Profile)
	r, err := clock.Each(w.Moves, w.Machine.Profile, out.Add)
	w.Output = out.Joules
	return r, err
}

// motionWarnings say what the machine may do to the marks.
func (w *Work) motionWarnings() (all []Warning) {
	for _, r := range emit.RowWarnings(w.Program, w.Machine.Profile) {
		message := r.Message
		if r.Cause == emit.Stagger {
			message += "; use --one-way, or measure it: furrow help stagger"
		}
		all = append(all, Warning{Message: message})
	}
	if limit, effect, _ := w.Clock.Warning(); limit != "" {
		all = append(all, Warning{Message: limit + " " + effect})
	}
	if h := w.Clock.Hottest; h.Times >= TooHot {
		all = append(all, Warning{Message: w.hotWords(h)})
	}
	return all
}

// TooHot is how many times the dose asked for is told.
const TooHot = 1.5

// hotWords say where the dose is highest, and why.
func (w *Work) hotWords(h clock.Hottest) string {
	set := w.Moves.Settings[h.Setting]
	set.Power = h.Power
	if set.SpacingMM == 0 { // an outline: as wide as the beam
		set.SpacingMM = min(w.Machine.Laser.SpotMM[0], w.Machine.Laser.SpotMM[1])
	}
	asked := pulse.Of(set, w.Machine.Laser, 1).DoseJPerCM2
	return fmt.Sprintf("the mark that begins at X%s Y%s gets %s J/cm2 instead of %s: the head slows down there, and "+
		"the power does not; "+
		"mark it slower, at less power, or with power that follows the speed where the controller can",
		words.Decimal(h.At.X, 2), words.Decimal(h.At.Y, 2), words.Number(h.Times*asked, 1), words.Number(asked, 1))
}

func (w *Work) plan() (err error) {
	if err = w.moveOntoBed(); err != nil {
		return err
	}
	if len(w.Parts) > 0 {
		w.Moves, err = emit.PlanPieces(w.pieces(), w.Machine.Profile)
	} else {
		w.Moves, err = emit.Plan(w.Program, w.Machine.Profile)
	}
	if err != nil {
		return unplanned(err)
	}
	return nil
}

// moveOntoBed moves the work so that the head's run-up lies on the bed too, where
// neither a person nor the job says where it goes.
func (w *Work) moveOntoBed() error {
	g := w.Machine.Gantry
	if g == nil || g.Zero != machine.ZeroBed || w.Job.Artwork.At != nil {
		return nil
	}
	reach, err := emit.Reach(w.Program, w.Machine.Profile)
	by := emit.LeastShift(reach, g.Bed())
	if err != nil || by == (path.Point{}) {
		return err
	}
	w.Shifted = true
	w.Strokes = w.Moved(path.Translate(roundOutwards(by.X), roundOutwards(by.Y)))
	return nil
}

// roundOutwards rounds a shift to the next tenth of a millimetre, which a person
// can read off, away from 0.
func roundOutwards(mm float64) float64 {
	return math.Copysign(math.Ceil(math.Abs(mm)*10-1e-6)/10, mm)
}

// unplanned tells what the machine has no room for from other failures.
func unplanned(err error) error {
	var field *emit.FieldError
	var cover *emit.CoverError
	if errors.As(err, &field) || errors.As(err, &cover) {
		return unfit(err)
	}
	return fault.Workf("%w", err)
}
