package order

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/raster/paper"
)

// What bounds the parts that are made to be compared, since a repeat is a matter of seconds:
// how many there are, and the points of their strokes, which count bestCosts times where the
// best sequence is looked for. The others are said not to be compared.
const (
	mostMade   = 50
	mostPoints = 1 << 20
	bestCosts  = 20
)

// Differences words how what one order would make differs from another, part by part: what
// the first part takes, which parts have other words or other marks, and where they lie. Of
// nothing it says that it stays the same without having compared it.
func Differences(before, after *Order) ([]string, error) {
	all := before.firstDiffers(after)
	figures := len(all) > 0
	c := comparison{before: before, after: after, verdicts: map[[2]int]verdict{}}
	if err := c.compare(); err != nil {
		return nil, err
	}
	all = append(all, c.words(figures)...)
	return append(all, before.liesElsewhere(after)...), nil
}

// firstDiffers words what the figures of the first part tell.
func (o *Order) firstDiffers(after *Order) (all []string) {
	name := "a part"
	if o.differ() || after.differ() {
		name = fmt.Sprintf("part %d", o.Numbers[0])
	}
	x, y := o.One.Clock, after.One.Clock
	if s, t := words.Time(x.Total()), words.Time(y.Total()); s != t {
		all = append(all, fmt.Sprintf("%s takes %s instead of %s", name, t, s))
	}
	if s, t := words.Metres(x.MarkMM), words.Metres(y.MarkMM); s != t {
		all = append(all, fmt.Sprintf("%s are marked instead of %s", t, s))
	}
	switch {
	case words.Size(x.Marks) != words.Size(y.Marks):
		all = append(all, fmt.Sprintf("the marks are %s instead of %s", words.Size(y.Marks), words.Size(x.Marks)))
	case words.Place(x.Marks) != words.Place(y.Marks):
		all = append(all, fmt.Sprintf("the marks lie at %s instead of %s", words.Place(y.Marks), words.Place(x.Marks)))
	}
	return append(append(all, dosesDiffer(o.One, after.One)...), o.focusDiffers(after)...)
}

// focusDiffers words the places of the focus that are others, of which no stroke tells.
func (o *Order) focusDiffers(after *Order) (all []string) {
	for i := range min(len(o.Fills), len(after.Fills)) {
		if x, y := o.focusWords(i), after.focusWords(i); x != y {
			all = append(all, fmt.Sprintf("%s is marked %s instead of %s", work.GroupName(i), y, x))
		}
	}
	return all
}

// dosesDiffer words the doses that are others.
func dosesDiffer(before, after work.Work) (all []string) {
	x, y := before.Laid(), after.Laid()
	for i := range min(len(x), len(y)) {
		if p, q := x[i].Facts().DoseJPerCM2, y[i].Facts().DoseJPerCM2; math.Abs(p-q) > 0.005*max(p, q) {
			all = append(all, fmt.Sprintf("%s gets %s J/cm2 instead of %s", x[i].Name, words.Number(q, 1),
				words.Number(p, 1)))
		}
	}
	return all
}

// verdict is what is known of a part that is in both orders.
type verdict int

const (
	unknown    verdict = iota // it was not compared
	sameInputs                // all that its marks are made from is the same
	sameMarks                 // made from both, it came out the same
	otherMarks
)

// comparison goes through the parts of two orders.
type comparison struct {
	before, after *Order
	verdicts      map[[2]int]verdict // of two looks
	made, points  int

	parts, same       int   // in both
	reads             []int // parts that have other words
	marks, uncompared []int // others
}

// compare judges each part that both orders make.
func (c *comparison) compare() error {
	for _, n := range c.after.Numbers {
		if !slices.Contains(c.before.Numbers, n) {
			continue
		}
		c.parts++
		p, q := c.before.parts[n], c.after.parts[n]
		if !slices.Equal(p.Texts, q.Texts) {
			c.reads = append(c.reads, n)
			continue
		}
		v, err := c.judge(p.Look, q.Look)
		switch {
		case err != nil:
			return fmt.Errorf("part %d: %w", n, err)
		case v == unknown:
			c.uncompared = append(c.uncompared, n)
		case v == otherMarks:
			c.marks = append(c.marks, n)
		default:
			c.same++
		}
	}
	return nil
}

// judge compares two looks: by what they are made from, and where that differs by their
// strokes.
func (c *comparison) judge(before, after int) (v verdict, err error) {
	looks := [2]int{before, after}
	if v, had := c.verdicts[looks]; had {
		return v, nil
	}
	if v, err = c.judgeInputs(before, after); err == nil && v == unknown && c.made < mostMade && c.points < mostPoints {
		c.made++
		v, err = c.judgeMarks(before, after)
	}
	c.verdicts[looks] = v
	return v, err
}

// judgeInputs tells sameInputs, or unknown. What a job leaves open is settled by the first
// part, so that where that differs the inputs of others alone do not tell.
func (c *comparison) judgeInputs(before, after int) (verdict, error) {
	same, err := c.sameAsked(before, after)
	if err == nil && same && c.after.leavesOpen() {
		same, err = c.sameAsked(c.before.Source.Parts[0].Look, c.after.Source.Parts[0].Look)
	}
	if err == nil && same {
		return sameInputs, nil
	}
	return unknown, err
}

// sameAsked reports that two looks are made from the same.
func (c *comparison) sameAsked(before, after int) (bool, error) {
	a, err := c.before.asked(before)
	if err != nil {
		return false, err
	}
	b, err := c.after.asked(after)
	return reflect.DeepEqual(thatMarks(a), thatMarks(b)), err
}

// thatMarks is an input without what alters no mark: remarks, what was ordered, and how
// files are named.
func thatMarks(in work.Input) work.Input {
	in.Observe = work.Observer{}
	in.Drawing.Warnings, in.Drawing.Places, in.Drawing.Texts = nil, nil, 0 // what is set there is in Art
	in.Alike, in.NotTaken, in.Fonts = nil, "", nil                         // letters are in Art
	in.Asked.Machine, in.Asked.Recipe = "", ""
	fills := slices.Clone(in.Fills)
	for i := range fills {
		fills[i].From = nil
	}
	in.Fills = fills
	j := &in.Job
	j.Machine, j.Recipe, j.Name, j.Data = "", "", "", nil
	j.Order, j.Differing = job.Order{}, job.Differing{}
	return in
}

func (c *comparison) judgeMarks(before, after int) (verdict, error) {
	a, err := c.before.strokes(before)
	if err != nil {
		return unknown, err
	}
	b, err := c.after.strokes(after)
	points := len(a.Program.Points) + len(b.Program.Points)
	if value.Or(c.after.Job.Effort, "") == job.EffortBest || value.Or(c.before.Job.Effort, "") == job.EffortBest {
		points *= bestCosts
	}
	c.points += points
	if err == nil && alike(a.Program, b.Program) {
		return sameMarks, nil
	}
	return otherMarks, err
}

// alike reports whether two programs are the same to the last point.
func alike(a, b path.Program) bool {
	return slices.Equal(a.Settings, b.Settings) && slices.Equal(a.Strokes, b.Strokes) &&
		slices.Equal(a.Points, b.Points) && slices.Equal(a.Rests, b.Rests)
}

// words say what was found. Marks that differ although no figure does are to be looked at.
func (c *comparison) words(figures bool) (all []string) {
	if n, m := len(c.after.Numbers), len(c.before.Numbers); n != m {
		all = append(all, fmt.Sprintf("%s instead of %d", words.Plural(n, "part"), m))
	}
	if len(c.reads) > 0 {
		all = append(all, c.readWords())
	}
	if len(c.marks) > 0 {
		said := c.which(c.marks) + " other marks, or another sequence of them"
		if !figures && c.marks[0] == c.after.Numbers[0] {
			said += fmt.Sprintf(", though time, dose, size and place of those of part %d all stay the same: look at it "+
				"(furrow preview)", c.marks[0])
		}
		all = append(all, said)
	}
	if len(c.uncompared) > 0 {
		all = append(all, fmt.Sprintf("%s not compared: %s", words.Plural(len(c.uncompared), "part"), few(c.uncompared)))
	}
	if c.same > 0 {
		all = append(all, c.sameWords())
	}
	return all
}

// which names parts, and that they have something.
func (c *comparison) which(some []int) string {
	switch {
	case len(some) == c.parts && c.parts > 1:
		return fmt.Sprintf("all %s have", words.Plural(c.parts, "part"))
	case len(some) == 1:
		return fmt.Sprintf("part %d has", some[0])
	}
	return fmt.Sprintf("%d of %s (%s) have", len(some), words.Plural(c.parts, "part"), few(some))
}

// shownNumbers is how many numbers are told where they make no few ranges.
const shownNumbers = 5

// few words numbers that rise, the first few of them where they are scattered.
func few(all []int) string {
	if said := words.Numbers(all); strings.Count(said, ",") < shownNumbers {
		return said
	}
	return fmt.Sprintf("%s and %d more", words.Numbers(all[:shownNumbers]), len(all)-shownNumbers)
}

// shownReads is of how many parts the words are told.
const shownReads = 3

// readWords tell the words of the first few parts that have others.
func (c *comparison) readWords() string {
	var some []string
	for _, n := range c.reads[:min(shownReads, len(c.reads))] {
		was, is := otherTexts(c.before.parts[n].Texts, c.after.parts[n].Texts)
		some = append(some, fmt.Sprintf("part %d reads %s instead of %s", n, quoted(is), quoted(was)))
	}
	said := strings.Join(some, ", ")
	if more := len(c.reads) - len(some); more > 0 {
		said += fmt.Sprintf(" and %d more", more)
	}
	if len(c.reads) == 1 {
		return said
	}
	if len(c.reads) == c.parts {
		return fmt.Sprintf("all %s read otherwise: %s", words.Plural(c.parts, "part"), said)
	}
	return fmt.Sprintf("%d of %s read otherwise: %s", len(c.reads), words.Plural(c.parts, "part"), said)
}

// otherTexts leaves out what two lists of a part's own words share.
func otherTexts(a, b []paper.Fact) (x, y []paper.Fact) {
	if len(a) != len(b) {
		return a, b
	}
	for i := range a {
		if a[i] != b[i] {
			x, y = append(x, a[i]), append(y, b[i])
		}
	}
	return x, y
}

func quoted(texts []paper.Fact) string {
	var all []string
	for _, t := range texts {
		all = append(all, fmt.Sprintf("%q", t.Text))
	}
	if len(all) == 0 {
		return "nothing of its own"
	}
	return words.And(all)
}

// sameWords say of how many parts the marks stay. Strokes and settings were compared; a
// machine whose profile marks otherwise makes other marks of them.
func (c *comparison) sameWords() string {
	whose := "the part"
	switch {
	case c.same == 1 && c.parts > 1:
		whose = "the other part"
	case c.same < c.parts:
		whose = "the other " + words.Plural(c.same, "part")
	case c.parts > 1:
		whose = fmt.Sprintf("all %s", words.Plural(c.parts, "part"))
	}
	if c.before.Machine.Hash() != c.after.Machine.Hash() {
		return fmt.Sprintf("what is asked for on %s stays the same, and the profile is another in what alters the "+
			"marks or their safety", whose)
	}
	if len(c.before.focusDiffers(c.after)) > 0 {
		return fmt.Sprintf("the strokes of %s stay the same", whose)
	}
	return fmt.Sprintf("the marks of %s stay the same", whose)
}

// goneThrough words the sequence in which a load is marked.
func (o *Order) goneThrough() string {
	said := "part after part"
	if o.Job.Fixture.Across() {
		said = "row after row across parts"
	}
	if value.Or(o.Job.Fixture.Hold, false) {
		said += ", with waits between"
	}
	return said
}

// liesElsewhere words how the pockets differ, and how the parts in them are gone through.
func (o *Order) liesElsewhere(after *Order) (all []string) {
	if s, t := o.goneThrough(), after.goneThrough(); s != t {
		all = append(all, fmt.Sprintf("a load is marked %s instead of %s", t, s))
	}
	if s, t := o.blankWords(), after.blankWords(); s != t {
		all = append(all, fmt.Sprintf("a blank is %s instead of %s", t, s))
	}
	if len(o.Pockets) != len(after.Pockets) {
		return append(all, fmt.Sprintf("%s instead of %d", words.Plural(len(after.Pockets), "pocket"), len(o.Pockets)))
	}
	var moved []int
	for i, p := range after.Pockets {
		if p != o.Pockets[i] {
			moved = append(moved, p.Number)
		}
	}
	if len(moved) > 0 {
		all = append(all, fmt.Sprintf("%s elsewhere: %s", words.Plural(len(moved), "pocket"), few(moved)))
	}
	return all
}
