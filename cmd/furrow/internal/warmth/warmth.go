package warmth

import (
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/heat"
	"furrow/path"
)

// Estimate is how warm a blank gets if all of the beam were taken in, and which share
// of it is. Rises are in proportion to that share.
type Estimate struct {
	Material    settings.Material
	Least, Most float64 // share of the beam that is taken in
	From        string  // who says so: "recipe", "material", or "" for nobody
	Mean        heat.Mean
	Map         *heat.Map // nil where it was not asked for
	Groups      []string  // what ends at each of the map's moments but the last
	NotThin     string    // why the blank is no thin plate, or ""
	FreeK       float64   // rise at which a plate bows whose edges are held but can turn; 0 not known
	ClampedK    float64   // the same where they cannot
	Pulsed      bool
	Seconds     float64 // that the job takes

	plate heat.Plate
}

// Unknown says what a map needs of a job and its machine, and is not told.
func Unknown(j job.Resolved) error {
	b, lacks := j.Job.Blank, []string(nil)
	need := func(known bool, what string) {
		if !known {
			lacks = append(lacks, what)
		}
	}
	need(j.Machine != nil, "the machine")
	need(b.Known(), "the blank's width and height")
	need(b.Thickness != nil, "the blank's thickness")
	switch {
	case j.HeatsAs != nil:
	case b.Material == "" && b.HeatAs == "":
		lacks = append(lacks, "the blank's material")
	case b.Thickness != nil:
		lacks = append(lacks, fmt.Sprintf("the numbers of %q, which are not known", b.Material))
	}
	if len(lacks) == 0 {
		return fault.Usagef("a blank of this size and thickness is beyond the estimate of its heat")
	}
	return fault.Usagef("heat needs %s", words.And(lacks)).
		Hintf("write it in [blank] of a job file; heat_as names a material whose numbers will do: furrow help " +
			"materials")
}

// Of estimates how warm the blank gets on average; nil where too little is known.
func Of(w work.Work) *Estimate {
	p, ok := plateOf(w)
	if !ok {
		return nil
	}
	e := &Estimate{Material: *w.HeatsAs, Pulsed: w.Machine.Laser.Pulsed(), plate: p}
	e.Least, e.Most, e.From = absorbed(w)
	total := w.Clock.Total().Seconds()
	e.Seconds = total
	e.Mean = heat.MeanRise(p, anywhere(w.Output, total), 1, total)
	e.FreeK = p.Material.BucklingRise(p.Rect.W(), p.Rect.H(), p.ThicknessMM, false)
	e.ClampedK = p.Material.BucklingRise(p.Rect.W(), p.Rect.H(), p.ThicknessMM, true)
	_, e.NotThin = p.Thin(total * p.ThicknessMM / max(p.Rect.W(), p.Rect.H())) // while rows go on by a thickness
	return e
}

// Mapped is Of with the map, and an error where too little is known.
func Mapped(w work.Work) (*Estimate, error) { return MappedWith(w, heat.Options{}) }

// MappedWith is Mapped on a grid and in steps that are not chosen by the job, so that
// maps of several ways to do it can be held against each other.
func MappedWith(w work.Work, o heat.Options) (*Estimate, error) {
	e := Of(w)
	if e == nil {
		return nil, Unknown(w.Resolved)
	}
	s, err := strokesOf(w)
	if err != nil {
		return nil, err
	}
	o.EndS = w.Clock.Total().Seconds()
	o.Marks, e.Groups = groupEnds(&s.prog, s.marking)
	m, err := heat.Run(e.plate, s.deposits(), 1, o)
	if err != nil {
		return nil, fault.Workf("%w", err)
	}
	e.Map = &m
	return e, nil
}

// strokes are what a work marks, where the beam truly goes, and when.
type strokes struct {
	prog    path.Program
	marking []path.Marking
}

func strokesOf(w work.Work) (s strokes, err error) {
	moves := emit.AsMarked(w.Moves, w.Machine.Profile)
	if s.prog, err = moves.Program(); err != nil {
		return s, err
	}
	if s.marking, err = clock.Strokes(w.Moves, w.Machine.Profile); err != nil {
		return s, err
	}
	if len(s.marking) != len(s.prog.Strokes) {
		return s, fmt.Errorf("%d strokes have %d times", len(s.prog.Strokes), len(s.marking))
	}
	return s, nil
}

// deposits are those of the strokes.
func (s strokes) deposits() heat.Deposits {
	return func(yield func(heat.Deposit) bool) {
		for _, d := range s.numbered() {
			if !yield(d) {
				return
			}
		}
	}
}

// plateOf returns the blank as it lies on the machine.
func plateOf(w work.Work) (heat.Plate, bool) {
	if w.Machine == nil || w.HeatsAs == nil || w.Job.Blank.Thickness == nil {
		return heat.Plate{}, false
	}
	r, ok := w.BlankRect()
	p := heat.Plate{Rect: r, ThicknessMM: float64(*w.Job.Blank.Thickness), Material: w.HeatsAs.Material,
		Loss: lossOf(value.Or(w.Job.Blank.LiesOn, ""))}
	if w.Job.Blank.Round() {
		p = asRound(p)
	}
	return p, ok && p.Check() == nil
}

// asRound gives the rectangle round a plate the mass and the losses of the round one: as a
// whole it gets as warm, and in places rather too warm, since less takes up the heat there.
func asRound(p heat.Plate) heat.Plate {
	const share = math.Pi / 4
	p.Material.DensityKgM3 *= share
	p.Material.Conductivity *= share // heat goes as deep as it did
	p.Loss.Above, p.Loss.Below = p.Loss.Above*share, p.Loss.Below*share
	return p
}

// lossOf returns what leaves a plate that lies on something, by the word of the job.
func lossOf(liesOn string) heat.Loss {
	switch liesOn {
	case "pins":
		return heat.OnPins
	case "metal":
		return heat.OnMetal
	}
	return heat.OnTable
}

// absorbed returns the least and the most of the beam that the blank takes in, and
// who says so.
func absorbed(w work.Work) (least, most float64, from string) {
	if w.Recipe != nil && w.Recipe.AbsorbedFraction > 0 {
		return w.Recipe.AbsorbedFraction, w.Recipe.AbsorbedFraction, "recipe"
	}
	least, most, known := w.HeatsAs.AbsorbedAt(w.Machine.Laser.WavelengthNM)
	if known {
		from = "material"
	}
	return least, most, from
}

// groupEnds returns when the last stroke of each setting but the last one ends, s.
func groupEnds(p *path.Program, marking []path.Marking) (ends []float64, names []string) {
	last := make([]float64, len(p.Settings))
	for i, m := range marking {
		last[p.Strokes[i].Setting] = m.End.Seconds()
	}
	var used []int
	for i, at := range last {
		if at > 0 {
			used = append(used, i)
		}
	}
	slices.SortStableFunc(used, func(a, b int) int {
		if last[a] < last[b] {
			return -1
		}
		return 1
	})
	for _, i := range used[:max(0, len(used)-1)] {
		ends, names = append(ends, last[i]), append(names, p.Settings[i].Name)
	}
	return ends, names
}

// OverRim returns by how much the plate is warmer on average than its rim at most,
// taking in all of the beam; without the map that is the mean rise, since no rim is
// colder than the room.
func (e *Estimate) OverRim() float64 {
	if e.Map == nil {
		return e.Mean.Highest
	}
	return e.Map.Bulge.OverRim()
}
