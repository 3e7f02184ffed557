package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/view"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// adjustable is the example fibre galvo with a choice of pulse lengths.
func adjustable() machine.Profile {
	p := machine.Examples()[2]
	p.ID, p.Name = "adjustable", "adjustable"
	p.Laser.PulseTable = [][2]float64{{100, 30}, {200, 30}}
	return p
}

// plainRecipe is for adjustable, with nothing that may be left out.
func plainRecipe() machine.Recipe {
	return machine.Recipe{Furrow: 1, ID: "plain", Name: "plain", Machine: "adjustable", Material: "slate",
		Purpose:     "engrave",
		SpeedMMPerS: 500, PowerPercent: 40, FrequencyKHz: 50, SpacingMM: 0.1}
}

// recipeEffects has one place for each key of a recipe where it must be felt: a
// change of the recipe, and what of the work it must change.
var recipeEffects = map[string]struct {
	set  func(r *machine.Recipe)
	felt func(t *testing.T, b made) any
	want any
}{
	"id":       {func(r *machine.Recipe) { r.ID = "other" }, summaryHas("other (plain), slate"), true},
	"name":     {func(r *machine.Recipe) { r.Name = "Slate, winter" }, summaryHas("Slate, winter"), true},
	"material": {func(r *machine.Recipe) { r.Material = "basalt" }, summaryHas("basalt"), true},
	"from": {func(r *machine.Recipe) { r.From = "patch C4 of card.toml" },
		summaryHas("patch C4 of card.toml"), true},
	"purpose": {func(r *machine.Recipe) { r.Purpose = "mark" }, foundFor("mark"), true},
	"speed_mm_s": {func(r *machine.Recipe) { r.SpeedMMPerS = 700 },
		func(_ *testing.T, b made) any { return b.Moves.Settings[0].SpeedMMPerS }, 700.0},
	"power_percent": {func(r *machine.Recipe) { r.PowerPercent = 70 },
		func(_ *testing.T, b made) any { return b.Moves.Settings[0].Power }, 0.7},
	"frequency_khz": {func(r *machine.Recipe) { r.FrequencyKHz = 80 },
		func(_ *testing.T, b made) any { return b.Moves.Settings[0].FrequencyHz }, 80_000.0},
	"pulse_ns": {func(r *machine.Recipe) { r.PulseNS = 200 },
		func(_ *testing.T, b made) any { return b.Moves.Settings[0].PulseNS }, 200.0},
	"spacing_mm": {func(r *machine.Recipe) { r.SpacingMM = 0.5 },
		func(_ *testing.T, b made) any { return b.Hatched.Rows }, 20},
	"angles_degrees": {func(r *machine.Recipe) { r.AnglesDegrees = []float64{0, 60} },
		directions, []int{0, 60}},
	"cross_degrees": {func(r *machine.Recipe) { r.CrossDegrees = 90 },
		func(_ *testing.T, b made) any { return b.Hatched.Rows }, 200},
	"passes": {func(r *machine.Recipe) { r.Passes = 3 }, // 100 rows of 10 mm, three times
		func(_ *testing.T, b made) any { return math.Round(b.Clock.MarkMM) }, 3000.0},
	"pass_turn_degrees": {func(r *machine.Recipe) { r.Passes, r.PassTurnDegrees = 2, 15 },
		directions, []int{0, 15}},
	"one_way": {func(r *machine.Recipe) { r.OneWay = true },
		func(_ *testing.T, b made) any { return allRightwards(b) }, true},
	"outline": {func(r *machine.Recipe) { r.Outline = "after" },
		func(_ *testing.T, b made) any { return b.Program.Strokes[len(b.Program.Strokes)-1].Kind }, path.LineStroke},
	"mark_width_mm": {func(r *machine.Recipe) { r.MarkWidthMM = 0.08 },
		func(_ *testing.T, b made) any { return math.Round(1000*b.Clock.Marks.W()) / 1000 }, 9.92},
	"focus_offset_mm": {func(r *machine.Recipe) { r.FocusOffsetMM = 2 },
		func(_ *testing.T, b made) any { return math.Round(1e9 * b.laidDown()[0].Overlap) },
		math.Round(1e9 * softOverlap)},
	"tone": {func(r *machine.Recipe) { r.Tone = "lighter" }, finishChanges, true},
	"absorbed_fraction": {func(r *machine.Recipe) { r.AbsorbedFraction = 0.25 },
		func(t *testing.T, b made) any {
			e := comparedAlone(t, b, "engrave").Machines[0]
			return e.AbsorbedJ / e.EnergyJ
		}, 0.25},
	"air": {func(r *machine.Recipe) { r.Air = true },
		func(_ *testing.T, b made) any { return b.Moves.Settings[0].Air }, true},
	"notes":     {func(r *machine.Recipe) { r.Notes = "mask with tape" }, summaryHas("mask with tape"), true},
	"tested_on": {func(r *machine.Recipe) { r.TestedOn = "2026-11-20" }, summaryHas("tested 2026-11-20"), true},
}

// softOverlap is the pulse overlap at 500 mm/s and 50 kHz, 2 mm out of a focus of
// 0.06 mm: 1 - v/(f·d) with d = 0.06·√(1 + (2/zR)²), zR = π·0.06²/(4·λ) for M2 = 1
// (ISO 11146-1).
var softOverlap = 1 - 500/(50_000*0.06*math.Sqrt(1+math.Pow(2/(math.Pi*0.06*0.06/(4*1064e-6)), 2)))

// The keys that a recipe cannot be changed by and still be used, and rework, which only the
// rest of a stopped file asks for.
var fixedRecipeKeys = []string{"furrow", "machine", "rework"}

func TestEveryRecipeKeyIsFelt(t *testing.T) {
	for _, f := range settings.FieldsOf(reflect.ValueOf(machine.Recipe{})) {
		effect, ok := recipeEffects[f.Key]
		if !ok {
			require.Contains(t, fixedRecipeKeys, f.Key)
			continue
		}
		t.Run(f.Key, func(t *testing.T) {
			r := plainRecipe()
			before := effect.felt(t, buildWith(t, r))
			effect.set(&r)
			require.NotEqual(t, effect.want, before, "felt without the key")
			require.Equal(t, effect.want, effect.felt(t, buildWith(t, r)))
		})
	}
	require.Len(t, recipeEffects, reflect.TypeOf(machine.Recipe{}).NumField()-len(fixedRecipeKeys))
}

// buildWith does the work of a square of 10 mm with a recipe on its machine.
func buildWith(t *testing.T, r machine.Recipe) made {
	dir := t.TempDir()
	profile, err := settings.ProfileTOML(adjustable())
	require.NoError(t, err)
	text, err := settings.RecipeTOML(r)
	require.NoError(t, err)
	files := map[string]string{
		"machine.toml": string(profile), "recipe.toml": string(text),
		"square.svg": `<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm">
<rect width="10mm" height="10mm"/></svg>`,
	}
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	quick := "quick"
	q := request{Request: job.Request{Effort: &quick, Machine: filepath.Join(dir, "machine.toml"),
		Recipe: filepath.Join(dir, "recipe.toml")}}
	task, err := q.begin(&app{stderr: &bytes.Buffer{}}, filepath.Join(dir, "square.svg"), false)
	require.NoError(t, err)
	b, err := task.makeWithAdvice()
	require.NoError(t, err)
	return b
}

// directions lists those of the marked lines, degrees from 0 to 179.
func directions(_ *testing.T, b made) any {
	var all []int
	for i := range b.Program.Strokes {
		p := b.Program.PointsOf(i)
		d := p[len(p)-1].Sub(p[0])
		all = append(all, int(math.Round(math.Atan2(d.Y, d.X)*180/math.Pi)+360)%180)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// allRightwards reports that no line is marked from right to left.
func allRightwards(b made) bool {
	for i := range b.Program.Strokes {
		if p := b.Program.PointsOf(i); p[0].X > p[len(p)-1].X {
			return false
		}
	}
	return true
}

func summaryHas(words string) func(*testing.T, made) any {
	return func(_ *testing.T, b made) any {
		var out bytes.Buffer
		b.summary(&out, "x.mvl", 1)
		return strings.Contains(out.String(), words)
	}
}

func foundFor(purpose string) func(*testing.T, made) any {
	return func(t *testing.T, b made) any { return len(comparedAlone(t, b, purpose).Machines) == 1 }
}

// comparedAlone compares the machine of some work with none other, by the recipes for
// slate and a purpose.
func comparedAlone(t *testing.T, b made, purpose string) *comparison {
	home := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", home)
	recipes := filepath.Join(home, "furrow", "recipes")
	require.NoError(t, os.MkdirAll(recipes, 0o755))
	text, err := settings.RecipeTOML(b.Recipe.Recipe)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(recipes, "only.toml"), text, 0o644))
	c := compareFlags{machines: []string{b.Machine.File}, material: "slate", purpose: &purpose}
	got, err := c.compare(&app{stderr: &bytes.Buffer{}}, b.Job.Artwork.File)
	require.NoError(t, err)
	return got
}

func finishChanges(t *testing.T, b made) any {
	s, err := view.OfWork(b.Work)
	require.NoError(t, err)
	return s.Tone != nil && s.Tone.Word == "lighter"
}
