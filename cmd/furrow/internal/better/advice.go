package better

import (
	"cmp"
	"fmt"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"math"
	"slices"
	"time"
)

// done is work that is looked at for what would be better.
type done struct{ work.Work }

// WorthIt is the part of the time that another way to work must save to be told.
const WorthIt = 0.01

// worth reports that a saving is worth telling.
func (b done) worth(saved time.Duration) bool {
	return saved.Seconds() >= WorthIt*b.Clock.Total().Seconds()
}

// adviceLeast is what advice of hatch must save besides.
const adviceLeast = time.Second

// advised reports that a saving is worth the advice of hatch.
func (b done) advised(saves time.Duration) bool { return saves >= adviceLeast && b.worth(saves) }

// suggestion is a way in which the work would finish sooner.
type suggestion struct {
	words string
	saves time.Duration
}

// Advise looks for ways in which the work would finish sooner, the best first.
// What one saves is told by the clock, on the work done that way; a way that
// does not fit the machine is none.
func Advise(w work.Work) ([]string, error) {
	var advice []string
	if limit, _, remedy := w.Clock.Warning(); limit != "" {
		advice = append(advice, limit+": "+remedy)
	}
	if !w.Machine.IsGantry() || w.Hatched.Spans == 0 {
		return advice, nil
	}
	b := done{w}
	var all []suggestion
	for _, look := range []func() (suggestion, error){b.adviseSpeed, b.adviseDirection, b.adviseContours} {
		s, err := look()
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	slices.SortStableFunc(all, func(x, y suggestion) int { return cmp.Compare(y.saves, x.saves) })
	for _, s := range all {
		if b.advised(s.saves) {
			advice = append(advice, s.words)
		}
	}
	return advice, nil
}

// adviseSpeed says at which speed the rows would finish sooner, slower or faster,
// and the power that lays down the same dose.
func (b done) adviseSpeed() (suggestion, error) {
	v, _, _, err := b.quicker(true)
	if err != nil || v == nil || !b.hasDoseOf(*v) {
		return suggestion{}, err
	}
	v, err = v.resequenced() // the sequence depends on the speed
	if err != nil || v == nil {
		return suggestion{}, err
	}
	saves := b.Clock.Total() - v.Clock.Total()
	text := fmt.Sprintf("%s mm/s at %s %%%s, same dose, saves %s", words.Number(v.rowSpeed(), 1),
		words.Number(100*v.Groups[0].Setting.Power, 1), b.otherGroups(), words.Saving(saves, b.Clock.Total()))
	if v.rowSpeed() < b.rowSpeed() {
		text = "slower is quicker: " + text
	}
	return suggestion{text, saves}, nil
}

// otherWay is variant with a quick search for the sequence.
func (b done) otherWay(o way) (*done, error) { return b.quickly().variant(o) }

// resequenced is the same work with a quick search for the sequence.
func (b done) resequenced() (*done, error) {
	in := b.quickly().Input
	in.Observe.Stage = nil
	return unlessUnfit(b.Resequenced(in))
}

// quickly asks for a quick search.
func (b done) quickly() done {
	effort := "quick"
	b.Job.Effort, b.Bound = &effort, nil
	return b
}

// otherGroups words what happens to the groups of a job beside the whole.
func (b done) otherGroups() string {
	if len(b.Groups) > 1 {
		return " (other groups in the same ratio)"
	}
	return ""
}

// rotation lays the rows along another direction.
type rotation struct {
	words      string
	rows, part bool    // turn by 90 degrees on the machine
	seconds    float64 // of the rows, estimated
}

// adviseDirection says when rows along another direction, or the part turned,
// finish sooner. An estimate of the rows says which is worth trying.
func (b done) adviseDirection() (suggestion, error) {
	now, err := b.rows().seconds(none, 0)
	if err != nil {
		return suggestion{}, err
	}
	ways, err := b.rotations()
	if err != nil {
		return suggestion{}, err
	}
	for _, t := range ways {
		if !b.worth(words.Seconds(now - t.seconds)) {
			break
		}
		v, err := b.otherWay(quarterTurn(t.rows, t.part))
		if err != nil {
			return suggestion{}, err
		}
		if v != nil && v.Clock.Total() < b.Clock.Total() {
			saves := b.Clock.Total() - v.Clock.Total()
			return suggestion{t.words + " " + words.Saving(saves, b.Clock.Total()), saves}, nil
		}
	}
	return suggestion{}, nil
}

func (b done) rows() rows { return rows{b.Input, b.Art} }

// rotations lists the ways to turn rows and part, the quickest first.
func (b done) rotations() ([]rotation, error) {
	all := []rotation{
		{words: "rows at " + b.turnedAngles() + " save", rows: true},
		{words: "turning the part and its rows by 90 degrees saves", rows: true, part: true},
		{words: "turning the part alone by 90 degrees saves", part: true},
	}
	for i := range all {
		t := &all[i]
		var err error
		rows, part := quarter(t.rows), quarter(t.part)
		if t.seconds, err = b.rows().seconds(func(int) float64 { return rows - part }, part); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(all, func(x, y rotation) int { return cmp.Compare(x.seconds, y.seconds) })
	return all, nil
}

// quarter returns 90 degrees for what turns.
func quarter(turns bool) float64 {
	if turns {
		return 90
	}
	return 0
}

// turnedAngles words the angles of the first group with rows, turned by 90
// degrees.
func (b done) turnedAngles() string {
	f := b.Groups[0]
	f.Angles = turned(f.Angles, 90)
	for i, a := range f.Angles {
		f.Angles[i] = math.Mod(a, 180)
	}
	return work.AngleWords(f)
}
