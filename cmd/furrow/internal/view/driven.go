package view

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/emit/play"
	"furrow/path"
	"furrow/raster/density"
)

// Lag is how far mirrors trail their command, us; 0 is the profile's.
type Lag float64

// ProfileLag is the word for the profile's own.
const ProfileLag = "profile"

// The range of a lag, us: that of a profile's.
const leastLag, mostLag = 1, 1e5

// Set reads ProfileLag, or microseconds, with or without their unit.
func (l *Lag) Set(s string) error {
	if s == ProfileLag {
		*l = 0
		return nil
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(s, "us")), 64)
	if err != nil || !(v >= leastLag && v <= mostLag) {
		return fmt.Errorf("%q is no lag: give %d to %d microseconds", s, int(leastLag), int(mostLag))
	}
	*l = Lag(v)
	return nil
}

// Of returns the lag of a machine, which is nil where none is known.
func (l Lag) Of(p *machine.Profile) (time.Duration, error) {
	us := float64(l)
	switch {
	case p != nil && !p.IsGalvo():
		return 0, fault.Usagef("%s is a %s: --as-driven is for the mirrors of a galvo", p.ID, p.Kind)
	case us == 0 && p == nil:
		return 0, fault.Usagef("how far do the mirrors trail their command?").
			Hintf("add --machine, or give the lag of the scanner's data sheet: --as-driven=110us")
	case us == 0 && p.Galvo.TrackingLagUS == 0:
		return 0, fault.Usagef("the profile of %s has delays, and no tracking_lag_us", p.ID).
			Hintf("give the lag of the scanner's data sheet: --as-driven=110us")
	case us == 0:
		us = p.Galvo.TrackingLagUS
	}
	return time.Duration(math.Round(us * 1000)), nil
}

// samplesALag is how many samples a lag has where a picture is drawn of it: a mark's end
// is then off by a twentieth of the way that the mirrors trail.
const samplesALag = 20

// drawnWithin is how far what is drawn may lie from where the beam goes, in widths of a mark.
const drawnWithin = 0.02

// mostDriven bounds the points of what is drawn, and so its memory: 16 bytes each.
const mostDriven = 5_000_000

// drive adds to o where the beam is on when mirrors with a lag follow the moves.
func (s *Subject) drive(o *density.Options, l Lag) error {
	lag, err := l.Of(s.profile)
	if err != nil {
		return err
	}
	if !s.moves.ForGalvo() {
		return fault.Usagef("--as-driven is for the mirrors of a galvo").Hintf("name its list, or add --machine")
	}
	var p machine.Profile
	if s.profile != nil {
		p = *s.profile
	}
	c := collector{undo: s.moves.Undo(p), o: o}
	rate := int(min(play.MostRate, max(play.LeastRate, samplesALag/lag.Seconds())))
	lit := play.NewLit(drawnWithin*cmp.Or(o.MarkWidthMM, density.DefaultMarkWidthMM), c.line)
	_, err = play.Run(s.moves, p, play.Options{Rate: rate}, play.AsDriven(lag, rate, func(all []play.Sample) error {
		return cmp.Or(lit.Take(all), c.tooMuch())
	}))
	lit.Close()
	o.Caption.Facts = append(slices.Clone(o.Caption.Facts),
		"as driven: mirrors with a lag of "+words.Decimal(float64(lag)/1000, 3)+" us")
	return err
}

// collector keeps the lines that are in sight.
type collector struct {
	undo   func(path.Point) path.Point // where the beam goes, of where it is sent
	o      *density.Options
	points int
}

func (c *collector) line(sent []path.Point) {
	line, box := make([]path.Point, len(sent)), path.EmptyRect()
	for i, p := range sent {
		line[i] = c.undo(p)
		box = box.Include(line[i])
	}
	if w := c.o.Window; w.W() > 0 && box.Intersect(w.Grow(c.o.MarkWidthMM)).Empty() {
		return
	}
	c.o.Driven = append(c.o.Driven, line)
	c.points += len(line)
}

func (c *collector) tooMuch() error {
	if c.points > mostDriven {
		return fault.Workf("the marks as driven have more than %d million points", mostDriven/1_000_000).
			Hintf("show less with --window")
	}
	return nil
}
