package better

import (
	"cmp"
	"errors"
	"fmt"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/clock"
	"furrow/path"
	"furrow/path/hatch"
	"slices"
	"strconv"
)

const (
	// farQuicker is the part of a group's time that contours must save to be told: they
	// look different.
	farQuicker = 0.5
	// mostContourPoints bounds what contours are tried on, by their points: half a second.
	mostContourPoints = 100_000
	// mostContourSpans bounds them by the pieces of the rows: thin lines that cross each other in
	// very many places have contours in every gap between, which none of their points tells.
	mostContourSpans = 300_000
)

// ownRows is what the rows of one group of the work take.
type ownRows struct {
	group   int
	seconds float64
	mm, at  float64 // marked, and mm/s
}

// thin reports that the beam is on for so little of the time that contours may be told.
func (r ownRows) thin() bool { return r.mm/r.at <= (1-farQuicker)*r.seconds }

// adviseContours says where contours of a thin group, as a frame is, would finish far
// sooner than its rows, most of which are run-up and run-out. An estimate of the rows
// says which group is worth trying.
func (b done) adviseContours() (suggestion, error) {
	all, err := b.thinGroups()
	if err != nil || len(all) == 0 {
		return suggestion{}, err
	}
	r := all[0]
	v, err := b.otherWay(way{fill: func(group int, f *hatch.Group) {
		f.Contours = f.Contours || group == r.group
	}})
	var tangle *hatch.TangleError
	switch {
	case errors.As(err, &tangle), err == nil && v == nil:
		return suggestion{}, nil
	case err != nil:
		return suggestion{}, err
	}
	saves := b.Clock.Total() - v.Clock.Total()
	if saves.Seconds() < farQuicker*r.seconds {
		return suggestion{}, nil
	}
	of := ""
	if r.group > 0 {
		of = fmt.Sprintf(" of %s (%s)", work.GroupName(r.group), b.Job.Groups[r.group-1].Pick)
	}
	return suggestion{fmt.Sprintf("contour-parallel fill%s looks different, with lines along the outline%s, and "+
		"saves %s",
		of, b.hotter(v), words.Saving(saves, b.Clock.Total())), saves}, nil
}

// hotter says how much hotter the corners of contours get than rows do, if that is told.
func (b done) hotter(v *done) string {
	times := v.Clock.Hottest.Times
	if times < work.TooHot || times <= b.Clock.Hottest.Times {
		return ""
	}
	return fmt.Sprintf(" and up to %s times the dose where the head slows down", words.Number(times, 1))
}

// thinGroups lists the groups in whose rows the beam is on for less than half of the
// time, and of which contours are made quickly, the longest first.
func (b done) thinGroups() ([]ownRows, error) {
	if b.Hatched.Spans > mostContourSpans {
		return nil, nil
	}
	all, err := b.rows().each()
	if err != nil {
		return nil, err
	}
	sum := 0.0
	for _, r := range all {
		sum += r.seconds
	}
	for i := range all { // row after row: the sequence made it less
		all[i].seconds *= min(1, b.Clock.Total().Seconds()/sum)
	}
	all = slices.DeleteFunc(all, func(r ownRows) bool {
		f := &b.Groups[r.group]
		return f.Contours || len(f.Angles) > 1 || f.Cross != 0 || !r.thin() || b.contourPoints(r) > mostContourPoints
	})
	slices.SortStableFunc(all, func(p, q ownRows) int { return cmp.Compare(q.seconds, p.seconds) })
	return all, nil
}

// each estimates what the rows of each group take.
func (r rows) each() ([]ownRows, error) {
	in := r
	in.Groups = slices.Clone(r.Groups)
	for i := range in.Groups { // a name of its own keeps equal fills apart
		in.Groups[i].Setting.Name = strconv.Itoa(i)
	}
	marks, scale, err := in.rough(none)
	if err != nil {
		return nil, err
	}
	cost := clock.Cost(r.Machine.Profile, marks.Settings)
	sums := make([]ownRows, len(in.Groups))
	for i := range marks.Rows {
		set := &marks.Rows[i]
		setting := marks.Settings[set.Setting]
		group, err := strconv.Atoi(setting.Name)
		if err != nil {
			continue // of a code
		}
		set.Spacing /= scale
		sum := &sums[group]
		sum.group, sum.at = group, setting.SpeedMMPerS
		sum.seconds += scale * clock.RowSeconds(set, cost, setting.SpeedMMPerS, set.Dir)
		sum.mm += scale * set.Length()
	}
	return slices.DeleteFunc(sums, func(s ownRows) bool { return s.mm == 0 }), nil
}

// contourPoints estimates how many points the contours of a group have: those of its
// outline as often as they fit side by side into half of its width.
func (b done) contourPoints(r ownRows) float64 {
	points, round := 0, 0.0
	for i := range b.Art.Shapes {
		s := &b.Art.Shapes[i]
		if s.Group != r.group {
			continue
		}
		s.Path.Flatten(hatch.DefaultTolerance, func(pts []path.Point, _ bool) {
			points += len(pts)
			for k := 1; k < len(pts); k++ {
				round += pts[k-1].Dist(pts[k])
			}
		})
	}
	f := &b.Groups[r.group]
	if round == 0 {
		return 0
	}
	return float64(points) * max(1, r.mm/float64(max(1, f.Passes))/round)
}
