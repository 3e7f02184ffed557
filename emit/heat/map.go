package heat

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"furrow/path"
)

// Options says how finely the map is drawn. Zero values are chosen: cells so that
// the longer side has mostCells, no smaller than leastCell, and steps so that the
// job has mostSteps, no shorter than leastStep.
type Options struct {
	CellMM float64
	StepS  float64
	EndS   float64   // when the job ends; 0 with its last deposit
	Marks  []float64 // moments of which the map is told, s, rising: the ends of parts
	Frames int       // how many states of the plate to keep, from the start to the end of the job at even times
}

const (
	mostCells = 160
	leastCell = 0.25 // mm, some widths of a mark
	mostSteps = 2000
	leastStep = 1e-3 // s
	maxCells  = 4_000_000
	maxSteps  = 1_000_000
)

// ErrTooFine is returned for options that would take more memory or time than a
// map is worth.
var ErrTooFine = errors.New("the map of heat would be too fine")

// Map is the highest rise that each place saw.
type Map struct {
	Rect    path.Rect
	NX, NY  int
	Highest []float32 // K, row by row from the lower left

	Peak   float64    // the highest of all, K
	PeakAt path.Point // mm
	PeakS  float64    // when
	Ends   []End      // at the moments asked for, and at the end of the job
	Bulge  End        // when the plate is most warmer on average than its rim

	Frames [][]float32 // the states asked for, as Highest

	AbsorbedJ float64 // on the plate
	BesideJ   float64 // laid down off the plate, and left out
	StepS     float64
}

// End is the state of the plate at a moment, K. Rim is the mean of the cells along
// its edges.
type End struct{ AtS, Mean, Rim, Least, Most float64 }

// Difference returns the greatest difference across the plate, K.
func (e End) Difference() float64 { return e.Most - e.Least }

// OverRim returns by how much the plate is warmer on average than its rim.
func (e End) OverRim() float64 { return e.Mean - e.Rim }

// Run follows the plate through the deposits, of which the absorbed fraction
// stays in it.
func Run(p Plate, all Deposits, absorbed float64, o Options) (Map, error) {
	if err := p.Check(); err != nil {
		return Map{}, err
	}
	o, err := o.complete(p, all)
	if err != nil {
		return Map{}, err
	}
	g := newGrid(p, o)
	r := newRunner(g, o)
	r.m = Map{Rect: p.Rect, NX: g.nx, NY: g.ny, StepS: o.StepS}
	r.frames(0)
	for d := range all {
		r.lay(d, absorbed)
	}
	r.finish()
	r.m.Ends, r.m.Highest = append(r.m.Ends, g.state(r.now)), rounded(r.highest)
	return r.m, nil
}

// complete chooses what is left open.
func (o Options) complete(p Plate, all Deposits) (Options, error) {
	for d := range all {
		o.EndS = max(o.EndS, d.End)
	}
	if o.CellMM == 0 {
		o.CellMM = max(leastCell, max(p.Rect.W(), p.Rect.H())/mostCells)
	}
	if o.StepS == 0 {
		o.StepS = max(leastStep, o.EndS/mostSteps)
	}
	cells := math.Ceil(p.Rect.W()/o.CellMM) * math.Ceil(p.Rect.H()/o.CellMM)
	if !(o.CellMM > 0 && o.StepS > 0) || cells > maxCells || o.EndS/o.StepS > maxSteps {
		return o, fmt.Errorf("%w: %.3g cells and %.3g steps", ErrTooFine, cells, o.EndS/o.StepS)
	}
	return o, nil
}

// runner lays deposits into the grid, a step of time after the other.
type runner struct {
	grid *grid
	o    Options
	m    Map
	now  float64 // where the step under way began, s
	n    int     // of that step
	told int     // moments of o.Marks that have been told
	high float64 // the hottest of all steps since somebody set it to 0, K

	highest []float64 // of each cell, as Map has it
}

func newRunner(g *grid, o Options) runner {
	return runner{grid: g, o: o, highest: make([]float64, len(g.t))}
}

// lay splits a deposit over the steps it lasts.
func (r *runner) lay(d Deposit, absorbed float64) {
	r.until(d.Start)
	long := d.End - d.Start
	for at := d.Start; ; {
		next := float64(r.n+1) * r.o.StepS
		end := min(d.End, next)
		share := 1.0
		if long > 0 {
			share = (end - at) / long
		}
		f0, f1 := 0.0, 1.0
		if long > 0 {
			f0, f1 = (at-d.Start)/long, (end-d.Start)/long
		}
		on := r.grid.line(d.From.Lerp(d.To, f0), d.From.Lerp(d.To, f1), d.EnergyJ*absorbed*share)
		r.m.AbsorbedJ += on
		r.m.BesideJ += d.EnergyJ*absorbed*share - on
		if at = end; d.End <= next {
			return
		}
		r.step()
	}
}

// until ends the steps before a moment.
func (r *runner) until(s float64) {
	r.idle(int(s/r.o.StepS) - r.n - 1)
	for float64(r.n+1)*r.o.StepS <= s {
		r.step()
	}
}

// While nothing is laid down for more than idleSteps, steps get longer, up to idleMost or
// a thousandth of the job: heat only evens out then.
const (
	idleSteps = 16
	idleMost  = 1.0 // s
	longer    = 1.2
)

// idle lets so many steps pass in few.
func (r *runner) idle(steps int) {
	most := min(idleMost, r.o.EndS/1000) / r.o.StepS
	if steps < idleSteps || most < 2 {
		return
	}
	for size := 1.0; steps > 0; size = min(size*longer, most) {
		n := min(steps, int(size))
		r.grid.setStep(float64(n) * r.o.StepS)
		r.grid.spread()
		r.n, steps = r.n+n, steps-n
		r.now = float64(r.n) * r.o.StepS
		r.note()
	}
	r.grid.setStep(r.o.StepS)
}

// finish ends the job, which may be in the midst of a step.
func (r *runner) finish() {
	r.until(r.o.EndS)
	r.grid.last(r.o.EndS - r.now)
	r.now = r.o.EndS
	r.note()
}

// step spreads the heat of a step.
func (r *runner) step() {
	r.grid.spread()
	r.n++
	r.now = float64(r.n) * r.o.StepS
	r.note()
}

// frames keeps the states that are due at a moment.
func (r *runner) frames(now float64) {
	for n := len(r.m.Frames); n < r.o.Frames && r.o.EndS*float64(n) <= now*float64(max(1, r.o.Frames-1)); n++ {
		r.m.Frames = append(r.m.Frames, rounded(r.grid.t))
	}
}

// rounded keeps rises in half the memory.
func rounded(rises []float64) []float32 {
	kept := make([]float32, len(rises))
	for i, t := range rises {
		kept[i] = float32(t)
	}
	return kept
}

// note remembers what is highest.
func (r *runner) note() {
	r.frames(r.now)
	now := r.grid.state(r.now)
	for i, t := range r.grid.t {
		if t > r.highest[i] {
			r.highest[i] = t
		}
	}
	r.high = max(r.high, now.Most)
	if now.Most > r.m.Peak {
		r.m.Peak, r.m.PeakS, r.m.PeakAt = now.Most, r.now, r.grid.middle(slices.Index(r.grid.t, now.Most))
	}
	if now.OverRim() > r.m.Bulge.OverRim() {
		r.m.Bulge = now
	}
	for r.told < len(r.o.Marks) && r.o.Marks[r.told] <= r.now {
		r.m.Ends = append(r.m.Ends, now)
		r.told++
	}
}
