package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/swatch"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"
)

// A bench is a machine whose true values its profile does not know. It marks a card as
// that machine would, by code of these tests' own, and the card is read as its paper
// says; what is read has to lead back to the true values within one step of the card.
type bench struct {
	dir string
	id  string
}

func newBench(t *testing.T, like string, changes ...string) bench {
	t.Helper()
	s := bench{dir: t.TempDir(), id: "shop"}
	t.Setenv("XDG_CONFIG_HOME", s.dir)
	t.Setenv("HOME", s.dir)
	folder, err := settings.Folder("machines")
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(folder, 0o755))
	file := filepath.Join(folder, "shop.toml")
	furrow(t, "machines", "new", like, "-o", file, "-q")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(string(data), "id = '"+like+"'",
		"id = 'shop'", 1)), 0o644))
	if len(changes) > 0 {
		s.set(t, changes...)
	}
	return s
}

func (s bench) set(t *testing.T, args ...string) {
	t.Helper()
	furrow(t, append([]string{"machines", "set", s.id, "-q"}, args...)...)
}

func (s bench) profile(t *testing.T) machine.Profile {
	t.Helper()
	m, err := settings.FindMachine(s.id)
	require.NoError(t, err)
	return m.Profile
}

// card makes a card and returns what it says of itself, and its file.
func (s bench) card(t *testing.T, name string, args ...string) (swatch.File, string) {
	t.Helper()
	ext := ".nc"
	if s.profile(t).Galvo != nil {
		ext = ".mvl"
	}
	file := filepath.Join(s.dir, name+ext)
	furrow(t, append([]string{"swatch", "-o", file, "--force", "--machine", s.id, "--material", "slate"}, args...)...)
	furrow(t, "check", file)
	return cardOf(t, filepath.Join(s.dir, name+".toml")), file
}

// burnt is a mark of a row as the material shows it.
type burnt struct {
	middle path.Point
	way    path.Point // of the head, of unit length
}

// burn plays a gantry's file with a beam that comes and goes late by speed times latency,
// and an axis that lags behind by its lost motion while it moves backwards.
func (s bench) burn(t *testing.T, file string, onUS, offUS float64, backlash path.Point) (all []burnt) {
	t.Helper()
	r, err := os.Open(file)
	require.NoError(t, err)
	defer r.Close()
	m, err := gcode.Read(r, s.profile(t).Controller())
	require.NoError(t, err)
	var at path.Point
	for mv, err := range m.All() {
		require.NoError(t, err)
		if mv.Kind == emit.Mark && mv.To != at {
			d := mv.To.Sub(at)
			d = d.Mul(1 / d.Len())
			lost := path.Point{}
			if d.X < -1e-9 {
				lost.X = backlash.X
			}
			if d.Y < -1e-9 {
				lost.Y = backlash.Y
			}
			from, to := at.Add(d.Mul(mv.Speed*onUS*1e-6)), mv.To.Add(d.Mul(mv.Speed*offUS*1e-6))
			all = append(all, burnt{from.Lerp(to, 0.5).Add(lost), d})
		}
		at = mv.To
	}
	return all
}

// readComb finds the tooth above that stands straight over its partner, and returns the
// number below it.
func readComb(t *testing.T, f swatch.File, name string, step float64, along path.Point, marks []burnt) float64 {
	t.Helper()
	side := func(which string, forwards bool) []float64 {
		p, err := f.Patch(name + which)
		require.NoError(t, err)
		sum, n := map[int]float64{}, map[int]int{}
		pitch := 1.0
		if !forwards {
			pitch += step
		}
		zero := p.Rect().Min.Dot(along) + 0.15 + 10*pitch // half a tooth and ten before 0
		box := p.Rect()
		box.Min, box.Max = box.Min.Sub(along.Mul(1.5)), box.Max.Add(along.Mul(1.5))
		for _, m := range marks {
			if !inside(box, m.middle) || m.way.Dot(along) > 0 != forwards || math.Abs(m.way.Dot(along)) < 0.999 {
				continue
			}
			k := int(math.Round((m.middle.Dot(along)-zero)/pitch - 1e-9))
			if forwards {
				sum[k] += m.middle.Dot(along)
				n[k]++
				continue
			}
			// Backwards they are off by what is to be measured: number them by their sequence.
			sum[1000+k] += m.middle.Dot(along)
			n[1000+k]++
		}
		var places []float64
		for k := range sum {
			places = append(places, sum[k]/float64(n[k]))
		}
		slices.Sort(places)
		require.Len(t, places, 31, "%s%s", name, which)
		return places
	}
	upper, lower := side(" there", true), side(" back", false)
	best := 0
	for k := range upper {
		if math.Abs(upper[k]-lower[k]) < math.Abs(upper[best]-lower[best]) {
			best = k
		}
	}
	return float64(best-10) * step
}

// A late beam and lost motion, along X and along Y, at three speeds: the combs give the
// offset of each within a step, and once it is set the long teeth meet.
func TestReversalCardClosesTheLoop(t *testing.T) {
	const on, off, step = 700.0, 500.0, 0.05
	lost := path.Point{X: 0.05, Y: 0}
	s := newBench(t, "example-co2", "beam_on_latency_us=300", "beam_off_latency_us=300") // wrong, and not to matter
	args := strings.Fields("--rows speed=50,150,300 --columns angle=0,90 --spacing 0.1mm --power 20 --speed 150")
	f, file := s.card(t, "comb", append([]string{"reversal"}, args...)...)
	marks := s.burn(t, file, on, off, lost)
	var pairs []string
	for k, v := range []float64{50, 150, 300} {
		true0 := v*(on+off)*1e-6 - lost.X
		read := readComb(t, f, fmt.Sprintf("A%d", k+1), step, path.Point{X: 1}, marks)
		require.InDelta(t, true0, read, step/2+0.003, "along X at %g mm/s", v)
		require.InDelta(t, v*(on+off)*1e-6-lost.Y, readComb(t, f, fmt.Sprintf("B%d", k+1), step,
			path.Point{Y: 1}, marks),
			step/2+0.003, "along Y at %g mm/s", v)
		pairs = append(pairs, fmt.Sprintf("%g=%g", v, read))
	}
	s.set(t, "--reversal", strings.Join(pairs, ","))
	f, file = s.card(t, "proof", append([]string{"reversal", "--as-set"}, args...)...)
	marks = s.burn(t, file, on, off, lost)
	for k := range 3 {
		require.InDelta(t, 0, readComb(t, f, fmt.Sprintf("A%d", k+1), step, path.Point{X: 1}, marks), step/2+1e-9)
	}
}

// Marks of a known width, another across X than across Y: the widest spacing without bare
// material is that width, within a step of the card.
func TestWidthCardClosesTheLoop(t *testing.T) {
	wide := path.Point{X: 0.11, Y: 0.2} // across X, across Y
	s := newBench(t, "example-co2")
	f, file := s.card(t, "width", "width", "--speed", "100", "--power", "20")
	prog, _ := replayed(t, file, s.id)
	read := func(row string, along func(path.Point) float64, width float64) float64 {
		for i, spacing := range f.Columns.Values { // falling
			p, err := f.Patch(swatch.Name(i, 0)[:1] + row)
			require.NoError(t, err)
			var at []float64
			for k := range prog.Strokes {
				if q := prog.PointsOf(k); inside(p.Rect().Grow(0.01), q[0]) {
					at = append(at, along(q[0]))
				}
			}
			slices.Sort(at)
			bare := 0.0
			for k := 1; k < len(at); k++ {
				bare = max(bare, at[k]-at[k-1]-width)
			}
			if bare <= 0.0011 { // the grid of the file
				return spacing
			}
		}
		return 0
	}
	ratio := f.Columns.Values[0] / f.Columns.Values[1]
	across := read("1", func(p path.Point) float64 { return p.Y }, wide.Y)
	down := read("2", func(p path.Point) float64 { return p.X }, wide.X)
	require.InDelta(t, 1, wide.Y/across, ratio-1, "rows along X")
	require.InDelta(t, 1, wide.X/down, ratio-1, "rows along Y")
	s.set(t, fmt.Sprintf("spot_mm=%g,%g", down, across))
	require.Equal(t, [2]float64{down, across}, s.profile(t).Laser.SpotMM)
	require.NotContains(t, s.profile(t).Guessed, "laser.spot_mm")
}

// A beam that is thinnest away from the height that was taken for its focus: the row with
// the thinnest lines, and the ramp's tick, tell by how much.
func TestFocusCardsCloseTheLoop(t *testing.T) {
	const waist, rayleigh, at = 0.06, 2.0, 1.7 // d(z) = d·√(1 + (z/zR)²), ISO 11146-1
	width := func(z float64) float64 { return waist * math.Hypot(1, (z-at)/rayleigh) }
	s := newBench(t, "example-fibre")
	f, file := s.card(t, "focus", "focus", "--speed", "500", "--power", "40", "--frequency", "60kHz")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, len(f.Rows.Values), strings.Count(string(data), "\nhold\n"), "it waits before each height")
	best := slices.MinFunc(f.Rows.Values, func(a, b float64) int { return int(math.Copysign(1, width(a)-width(b))) })
	step := f.Rows.Values[1] - f.Rows.Values[0]
	require.InDelta(t, at, best, step/2+1e-9)
	for _, p := range f.Patches {
		k := int(p.Name[1] - '1')
		require.Equal(t, f.Rows.Values[k], p.FocusOffsetMM, p.Name)
	}

	f, file = s.card(t, "ramp", "ramp", "--speed", "500", "--power", "40", "--frequency", "60kHz", "--rise", "10mm")
	prog, _ := replayed(t, file, s.id)
	line, err := f.Patch("A1")
	require.NoError(t, err)
	thin, least := 0.0, math.Inf(1)
	for x := line.Rect().Min.X; x <= line.Rect().Max.X; x += 0.05 {
		z := 10 * ((x-line.Rect().Min.X)/line.Rect().W() - 0.5)
		if w := width(z); w < least {
			thin, least = x, w
		}
	}
	var ticks []float64 // the uprights below the line, which stand 0.5 mm of height apart
	for i := range prog.Strokes {
		p := prog.PointsOf(i)
		if len(p) == 2 && p[0].X == p[1].X && math.Abs(p[0].Y-p[1].Y) > 1.4 &&
			max(p[0].Y, p[1].Y) < line.Rect().Min.Y &&
			math.Abs(max(p[0].Y, p[1].Y)-(line.Rect().Centre().Y-0.8)) < 0.01 {
			ticks = append(ticks, p[0].X)
		}
	}
	slices.Sort(ticks)
	require.Len(t, ticks, 21)
	nearest := 0
	for i := range ticks {
		if math.Abs(ticks[i]-thin) < math.Abs(ticks[nearest]-thin) {
			nearest = i
		}
	}
	require.InDelta(t, at, -5+0.5*float64(nearest), 0.25+1e-9)
	s.set(t, "focus_height_mm=178.5")
	require.Equal(t, 178.5, s.profile(t).Laser.FocusHeightMM)
}

// A source that does not follow its percentage: the patch that got the dose of the
// reference tells in each column what the source truly gives, and the power curve that
// is set from that gives it within a step of the card.
func TestPowerCardClosesTheLoop(t *testing.T) {
	watts := func(percent float64) float64 { return 40 * math.Pow(percent/100, 1.35) }
	s := newBench(t, "example-co2")
	f, file := s.card(t, "power", "power", "--speed", "200", "--power", "50", "--spacing", "0.1mm")
	prog, _ := replayed(t, file, s.id)
	patches, _ := found(t, prog, f, filepath.Base(file))
	dose := func(name string) float64 {
		l := patches[name]
		require.NotNil(t, l, name)
		return watts(100*l.power) / (l.speed * 0.1)
	}
	var pairs []string
	for c, percent := range f.Columns.Values[1:] {
		best, least := 0, math.Inf(1)
		for r := range f.Rows.Values {
			if d := math.Abs(math.Log(dose(swatch.Name(c+1, r)) / dose("A1"))); d < least {
				best, least = r, d
			}
		}
		pairs = append(pairs, fmt.Sprintf("%g=%g", percent, f.Rows.Values[best]))
	}
	s.set(t, "--power-curve", strings.Join(pairs, ","))
	laser := s.profile(t).Laser
	for _, percent := range f.Columns.Values {
		if percent >= 20 { // below, the truth lies beyond the last row
			step := 0.16 // of the shares, from row to row
			require.InEpsilon(t, watts(percent), laser.Watts(percent/100), step, "at %g %%", percent)
		}
	}
}

// Where the file holds 255 steps of power alone, the card's file says what was marked: 35 %
// is S 89, which is 34.902 %, by arithmetic; a recipe made from it gives S 89 again.
func TestCardTellsWhatTheFileHolds(t *testing.T) {
	s := newBench(t, "example-co2", "power_word_max=255")
	f, file := s.card(t, "coarse", "--columns", "power=20,35", "--speed", "100", "--spacing", "0.2mm")
	b1, err := f.Patch("B1")
	require.NoError(t, err)
	require.InDelta(t, 100*89.0/255, b1.PowerPercent, 1e-6)
	a1, err := f.Patch("A1")
	require.NoError(t, err)
	require.Equal(t, 20.0, a1.PowerPercent)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Regexp(t, `(?m) S89$`, string(data))
	furrow(t, "recipes", "save", "slate", "--from", filepath.Join(s.dir, "coarse.toml"), "--patch", "B1", "-q")
	square := write(t, "square.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="5mm" height="5mm">
<rect width="100%" height="100%"/></svg>`)
	again := filepath.Join(s.dir, "again.nc")
	furrow(t, "hatch", square, "-o", again, "--recipe", "slate", "--effort", "quick", "-q")
	data, err = os.ReadFile(again)
	require.NoError(t, err)
	require.Regexp(t, `(?m) S89$`, string(data))
	require.NotRegexp(t, `S(88|90)\b`, string(data))
}

// Where zero is the bed's, the card is moved so that the run-up fits, and its file tells
// where the patches came to lie; a galvo's field that is corrected for its lens too.
func TestCardTellsWhereItLies(t *testing.T) {
	s := newBench(t, "example-co2", "zero=bed")
	f, file := s.card(t, "bed", "--columns", "speed=300,450", "--rows", "angle=0,90", "--spacing", "0.2mm",
		"--power", "20",
		"--letters", "speed=50,power=10", "--columns", "speed=200,280")
	prog, moves := replayed(t, file, s.id)
	patches, _ := found(t, prog, f, filepath.Base(file))
	require.Len(t, patches, 4)
	reach := path.EmptyRect()
	for mv, err := range moves.All() {
		require.NoError(t, err)
		reach = reach.Include(mv.To)
	}
	require.GreaterOrEqual(t, min(reach.Min.X, reach.Min.Y), 0.0, "the run-up lies on the bed")
	a1, err := f.Patch("A1")
	require.NoError(t, err)
	require.Greater(t, a1.BoxMM[0], 10.0, "moved to the right for it")

	s = newBench(t, "example-fibre", "field_scale=1.02,0.97", "field_rotate_degrees=1.5")
	f, file = s.card(t, "lens", "--columns", "speed=500,900", "--rows", "power=20,40", "--spacing", "0.05mm",
		"--frequency", "60kHz")
	prog, _ = replayed(t, file, s.id)
	patches, _ = found(t, prog, f, filepath.Base(file))
	require.Len(t, patches, 4)
}
