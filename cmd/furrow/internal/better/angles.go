package better

import (
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/clock"
	"furrow/path"
	"furrow/path/hatch"
	"math"
	"slices"
)

// roughRows is how many rows stand for all rows of a fill where only the time of
// a direction is wanted.
const roughRows = 400

// rows estimates the time of the rows of some work along other directions.
type rows struct {
	work.Input
	art path.Artwork // as it lies on the machine
}

// rough hatches with wider rows, no outlines beside them and no insets, which cost more
// than the rows, and the rows of each group turned by turn degrees. Times of its rows
// times scale are those of all rows. What is an outline alone has none.
func (r rows) rough(turn func(group int) float64) (marks path.Marks, scale float64, err error) {
	groups := slices.Clone(r.Groups)
	finest := math.Inf(1)
	for _, p := range groups {
		if p.Outline.When != hatch.Only {
			finest = min(finest, p.Setting.SpacingMM)
		}
	}
	long := math.Hypot(r.art.Page.W(), r.art.Page.H())
	scale = max(1, math.Ceil(long/finest/roughRows))
	for i := range groups {
		p := &groups[i]
		if p.Outline.When == hatch.Only {
			continue
		}
		if p.MarkWidth == 0 {
			p.MarkWidth = p.Setting.SpacingMM // what is thin stays so
		}
		p.Setting.SpacingMM *= scale
		p.Outline, p.Inset, p.Contours = hatch.Outline{}, 0, false
		p.Angles = turned(p.Angles, turn(i))
	}
	marks, err = work.Hatch(r.Input, r.art, groups)
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

// seconds estimates the time of all rows, on a part that lies turned on the
// machine by partTurn degrees.
func (r rows) seconds(turn func(group int) float64, partTurn float64) (float64, error) {
	marks, scale, err := r.rough(turn)
	if err != nil {
		return 0, err
	}
	cost := clock.Cost(r.Machine.Profile, marks.Settings)
	sum := 0.0
	for i := range marks.Rows {
		set := &marks.Rows[i]
		set.Spacing /= scale // the step to the next row is that of the fine rows
		dir := path.Rotate(partTurn).ApplyVector(set.Dir)
		sum += scale * clock.RowSeconds(set, cost, marks.Settings[set.Setting].SpeedMMPerS, dir)
	}
	return sum, nil
}

func none(int) float64 { return 0 }

// Angles settles the angle of each group that leaves it to the program.
func Angles(in work.Input) (work.Input, error) {
	err := in.Observe.Run("angle", func() (err error) {
		in.Groups, err = settled(in)
		return err
	})
	return in, err
}

func settled(in work.Input) ([]hatch.Group, error) {
	groups := slices.Clone(in.Groups)
	for i := range groups {
		if len(groups[i].Angles) > 0 {
			continue
		}
		if in.Machine == nil {
			return nil, fault.Usagef("the best angle depends on the machine").
				Hintf("add --machine ID, or an angle in degrees")
		}
		art, err := work.Place(in)
		if err != nil {
			return nil, err
		}
		angle, err := rows{in, art}.best(i)
		if err != nil {
			return nil, err
		}
		groups[i].Angles = []float64{angle}
	}
	return groups, nil
}

// BestAngleWords say how the best angle was found.
const BestAngleWords = "the angle is the quickest of every 5 degrees from 0 to 175 and of every degree within 4 of " +
	"that one"

// best looks every 5 degrees, and then every degree near the best of them.
func (r rows) best(group int) (float64, error) {
	best, least := 0.0, math.Inf(1)
	try := func(angle float64) error {
		t, err := r.seconds(func(i int) float64 {
			if i == group {
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
