package main

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/swatch"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/path"
	"furrow/path/outside"
)

// replayed is a written card as its reader plays it: strokes as they are marked.
func replayed(t testing.TB, file, machine string) (path.Program, emit.Moves) {
	t.Helper()
	m, err := settings.FindMachine(machine)
	require.NoError(t, err)
	r, err := os.Open(file)
	require.NoError(t, err)
	t.Cleanup(func() { r.Close() })
	var moves emit.Moves
	if m.IsGalvo() {
		moves, err = markvec.Read(r)
	} else {
		moves, err = gcode.Read(r, m.Controller())
	}
	require.NoError(t, err)
	moves = emit.AsMarked(moves, m.Profile)
	prog, err := moves.Program()
	require.NoError(t, err)
	return prog, moves
}

func cardOf(t testing.TB, file string) swatch.File {
	t.Helper()
	f, err := readCard(file)
	require.NoError(t, err)
	return f
}

// laid is what a reader finds in one patch.
type laid struct {
	turn   int // of its first stroke
	speed  float64
	power  float64
	hz, ns float64
	mm     float64
	ys     []float64 // of the rows along X
}

// found sorts the strokes of a replayed card by the patch in whose box they lie; those of
// no box are lettering. A stroke that leaves its box fails.
func found(t testing.TB, prog path.Program, f swatch.File, file string) (patches map[string]*laid,
	lettering []path.Setting) {
	t.Helper()
	patches = map[string]*laid{}
	for i := range prog.Strokes {
		pts := prog.PointsOf(i)
		set := prog.Settings[prog.Strokes[i].Setting]
		mid := pts[0].Lerp(pts[len(pts)-1], 0.5)
		k := slices.IndexFunc(f.Patches, func(p swatch.Record) bool { return p.File == file && inside(p.Rect(), mid) })
		if k < 0 {
			set.Power = prog.PowerOf(i)
			lettering = append(lettering, set)
			continue
		}
		p := f.Patches[k]
		for _, q := range pts {
			require.True(t, inside(p.Rect().Grow(0.002), q), "a mark of %s leaves its square at %v", p.Name, q)
		}
		l := patches[p.Name]
		if l == nil {
			l = &laid{turn: i, speed: set.SpeedMMPerS, power: prog.PowerOf(i), hz: set.FrequencyHz, ns: set.PulseNS}
			patches[p.Name] = l
		}
		require.Equal(t, l.power, prog.PowerOf(i), p.Name)
		require.Equal(t, l.speed, set.SpeedMMPerS, p.Name)
		for n := 1; n < len(pts); n++ {
			l.mm += pts[n].Dist(pts[n-1])
		}
		if math.Abs(pts[0].Y-pts[1].Y) < 0.002 {
			l.ys = append(l.ys, pts[0].Y)
		}
	}
	return patches, lettering
}

func inside(r path.Rect, p path.Point) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

var cardArgs = map[string][]string{
	"example-co2": {"--material", "birch plywood", "--columns", "speed=50:400:ratios", "--rows", "power=20:80"},
	"example-diode": {"--material", "birch plywood", "--columns", "speed=20,60,90,150", "--rows",
		"spacing=0.08mm:0.2mm:4"},
	"example-fibre": {"--material", "stainless steel", "--columns", "frequency=40:90:6", "--rows",
		"power=20:80:ratios"},
}

// Each card, replayed through the readers, gives at each patch exactly what its file of
// patches says, in the sequence that it says, and nothing else but lettering of one
// setting. The dose is power over speed times spacing (areal energy, as in the tests of
// emit/pulse), reckoned here from the moves alone.
func TestCardIsWhatItsFileSays(t *testing.T) {
	t.Parallel()
	for machine, args := range cardArgs {
		t.Run(machine, func(t *testing.T) {
			args = slices.Clone(args)
			if machine == "example-fibre" {
				args[3] = "frequency=40kHz:90kHz:6"
			}
			ext := ".nc"
			if machine == "example-fibre" {
				ext = ".mvl"
			}
			file := filepath.Join(t.TempDir(), "card"+ext)
			furrow(t, append([]string{"swatch", "--machine", machine, "-o", file}, args...)...)
			furrow(t, "check", file, "--machine", machine)
			f := cardOf(t, strings.TrimSuffix(file, ext)+".toml")
			prog, _ := replayed(t, file, machine)
			patches, lettering := found(t, prog, f, filepath.Base(file))
			require.Len(t, patches, len(f.Patches), "every patch is marked")
			m, err := settings.FindMachine(machine)
			require.NoError(t, err)
			last := -1
			for _, p := range f.Patches {
				l := patches[p.Name]
				require.Greater(t, l.turn, last, "patches come in the sequence of the file")
				last = l.turn
				assert.InDelta(t, p.SpeedMMPerS, l.speed, 1e-6, p.Name)
				assert.InDelta(t, p.PowerPercent, 100*l.power, 1e-6, p.Name)
				assert.InDelta(t, 1000*p.FrequencyKHz, l.hz, 1e-6, p.Name)
				slices.Sort(l.ys)
				rows := slices.CompactFunc(l.ys, func(a, b float64) bool { return math.Abs(a-b) < 0.003 })
				assert.InDelta(t, p.SpacingMM, (rows[len(rows)-1]-rows[0])/float64(len(rows)-1), 0.0011, p.Name)
				watts := math.Min(l.power*m.Laser.RatedPowerW, math.Inf(1))
				if l.hz > 0 {
					watts = math.Min(watts, l.hz*m.Laser.MaxPulseEnergyMJ*1e-3)
				}
				ways := 1.0
				if p.CrossDegrees != 0 {
					ways = 2
				}
				assert.InEpsilon(t, ways*watts/(l.speed*p.SpacingMM)*100, p.DoseJPerCM2, 1e-6, p.Name)
				assert.InEpsilon(t, watts*l.mm/l.speed, p.EnergyJ, 0.002, p.Name)
				if l.hz > 0 {
					assert.InDelta(t, 1-l.speed/(l.hz*m.Laser.SpotMM[0]), p.PulseOverlap, 1e-9, p.Name)
				}
			}
			require.NotEmpty(t, lettering)
			for _, s := range lettering {
				require.InDelta(t, f.Letters.SpeedMMPerS, s.SpeedMMPerS, 1e-6)
				require.InDelta(t, f.Letters.PowerPercent, 100*s.Power, 0.051)
			}
		})
	}
}

// drawn draws the strokes of a card at 300 dpi, dark on light, by the distance of each
// pixel from them; patches are left out.
func drawn(prog path.Program, widthMM float64, leave func(path.Point) bool) *image.Gray {
	const px = 300 / path.MMPerInch
	box := prog.Bounds().Grow(5)
	img := image.NewGray(image.Rect(0, 0, int(box.W()*px), int(box.H()*px)))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for i := range prog.Strokes {
		pts := prog.PointsOf(i)
		if leave(pts[0].Lerp(pts[len(pts)-1], 0.5)) {
			continue
		}
		for k := 1; k < len(pts); k++ {
			a, b := pts[k-1], pts[k]
			r := path.BoundsOf([]path.Point{a, b}).Grow(widthMM)
			for y := int((box.Max.Y - r.Max.Y) * px); y <= int((box.Max.Y-r.Min.Y)*px); y++ {
				for x := int((r.Min.X - box.Min.X) * px); x <= int((r.Max.X-box.Min.X)*px); x++ {
					p := path.Point{X: box.Min.X + (float64(x)+0.5)/px, Y: box.Max.Y - (float64(y)+0.5)/px}
					at := p.Sub(a).Dot(b.Sub(a)) / math.Max(b.Sub(a).Dot(b.Sub(a)), 1e-12)
					if p.Dist(a.Lerp(b, min(max(at, 0), 1))) < widthMM/2 {
						img.SetGray(x, y, color.Gray{})
					}
				}
			}
		}
	}
	return img
}

// readByOthers has Debian's tesseract read a picture as so many lines of text.
func readByOthers(t *testing.T, img image.Image) string {
	t.Helper()
	program := outside.Program(t, "tesseract")
	file := filepath.Join(t.TempDir(), "card.png")
	f, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, png.Encode(f, img))
	require.NoError(t, f.Close())
	read := exec.Command(program, file, "-", "--dpi", "300", "--psm", "6", "-l", "eng")
	read.Env = append(os.Environ(), "OMP_THREAD_LIMIT=1") // its threads wait for each other where others work too
	out, err := read.Output()
	require.NoError(t, err)
	return string(out)
}

var manySpaces = regexp.MustCompile(`[ \t]+`)

// What a card says of itself is read back from its marks: heads, units and values.
func TestOtherEyesReadTheCard(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "card.nc")
	furrow(t, "swatch", "--machine", "example-co2", "--material", "birch plywood", "--patch", "8mm", "--gap", "3mm",
		"--columns", "speed=100:400:4", "--rows", "power=20,35,50", "--date", "2026-12-01", "-o", file)
	text := lettersOf(t, file, "example-co2", 0.25)
	for _, want := range []string{"birch plywood", "across: speed mm/s", "down: power %",
		"spacing 0.12 mm", "2026-12-01",
		"A B", "100 200 300 400", "1 20", "2 35", "3 50"} {
		assert.Contains(t, text, want)
	}

	file = filepath.Join(t.TempDir(), "delays.mvl")
	furrow(t, "swatch", "delays", "--recipe", "example-fibre-steel", "-o", file)
	text = lettersOf(t, file, "example-fibre", 0.2)
	for _, want := range []string{"stainless steel", "microseconds, one delay a row",
		"28 56 83 111 139 167 194 222", "laser on",
		"laser off", "mark", "corner", "short jump", "straight", "59 117 176 234 293 351 410 468"} {
		assert.Contains(t, text, want)
	}
}

// lettersOf is what others read of a card's lettering, marked so wide.
func lettersOf(t *testing.T, file, machine string, widthMM float64) string {
	t.Helper()
	f := cardOf(t, strings.TrimSuffix(file, filepath.Ext(file))+".toml")
	prog, _ := replayed(t, file, machine)
	text := readByOthers(t, drawn(prog, widthMM, func(p path.Point) bool {
		return slices.ContainsFunc(f.Patches, func(r swatch.Record) bool { return inside(r.Rect(), p) })
	}))
	return manySpaces.ReplaceAllString(text, " ")
}

// Patches come from the coolest to the warmest but for the bands, and in a band each lies
// farther from the one before than the patches of a row lie apart.
func TestCoolestFirstAndFarApart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "card.nc")
	furrow(t, "swatch", "--machine", "example-co2", "--material", "birch plywood", "--columns", "speed=60:360:6",
		"--rows", "power=20:80:6", "-o", file)
	f := cardOf(t, strings.TrimSuffix(file, ".nc")+".toml")
	require.Len(t, f.Patches, 36)
	near, sum := 0, 0.0
	for i, p := range f.Patches {
		for _, later := range f.Patches[min(i+12, 36):] { // six side by side, before and behind
			require.GreaterOrEqual(t, later.DoseJPerCM2, p.DoseJPerCM2-1e-9, "%s before %s", p.Name, later.Name)
		}
		if i > 0 {
			d := p.Rect().Centre().Dist(f.Patches[i-1].Rect().Centre())
			sum += d
			if d < 8.001 {
				near++
			}
		}
	}
	require.LessOrEqual(t, near, 2, "neighbours follow each other where a band leaves nothing else")
	require.Greater(t, sum/35, 2*8.0, "two patches on the way, on average")
}

// BenchmarkCard is a card of 400 patches with labels, written with its papers.
func BenchmarkCard(b *testing.B) {
	for b.Loop() {
		file := filepath.Join(b.TempDir(), "card.mvl")
		furrow(b, "swatch", "--machine", "example-fibre", "--material", "stainless steel", "--patch", "5mm",
			"--gap", "2mm",
			"--columns", "speed=200:1150:20", "--rows", "power=5:100:20", "-o", file, "--force")
	}
}

// The cards that are read for a value are, patch by patch, what their files say, on every
// example machine that they are for, and check passes them all.
func TestCalibrationCardsAreWhatTheirFilesSay(t *testing.T) {
	t.Parallel()
	recipes := map[string]string{"example-co2": "example-co2-birch", "example-diode": "example-diode-birch",
		"example-fibre": "example-fibre-steel"}
	for _, c := range swatch.Calibrations() {
		for machine, recipe := range recipes {
			galvo := machine == "example-fibre"
			if c.Word == "delays" && !galvo || c.Word == "reversal" && galvo ||
				machine == "example-diode" && !outside.Strict() { // the second gantry
				continue
			}
			t.Run(c.Word+" "+machine, func(t *testing.T) {
				ext := ".nc"
				if galvo {
					ext = ".mvl"
				}
				dir := t.TempDir()
				// or several
				furrow(t, "swatch", c.Word, "--recipe", recipe, "--output="+filepath.Join(dir, "card"+ext))
				f := cardOf(t, filepath.Join(dir, "card.toml"))
				var names []string
				for _, p := range f.Patches {
					if !slices.Contains(names, p.File) {
						names = append(names, p.File)
					}
				}
				marked := map[string]*laid{}
				for _, name := range names {
					furrow(t, "check", filepath.Join(dir, name), "--machine", machine)
					prog, moves := replayed(t, filepath.Join(dir, name), machine)
					if c.Word == "reversal" { // planned without the correction that AsMarked would undo
						prog = asCommanded(t, filepath.Join(dir, name), machine)
					}
					require.NotEmpty(t, moves.Settings)
					patches, _ := found(t, prog, f, name)
					for patch, l := range patches {
						marked[patch] = l
					}
				}
				require.Len(t, marked, len(f.Patches))
				for _, p := range f.Patches {
					l := marked[p.Name]
					require.InDelta(t, p.SpeedMMPerS, l.speed, 1e-6, p.Name)
					require.InDelta(t, p.PowerPercent, 100*l.power, 0.051, p.Name)
					require.InDelta(t, 1000*p.FrequencyKHz, l.hz, 1e-6, p.Name)
				}
			})
		}
	}
}

func asCommanded(t *testing.T, file, machine string) path.Program {
	t.Helper()
	m, err := settings.FindMachine(machine)
	require.NoError(t, err)
	r, err := os.Open(file)
	require.NoError(t, err)
	defer r.Close()
	moves, err := gcode.Read(r, m.Controller())
	require.NoError(t, err)
	prog, err := moves.Program()
	require.NoError(t, err)
	return prog
}
