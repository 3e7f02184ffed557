package swatch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
	"furrow/path"
)

// Request is what a person asks of a card.
type Request struct {
	Machine, Recipe, Around, Material, Date string
	Finer                                   *Record // the patch of From that the card goes round
	From                                    File
	Columns, Rows                           Axis
	Fill                                    job.Fill
	Letters                                 Letters
	PatchMM, GapMM, MarginMM                *value.Length
	StepMM, RiseMM                          *value.Length // of a comb's reading; of a tilted blank
	AsSet                                   bool          // a comb is marked with the profile's own correction
	Blank, At                               *value.Point
}

// The measures of a card that nobody gives, mm.
const (
	defaultPatch  = 6
	defaultGap    = 2
	defaultMargin = 1
)

// swatchKind is the card of patches to choose from.
const swatchKind = "swatch"

// Letters is how the lettering is marked, as far as a person says: "speed=800,power=20".
type Letters struct{ job.Fill }

// Set reads settings by the words that a card knows them by.
func (l *Letters) Set(text string) error {
	for _, part := range strings.Split(text, ",") {
		word, v, ok := strings.Cut(part, "=")
		if !ok {
			return fmt.Errorf("%q is not SETTING=VALUE: write speed=800,power=20", part)
		}
		kind, err := KindOf(strings.TrimSpace(word))
		if err != nil {
			return err
		}
		if kind.key == "" {
			return fmt.Errorf("%s is no setting of the lettering", kind.Word)
		}
		n, err := kind.read(v)
		if err != nil {
			return err
		}
		l.Fill = kind.With(l.Fill, n)
	}
	return nil
}

// Spec settles what the request leaves open.
func (r Request) Spec() (Spec, error) {
	recipe, err := r.recipe()
	if err != nil {
		return Spec{}, err
	}
	found, err := r.machine()
	if err != nil {
		return Spec{}, err
	}
	m := *found
	if recipe == nil {
		recipe = forMaterial(m, r.Material)
	}
	s := Spec{
		Kind: swatchKind, Machine: &m, Material: cmp.Or(r.Material, r.From.Material), Date: r.Date, Fill: r.Fill,
		Columns: r.Columns, Rows: r.Rows,
		PatchMM: float64(value.Or(r.PatchMM, defaultPatch)), GapMM: float64(value.Or(r.GapMM, defaultGap)),
		MarginMM: float64(value.Or(r.MarginMM, defaultMargin)), Blank: path.Point(value.Or(r.Blank, value.Point{})),
		At: (*path.Point)(r.At),
	}
	if err := s.take(recipe); err != nil {
		return Spec{}, err
	}
	if word := machine.ChlorinatedWord(s.Material); word != "" {
		return Spec{}, settings.RefusedMaterial(word)
	}
	if err := r.axes(&s, recipe); err != nil {
		return Spec{}, err
	}
	return s, s.complete(r.Letters.Fill)
}

// machine finds the machine, which an earlier card or the recipe may name.
func (r Request) machine() (*settings.Machine, error) {
	name := cmp.Or(r.Machine, r.From.Machine)
	if recipe, err := r.recipe(); name == "" && err == nil && recipe != nil {
		name = recipe.Machine
	}
	m, err := settings.FindMachine(name)
	return &m, err
}

// recipe finds the recipe that the request names.
func (r Request) recipe() (*settings.Recipe, error) {
	name := cmp.Or(r.Around, r.Recipe)
	if name == "" {
		return nil, nil
	}
	found, err := settings.FindRecipe(name)
	return &found, err
}

// forMaterial finds a recipe for a material on a machine, nil where there is none.
func forMaterial(m settings.Machine, material string) *settings.Recipe {
	all, err := settings.AllRecipes()
	if err != nil || material == "" {
		return nil
	}
	i := slices.IndexFunc(all, func(r settings.Recipe) bool {
		return r.Machine == m.ID && settings.SameMaterial(r.Material, material)
	})
	if i < 0 {
		return nil
	}
	return &all[i]
}

// take fills in what the recipe gives.
func (s *Spec) take(r *settings.Recipe) error {
	if r == nil {
		return nil
	}
	if r.Machine != s.Machine.ID {
		return fault.Usagef("recipe %s was made on %s, and the machine is %s", r.ID, r.Machine, s.Machine.ID).
			Hintf("leave it out, and give --spacing and what else the card does not vary")
	}
	s.Recipe = r.ID
	s.Material = cmp.Or(s.Material, r.Material)
	s.Fill, _ = job.Layered(job.Layer{Fill: s.Fill}, job.Layer{Fill: job.RecipeFill(r.Recipe)})
	return nil
}

// axes settles what the card varies: what is asked for, else what lies round a recipe or
// a patch.
func (r Request) axes(s *Spec, recipe *settings.Recipe) error {
	switch {
	case r.Finer != nil:
		return s.finer(r.From, *r.Finer, r.Fill)
	case r.Around != "":
		s.around(recipe.Recipe)
	case !s.Columns.Given() && !s.Rows.Given():
		return fault.Usagef("nothing to vary").
			Hintf("add --columns speed=200:1200 and --rows power=20:80, or --around RECIPE")
	}
	if s.Columns.Given() && s.Columns.Kind == s.Rows.Kind {
		return fault.Usagef("columns and rows both vary %s", s.Rows.Kind.Word).
			Hintf("vary another setting in one of them")
	}
	return nil
}

// around varies what matters most, where nothing else is asked for: the speed, and with
// it the frequency where pulses are to colour a material, else the power.
func (s *Spec) around(r machine.Recipe) {
	if !s.Columns.Given() {
		speed, _ := KindOf("speed")
		v, _ := speed.Of(s.Fill)
		a := Axis{Kind: speed, Ratios: true, from: v / 2, to: 2 * v}
		a.Values = a.spread(5)
		s.Columns = a
	}
	if s.Rows.Given() {
		return
	}
	power, _ := KindOf("power")
	low, high := 0.0, 100.0
	if f := s.Machine.Laser.FrequencyKHz; f != nil && r.Purpose == "mark" {
		power, _ = KindOf("frequency")
		low, high = f[0], f[1]
	}
	v, _ := power.Of(s.Fill)
	s.Rows = Axis{Kind: power}
	for _, w := range []float64{max(low, 0.6*v), max(low, 0.8*v), v, min(high, 1.2*v), min(high, 1.4*v)} {
		if w = power.rounded(w); len(s.Rows.Values) == 0 || w > s.Rows.Values[len(s.Rows.Values)-1] {
			s.Rows.Values = append(s.Rows.Values, w)
		}
	}
}

// finerSteps is how many values a finer card has of a setting.
const finerSteps = 7

// finer varies between the neighbours of a patch what its card varies.
func (s *Spec) finer(f File, p Record, asked job.Fill) error {
	s.Fill, _ = job.Layered(job.Layer{Fill: asked}, job.Layer{Fill: p.Fill()})
	s.Recipe = cmp.Or(s.Recipe, f.Recipe)
	for _, a := range []struct {
		to   *Axis
		from *AxisRecord
	}{{&s.Columns, f.Columns}, {&s.Rows, f.Rows}} {
		if a.to.Given() || a.from == nil {
			continue
		}
		axis := a.from.axis()
		v, _ := axis.Kind.Of(p.Fill())
		fine, err := axis.around(axis.nearest(v), finerSteps)
		if err != nil {
			return fault.Usagef("%w", err)
		}
		*a.to = fine
	}
	s.Letters = f.Letters.Fill()
	return nil
}

// nearest returns the value of the axis that a patch was made for: the file may have
// rounded it.
func (a Axis) nearest(v float64) float64 {
	best := v
	for i, w := range a.Values {
		if i == 0 || math.Abs(w-v) < math.Abs(best-v) {
			best = w
		}
	}
	return best
}

// complete refuses a card that leaves something open, and settles its lettering: as is
// asked for, else as the recipe says, else in the middle of what is varied.
func (s *Spec) complete(asked job.Fill) error {
	first := s.Fill
	given, _ := job.Layered(job.Layer{Fill: asked}, job.Layer{Fill: s.Letters}, job.Layer{Fill: s.Fill})
	for _, a := range []Axis{s.Columns, s.Rows} {
		if a.Given() {
			first = a.Kind.With(first, a.some())
		}
	}
	if err := first.Complete(s.Machine, ""); err != nil {
		return err
	}
	why := ""
	for i, f := range s.letterings(given) {
		no := s.letter(f, asked)
		if no == "" {
			return nil
		}
		if i == 0 {
			why = no
		}
	}
	return fault.Workf("the lettering: %s", why).
		Hintf("add --letters speed=800,power=20 with values that %s has", s.Machine.ID)
}

// letterings completes the lettering with what the card varies: in the middle of it, and then
// farther and farther from there, since the machine may not have all that a card asks for.
func (s *Spec) letterings(given job.Fill) []job.Fill {
	all := []job.Fill{given}
	for _, a := range []Axis{s.Columns, s.Rows} {
		if _, ok := a.Kind.Of(given); ok || !a.Given() {
			continue
		}
		var more []job.Fill
		for _, v := range a.fromMiddle() {
			for _, f := range all {
				more = append(more, a.Kind.With(f, v))
			}
		}
		all = more
	}
	return all
}

// letter takes a fill for the lettering, and says why the machine cannot mark it.
func (s *Spec) letter(f, asked job.Fill) string {
	only := "only"
	f.Outline, f.Passes, f.FocusOffset = &only, asked.Passes, nil
	if asked.Speed == nil && s.Letters.Speed == nil {
		f = s.inReach(f)
	}
	why := unfit(s.Machine.Profile, Patch{}, settingOf(f, s.Machine))
	if why == "" {
		s.Letters = f
	}
	return why
}

// strokeMM is the length of a letter's stroke, over half of which a head should have
// gained the speed of the lettering: above that it burns into every corner.
const strokeMM = 1

// inReach returns lettering at a speed that a head reaches on its short strokes, with as
// much less power, so that its dose stays as it was.
func (s *Spec) inReach(f job.Fill) job.Fill {
	g := s.Machine.Gantry
	if g == nil || f.Speed == nil || f.Power == nil {
		return f
	}
	speed, power := float64(*f.Speed), float64(*f.Power)
	most := math.Floor(math.Sqrt(strokeMM * min(g.AccelMMPerS2[0], g.AccelMMPerS2[1])))
	if speed <= most {
		return f
	}
	least := s.Machine.Laser.FloorPercent
	f.Speed = value.Given(value.Number(most))
	f.Power = value.Given(value.Number(max(least, math.Ceil(10*power*most/speed)/10)))
	return f
}

// ofRange returns the middle of a range, places nearer and nearer to its ends, and those.
func (a Axis) ofRange() []float64 {
	middle := a.middle(a.from, a.to)
	all, low, high := []float64{a.Kind.rounded(middle)}, middle, middle
	for range 3 {
		low, high = a.middle(a.from, low), a.middle(high, a.to)
		all = append(all, a.Kind.rounded(low), a.Kind.rounded(high))
	}
	return append(all, a.from, a.to)
}

// mostTried is how many values of an axis are tried for the lettering.
const mostTried = 30

// some returns a value from the middle of the axis.
func (a Axis) some() float64 { return a.fromMiddle()[0] }

// fromMiddle returns the values of the axis, the nearest to its middle first; of a range
// whose values are not settled, some.
func (a Axis) fromMiddle() []float64 {
	n := len(a.Values)
	if n == 0 {
		return a.ofRange()
	}
	all := []float64{a.Values[(n-1)/2]}
	for d := 1; len(all) < min(n, mostTried); d++ {
		for _, i := range []int{(n-1)/2 + d, (n-1)/2 - d} {
			if i >= 0 && i < n {
				all = append(all, a.Values[i])
			}
		}
	}
	return all
}
