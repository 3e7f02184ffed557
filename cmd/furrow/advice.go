package main

import (
	"fmt"
	"math"
	"slices"
	"time"

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
	cost := clock.Cost(b.machine.Profile, marks.Settings)
	sum := 0.0
	for i := range marks.Rows {
		r := &marks.Rows[i]
		r.Spacing /= scale // the step to the next row is that of the fine rows
		dir := path.Rotate(partTurn).ApplyVector(r.Dir)
		sum += scale * clock.RowSeconds(r, cost, marks.Settings[r.Setting].SpeedMMPerS, dir)
	}
	return sum, nil
}

func none(int) float64  { return 0 }
func right(int) float64 { return 90 }

// chooseAngles settles the angle of each part whose angle is "best".
func (b *build) chooseAngles() error {
	for i := range b.fills {
		if len(b.fills[i].Angles) > 0 {
			continue
		}
		if b.machine == nil {
			return usagef("the best angle depends on the machine").hintf("add --machine ID, or an angle in degrees")
		}
		angle, err := b.bestAngle(i)
		if err != nil {
			return b.unhatched(err)
		}
		b.fills[i].Angles = []float64{angle}
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

// What advice must save to be given.
const (
	adviceShare = 0.02
	adviceLeast = 5 * time.Second
)

// advise looks for ways in which the work would finish sooner.
func (b *build) advise() error {
	b.advice = nil
	if b.machine.Gantry == nil || b.hatched.Spans == 0 {
		return nil
	}
	if err := b.adviseSpeed(); err != nil {
		return err
	}
	return b.adviseDirection()
}

// adviseSpeed says when a slower speed finishes sooner.
func (b *build) adviseSpeed() error {
	quicker, err := clock.QuickestSpeeds(b.program, b.machine.Profile, b.clocked)
	if err != nil {
		return workf("%w", err)
	}
	for _, q := range quicker {
		if s := b.program.Settings[q.Setting]; q.SpeedMMPerS < s.SpeedMMPerS && q.Saves >= time.Second {
			b.advice = append(b.advice, fmt.Sprintf("%s mm/s at %s %%, the same dose, would finish %s sooner than %s mm/s",
				decimal(q.SpeedMMPerS, 1), decimal(100*q.Power, 1), duration(q.Saves), decimal(s.SpeedMMPerS, 1)))
		}
	}
	return nil
}

// adviseDirection says when rows along another direction, or the part turned,
// finish sooner.
func (b *build) adviseDirection() error {
	now, err := b.rowSeconds(none, 0)
	if err != nil {
		return workf("%w", err)
	}
	best, words := now-max(adviceShare*b.clocked.Total().Seconds(), adviceLeast.Seconds()), ""
	for _, w := range []struct {
		rows     func(int) float64
		partTurn float64
		words    string
	}{
		{right, 0, "rows at " + b.turnedAngles()},
		{none, 90, "turning the part and its rows by 90 degrees"},
		{right, -90, "turning the part alone by 90 degrees"},
	} {
		t, err := b.rowSeconds(w.rows, w.partTurn)
		if err != nil {
			return workf("%w", err)
		}
		if t < best {
			best, words = t, w.words
		}
	}
	if words != "" {
		b.advice = append(b.advice, fmt.Sprintf("%s would finish about %s sooner", words, duration(seconds(now-best))))
	}
	return nil
}

// turnedAngles words the angles of the first part with rows, turned by 90
// degrees.
func (b *build) turnedAngles() string {
	f := b.fills[0]
	f.Angles = turned(f.Angles, 90)
	for i, a := range f.Angles {
		f.Angles[i] = math.Mod(a, 180)
	}
	return angleWords(f)
}
