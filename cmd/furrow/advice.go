package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/clock"
	"furrow/path"
	"furrow/path/hatch"
)

// roughRows is how many rows stand for all rows of a fill where only the time of
// a direction is wanted.
const roughRows = 400

// rough hatches with wider rows, no outlines and no insets, which cost more than
// the rows, and the rows of each part turned by turn degrees. Times of its rows
// times scale are those of all rows.
func (b *build) rough(turn func(part int) float64) (marks path.Marks, scale float64, err error) {
	s := b.hatchSettings()
	s.Parts = slices.Clone(s.Parts)
	finest := math.Inf(1)
	for _, p := range s.Parts {
		if p.Setting.SpacingMM > 0 {
			finest = min(finest, p.Setting.SpacingMM)
		}
	}
	long := math.Hypot(b.art.Page.W(), b.art.Page.H())
	scale = max(1, math.Ceil(long/finest/roughRows))
	for i := range s.Parts {
		p := &s.Parts[i]
		p.Setting.SpacingMM *= scale
		p.Outline, p.Inset, p.Contours = hatch.Outline{}, 0, false
		p.Angles = turned(p.Angles, turn(i))
	}
	marks, _, err = hatch.Fill(b.art, s)
	return marks, scale, err
}

// turned adds degrees to angles; none at all stands for 0.
func turned(angles []float64, degrees float64) []float64 {
	if len(angles) == 0 {
		return []float64{degrees}
	}
	out := slices.Clone(angles)
	for i := range out {
		out[i] += degrees
	}
	return out
}

// rowSeconds estimates the time of all rows, on a part that lies turned on the
// machine by partTurn degrees.
func (b *build) rowSeconds(turn func(part int) float64, partTurn float64) (float64, error) {
	marks, scale, err := b.rough(turn)
	if err != nil {
		return 0, err
	}
	cost := clock.Cost(b.Machine.Profile, marks.Settings)
	sum := 0.0
	for i := range marks.Rows {
		r := &marks.Rows[i]
		r.Spacing /= scale // the step to the next row is that of the fine rows
		dir := path.Rotate(partTurn).ApplyVector(r.Dir)
		sum += scale * clock.RowSeconds(r, cost, marks.Settings[r.Setting].SpeedMMPerS, dir)
	}
	return sum, nil
}

func none(int) float64 { return 0 }

// chooseAngles settles the angle of each part whose angle is "best".
func (b *build) chooseAngles() error {
	for i := range b.parts {
		if len(b.parts[i].Angles) > 0 {
			continue
		}
		if b.Machine == nil {
			return fault.Usagef("the best angle depends on the machine").Hintf("add --machine ID, or an angle in degrees")
		}
		angle, err := b.bestAngle(i)
		if err != nil {
			return b.unhatched(err)
		}
		b.parts[i].Angles = []float64{angle}
	}
	return nil
}

// bestAngle looks every 5 degrees, and then every degree near the best of them.
func (b *build) bestAngle(part int) (float64, error) {
	best, least := 0.0, math.Inf(1)
	try := func(angle float64) error {
		t, err := b.rowSeconds(func(i int) float64 {
			if i == part {
				return angle
			}
			return 0
		}, 0)
		if t < least*(1-1e-6) {
			best, least = angle, t
		}
		return err
	}
	for a := 0.0; a < 180; a += 5 {
		if err := try(a); err != nil {
			return 0, err
		}
	}
	for a, middle := -4.0, best; a <= 4; a++ {
		if err := try(math.Mod(middle+a+180, 180)); err != nil {
			return 0, err
		}
	}
	return best, nil
}

// worthIt is the part of the time that another way to work must save to be told.
const worthIt = 0.01

// worth reports that a saving is worth telling.
func (b *build) worth(saved time.Duration) bool {
	return saved.Seconds() >= worthIt*b.clocked.Total().Seconds()
}

// adviceLeast is what advice of hatch must save besides.
const adviceLeast = time.Second

// suggestion is a way in which the work would finish sooner.
type suggestion struct {
	words string
	saves time.Duration
}

// advise looks for ways in which the work would finish sooner, the best first.
// What one saves is told by the clock, on the work done that way; a way that
// cannot be done is none.
func (b *build) advise(a *app) {
	b.advice = nil
	if limit, _, remedy := b.clocked.Warning(); limit != "" {
		b.advice = append(b.advice, limit+": "+remedy)
	}
	if !b.Machine.IsGantry() || b.hatched.Spans == 0 {
		return
	}
	all := []suggestion{b.adviseSpeed(a), b.adviseDirection(a)}
	slices.SortStableFunc(all, func(x, y suggestion) int { return cmp.Compare(y.saves, x.saves) })
	for _, s := range all {
		if s.saves >= adviceLeast && b.worth(s.saves) {
			b.advice = append(b.advice, s.words)
		}
	}
}

// adviseSpeed says at which speed the rows would finish sooner, slower or faster,
// and the power that lays down the same dose.
func (b *build) adviseSpeed(a *app) suggestion {
	v, _, _ := b.quicker(true)
	if v == nil || !b.hasDoseOf(v) {
		return suggestion{}
	}
	v = v.otherWay(a, way{}) // the sequence depends on the speed
	if v == nil {
		return suggestion{}
	}
	saves := b.clocked.Total() - v.clocked.Total()
	return suggestion{fmt.Sprintf("%s mm/s at %s %%%s, the same dose, would finish %s sooner than %s mm/s", words.Decimal(v.rowSpeed(), 1),
		words.Decimal(100*v.parts[0].Setting.Power, 1), b.otherParts(), words.Duration(saves), words.Decimal(b.rowSpeed(), 1)), saves}
}

// otherWay is variant with a quick search for the sequence; nil where the work
// cannot be done that way.
func (b *build) otherWay(a *app, w way) *build {
	quick := *b
	effort := "quick"
	quick.Job.Effort, quick.bound = &effort, nil
	v, err := quick.variant(a, w)
	if err != nil {
		return nil
	}
	return v
}

// otherParts words what happens to the parts of a job beside the whole.
func (b *build) otherParts() string {
	if len(b.parts) > 1 {
		return " (the other parts in the same ratio)"
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
func (b *build) adviseDirection(a *app) suggestion {
	now, err := b.rowSeconds(none, 0)
	if err != nil {
		return suggestion{}
	}
	for _, t := range b.rotations() {
		if !b.worth(words.Seconds(now - t.seconds)) {
			break
		}
		v := b.otherWay(a, quarterTurn(t.rows, t.part))
		if v != nil && v.clocked.Total() < b.clocked.Total() {
			saves := b.clocked.Total() - v.clocked.Total()
			return suggestion{fmt.Sprintf("%s would finish %s sooner", t.words, words.Duration(saves)), saves}
		}
	}
	return suggestion{}
}

// rotations lists the ways to turn rows and part, the quickest first.
func (b *build) rotations() []rotation {
	all := []rotation{
		{words: "rows at " + b.turnedAngles(), rows: true},
		{words: "turning the part and its rows by 90 degrees", rows: true, part: true},
		{words: "turning the part alone by 90 degrees", part: true},
	}
	for i := range all {
		t := &all[i]
		var err error
		rows, part := quarter(t.rows), quarter(t.part)
		if t.seconds, err = b.rowSeconds(func(int) float64 { return rows - part }, part); err != nil {
			t.seconds = math.Inf(1)
		}
	}
	slices.SortStableFunc(all, func(x, y rotation) int { return cmp.Compare(x.seconds, y.seconds) })
	return all
}

// quarter returns 90 degrees for what turns.
func quarter(turns bool) float64 {
	if turns {
		return 90
	}
	return 0
}

// turnedAngles words the angles of the first part with rows, turned by 90
// degrees.
func (b *build) turnedAngles() string {
	f := b.parts[0]
	f.Angles = turned(f.Angles, 90)
	for i, a := range f.Angles {
		f.Angles[i] = math.Mod(a, 180)
	}
	return angleWords(f)
}
