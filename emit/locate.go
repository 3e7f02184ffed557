package emit

import (
	"fmt"

	"furrow/emit/machine"
	"furrow/path"
)

// The visible wavelengths, nm (IEC 60825-1, from memory).
const (
	visibleFromNM = 400
	visibleToNM   = 700
)

// LocateError says why a locating trace cannot have its beam on.
type LocateError struct{ Problem, Remedy string }

func (e *LocateError) Error() string { return e.Problem }

// Hint says what would help.
func (e *LocateError) Hint() string { return e.Remedy }

// Locate returns a trace to set up by. On a gantry the head goes round the
// bounds of the marks, or along the ways that are given in their place, and then round
// the bounds of its whole travel, at speed mm/s,
// and back to X0 Y0; the beam is off unless percent is above 0, and then on
// round the marks, or along those ways, only. A galvo shows its visible guide
// there, again and again, and then waits for the operator; one that takes G-code, which
// has no word for the guide, goes round as a gantry does.
//
// A beam needs power that follows the speed, a visible wavelength and a percent
// within what the profile allows: the error is then a LocateError. A low power
// beam of class 4 is still one, which callers must say.
func Locate(marks, travel path.Rect, p machine.Profile, speed, percent float64, ways ...[]path.Point) (Moves, error) {
	if marks.Empty() {
		return Moves{}, fmt.Errorf("nothing to locate")
	}
	if percent != 0 {
		if err := locateBeam(p, percent); err != nil {
			return Moves{}, err
		}
	}
	if len(ways) == 0 {
		ways = [][]path.Point{path.Form{Rect: marks}.Edge(0)}
	}
	if p.TakesList() {
		return guideAlong(outlinesOf(ways), p)
	}
	grid := p.Controller().Grid()
	set := grid.Settings([]path.Setting{{Name: "locate", SpeedMMPerS: speed, Power: percent / 100}})
	m := Moves{Header: Header{Profile: p.ID, Hash: p.Hash()}, Settings: set}
	off := Move{Kind: Gap, Speed: set[0].SpeedMMPerS}
	on := off
	if percent > 0 {
		on.Kind, on.Power = Mark, set[0].Power
	}
	var list []Move
	for _, way := range ways {
		list = append(list, along(way, off, on)...)
	}
	list = append(list, along(path.Form{Rect: travel.Union(marks)}.Edge(0), off, off)...)
	list = append(list, off)
	m.Play = withOwnLines(func(yield func(Move, error) bool) {
		var at path.Point
		for _, mv := range list {
			mv.To = grid.Point(mv.To)
			if mv.To != at && !yield(mv, nil) {
				return
			}
			at = mv.To
		}
	}, p.Controller())
	return aimed(m, p)
}

// aimed sends a galvo's trace in G-code to where its mirrors have to point: the words of
// RS-274 have no visible guide, and so it is gone round with the beam off.
func aimed(m Moves, p machine.Profile) (Moves, error) {
	if !p.IsGalvo() {
		return m, nil
	}
	m.Header, m.Scanner = galvoHeader(p), p.Scanners(m.Settings)
	return correct(m, p)
}

func locateBeam(p machine.Profile, percent float64) error {
	top := p.Laser.LocateMaxPercent
	switch {
	case p.IsGalvo():
		return &LocateError{"a galvo locates with its visible guide", "leave the percent out"}
	case !(percent > 0 && percent <= top):
		return &LocateError{
			fmt.Sprintf("%s allows a locating beam of more than 0 and at most %g percent, not %g", p.ID, top, percent),
			"the profile's locate_max_percent caps it; leave the percent out for a trace with the beam off",
		}
	case p.Controller().PowerMode != machine.PowerSpeedFollowing:
		return &LocateError{
			fmt.Sprintf("%s has steady power, which burns wherever the head slows down or stops", p.ID),
			"leave the percent out for a trace with the beam off",
		}
	case p.Laser.WavelengthNM < visibleFromNM || p.Laser.WavelengthNM > visibleToNM:
		return &LocateError{
			fmt.Sprintf("the beam of %s, %g nm, cannot be seen", p.ID, p.Laser.WavelengthNM),
			"leave the percent out for a trace with the beam off",
		}
	case percent < p.Laser.FloorPercent:
		return &LocateError{
			fmt.Sprintf("the source of %s does not fire below %g percent", p.ID, p.Laser.FloorPercent),
			"leave the percent out for a trace with the beam off",
		}
	}
	return nil
}

// along goes to where a way begins, and along it.
func along(way []path.Point, approach, side Move) (list []Move) {
	for i, p := range way {
		mv := side
		if i == 0 {
			mv = approach
		}
		mv.To = p
		list = append(list, mv)
	}
	return list
}

func outlinesOf(ways [][]path.Point) (all []Outline) {
	for _, way := range ways {
		all = append(all, Outline{Points: way})
	}
	return all
}

// RingsOf returns for each blank with marks how far they reach: its form, about its middle, as
// large as holds them. A mark counts for the blank that it lies furthest inside of, or nearest to;
// the error is that of the moves.
func RingsOf(m Moves, blanks []Blank) ([]path.Form, error) {
	shares, last, at := make([]float64, len(blanks)), 0, path.Point{}
	for mv, err := range m.All() {
		if err != nil {
			return nil, err
		}
		from := at
		at = mv.To
		if mv.Kind != Mark && mv.Kind != Dot || len(blanks) == 0 {
			continue
		}
		way := mv.Way(from)
		share := blanks[last].Form().Share(way...)
		for i := 0; share > 1 && i < len(blanks); i++ { // not on that of the mark before
			if s := blanks[i].Form().Share(way...); s < share {
				share, last = s, i
			}
		}
		shares[last] = max(shares[last], share)
	}
	var rings []path.Form
	for i, b := range blanks {
		if shares[i] > 0 {
			rings = append(rings, b.Form().Scaled(shares[i]))
		}
	}
	return rings, nil
}
