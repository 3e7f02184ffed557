package main

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/swatch"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/path"
)

// mirrors are two mirrors that follow their command with a lag of the first order, and a
// gate that follows its own: a galvo of these tests' own, by what the list's
// documentation says of its records. lagUS is the time constant, µs.
type mirrors struct {
	lagUS float64
	dtUS  float64

	at, command path.Point // mm
	now         float64    // µs
	opens       []float64  // when the gate opens and when it closes, in turn
	track       []seen
}

// seen is where the beam points at a time, and the mark that was commanded then.
type seen struct {
	us float64
	at path.Point
}

// to moves the command to a place at a speed in mm/s, or stands still for us where speed
// is 0.
func (m *mirrors) to(p path.Point, speed, us float64) {
	from := m.command
	if speed > 0 {
		us = p.Dist(from) / speed * 1e6
	}
	start := m.now
	k := 1 - math.Exp(-m.dtUS/m.lagUS)
	for m.now < start+us {
		m.now += m.dtUS
		t := min(1, (m.now-start)/max(us, 1e-9))
		m.command = from.Lerp(p, t)
		m.at = m.at.Lerp(m.command, k)
		m.track = append(m.track, seen{m.now, m.at})
	}
	m.command = p
}

// play does what a list's moves command.
func (m *mirrors) play(moves []emit.Move, set []path.Setting, scan []machine.Scanner) {
	chain := false
	var dir path.Point
	end := func(s machine.Scanner) {
		if chain {
			m.opens = append(m.opens, m.now+float64(s.OffUS))
			m.to(m.command, 0, float64(s.MarkUS))
		}
		chain, dir = false, path.Point{}
	}
	for i, mv := range moves {
		s := scan[mv.Setting]
		if mv.Kind != emit.Mark {
			last := s
			if i > 0 {
				last = scan[moves[i-1].Setting]
			}
			end(last)
			far := mv.To.Dist(m.command) * machine.GalvoStepsPerMM
			m.to(mv.To, float64(s.JumpMMPerS), 0)
			wait := float64(s.JumpUS)
			if full := float64(s.ShortJumpSteps); far < full {
				wait = float64(s.ShortJumpUS) + (wait-float64(s.ShortJumpUS))*far/full
			}
			m.to(mv.To, 0, wait)
			continue
		}
		way := mv.To.Sub(m.command)
		way = way.Mul(1 / way.Len())
		if !chain {
			m.opens = append(m.opens, m.now+float64(s.OnUS))
		} else if cos := dir.Dot(way); cos < math.Cos(15*math.Pi/180) {
			m.to(m.command, 0, float64(s.CornerUS)*(1-cos)/2) // sin²(φ/2)
		}
		chain, dir = true, way
		m.to(mv.To, set[mv.Setting].SpeedMMPerS, 0)
	}
	if len(moves) > 0 {
		end(scan[moves[len(moves)-1].Setting])
	}
	m.to(m.command, 0, 20*m.lagUS)
}

// burnt returns where the beam was while the gate was open, mark after mark.
func (m *mirrors) burnt() (all [][]path.Point) {
	k := 0
	for i := 0; i+1 < len(m.opens); i += 2 {
		var mark []path.Point
		for k > 0 && m.track[k-1].us > m.opens[i] {
			k--
		}
		for ; k < len(m.track) && m.track[k].us <= m.opens[i+1]; k++ {
			if m.track[k].us >= m.opens[i] {
				mark = append(mark, m.track[k].at)
			}
		}
		all = append(all, mark)
	}
	return all
}

// listOf returns the moves of a list.
func listOf(t *testing.T, file string) (m emit.Moves, all []emit.Move) {
	t.Helper()
	r, err := os.Open(file)
	require.NoError(t, err)
	defer r.Close()
	m, err = markvec.Read(r)
	require.NoError(t, err)
	for mv, err := range m.All() {
		require.NoError(t, err)
		all = append(all, mv)
	}
	return m, all
}

// cell plays what a list marks in one box.
func cell(t *testing.T, m emit.Moves, all []emit.Move, box path.Rect, lagUS float64) [][]path.Point {
	t.Helper()
	var moves []emit.Move
	for _, mv := range all {
		if inside(box.Grow(0.01), mv.To) {
			moves = append(moves, mv)
		}
	}
	require.NotEmpty(t, moves)
	sim := mirrors{lagUS: lagUS, dtUS: 2}
	sim.at, sim.command = moves[0].To, moves[0].To
	sim.play(moves, m.Settings, m.Scanner)
	return sim.burnt()
}

// wrong is how far a cell's marks are from what they should be, by the eye of its row, mm.
var wrong = map[string]func(marks [][]path.Point, box path.Rect) float64{
	"laser_on_delay_us": func(marks [][]path.Point, box path.Rect) float64 { // the gap behind the upright
		worst := 0.0
		for _, m := range marks[1:] {
			worst = max(worst, m[0].X-(box.Min.X+1))
		}
		return worst
	},
	"laser_off_delay_us": func(marks [][]path.Point, box path.Rect) float64 { // the gap before the upright
		worst := 0.0
		for _, m := range marks[1:] {
			worst = max(worst, box.Max.X-1-m[len(m)-1].X)
		}
		return worst
	},
	"mark_delay_us": func(marks [][]path.Point, box path.Rect) float64 { // the hook at the end
		worst := 0.0
		for i, m := range marks {
			worst = max(worst, m[len(m)-1].Y-(box.Min.Y+1+float64(i)))
		}
		return worst
	},
	"corner_delay_us": func(marks [][]path.Point, box path.Rect) float64 { // what is cut off the corners
		worst := 0.0
		for x := 1.5; x < 7; x++ {
			for _, y := range []float64{1, 7} {
				near := math.Inf(1)
				for _, p := range marks[0] {
					near = min(near, p.Dist(box.Min.Add(path.Point{X: x, Y: y})))
				}
				worst = max(worst, near)
			}
		}
		return worst
	},
	"jump_delay_us":       bent,
	"short_jump_delay_us": bent,
}

// bent is how far short lines lean from their upright at their start.
func bent(marks [][]path.Point, box path.Rect) float64 {
	worst := 0.0
	for _, m := range marks[1:] {
		worst = max(worst, math.Abs(m[0].X-m[len(m)-1].X))
	}
	return worst
}

// A galvo whose mirrors lag marks the card. What its paper says to read in each row is, by
// the marks, the value at which they are right to a third of the spot. Each is set before the
// next is read; read again on the card made with all of them, each lies within a step.
func TestDelaysCardClosesTheLoop(t *testing.T) {
	const lag, eye = 60.0, 0.02 // µs; mm
	s := newBench(t, "example-fibre", "laser_on_delay_us=80", "laser_off_delay_us=160", "mark_delay_us=150",
		"corner_delay_us=150", "jump_delay_us=300", "short_jump_delay_us=200", "short_jump_mm=2",
		"jump_speed_mm_s=4000")
	args := []string{"delays", "--speed", "1000", "--power", "40", "--frequency", "60kHz"}
	read := func(key string, f swatch.File, file string) (value, step float64) {
		right := map[float64]bool{}
		var values []float64
		m, moves := listOf(t, file)
		for _, p := range f.Patches {
			k, text, _ := strings.Cut(p.Shows, "=")
			if k != key {
				continue
			}
			us, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			values = append(values, us)
			right[us] = wrong[key](cell(t, m, moves, p.Rect(), lag), p.Rect()) <= eye
		}
		require.Len(t, values, 8)
		slices.Sort(values)
		if key == "laser_on_delay_us" { // the longest, from below
			slices.Reverse(values)
		}
		if i := slices.IndexFunc(values, func(us float64) bool { return right[us] }); i >= 0 {
			value = values[i]
		}
		step = math.Abs(values[1] - values[0])
		require.Positive(t, value, "nothing on the card is right: %s", key)
		return value, step
	}
	keys := []string{"laser_on_delay_us", "laser_off_delay_us", "mark_delay_us", "corner_delay_us",
		"short_jump_delay_us",
		"jump_delay_us"}
	first, step := map[string]float64{}, map[string]float64{}
	for _, key := range keys {
		f, file := s.card(t, "delays", args...)
		first[key], step[key] = read(key, f, file)
		s.set(t, fmt.Sprintf("%s=%g", key, first[key]))
	}
	f, file := s.card(t, "again", args...)
	for _, key := range keys {
		again, _ := read(key, f, file)
		require.InDelta(t, first[key], again, step[key], key)
	}
	// Mirrors that lag by the first order have gone v·(t − lag·(1 − e^(−t/lag))) at t, and
	// lack v·lag·e^(−t/lag) of the end.
	gone := func(us float64) float64 { return 1e-3 * (us - lag*(1-math.Exp(-us/lag))) }
	lacks := func(us float64) float64 { return 1e-3 * lag * math.Exp(-us/lag) }
	on, off := "laser_on_delay_us", "laser_off_delay_us"
	require.LessOrEqual(t, gone(first[on]), eye+0.003)
	require.Greater(t, gone(first[on]+step[on]), eye)
	require.LessOrEqual(t, lacks(first[off]), eye+0.003)
	require.Greater(t, lacks(first[off]-step[off]), eye)
}
