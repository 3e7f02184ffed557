package swatch

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

func spec(t *testing.T, r Request) Spec {
	t.Helper()
	s, err := r.Spec()
	require.NoError(t, err)
	return s
}

// Round a recipe of 300 mm/s and 45 % go half to twice the speed by ratios of the root of
// 2, and three to seven fifths of the power. Round one that colours by its pulses, of 80
// kHz on a source of 30 to 100, go frequencies.
func TestAroundARecipe(t *testing.T) {
	s := spec(t, Request{Around: "example-co2-birch"})
	require.Equal(t, "speed", s.Columns.Kind.Word)
	require.Equal(t, "power", s.Rows.Kind.Word)
	require.True(t, s.Columns.Ratios)
	values(t, []float64{150, 212, 300, 424, 600}, s.Columns)
	values(t, []float64{27, 36, 45, 54, 63}, s.Rows)
	require.Equal(t, "example-co2-birch", s.Recipe)
	require.Equal(t, "birch plywood", s.Material)
	require.Equal(t, "example-co2", s.Machine.ID)
	require.Equal(t, 0.12, s.Fill.Spacing.MM)
	require.Equal(t, []float64{6, 2, 1}, []float64{s.PatchMM, s.GapMM, s.MarginMM})

	s = spec(t, Request{Around: "example-fibre-steel"})
	require.Equal(t, "frequency", s.Rows.Kind.Word)
	values(t, []float64{48, 64, 80, 96, 100}, s.Rows)
	s = spec(t, Request{Around: "example-fibre-steel", Fill: job.Fill{Frequency: &value.Frequency{Hz: 40_000}}})
	values(t, []float64{30, 32, 40, 48, 56}, s.Rows)
	s = spec(t, Request{Around: "example-diode-anodised"}) // a mark, and no pulses; 126 and 108 % are none
	values(t, []float64{54, 72, 90, 100}, s.Rows)
	s = spec(t, Request{Around: "example-fibre-coated"}) // pulses, and no mark
	require.Equal(t, "power", s.Rows.Kind.Word)
	s = spec(t, Request{Around: "example-co2-birch", Columns: axis(t, "spacing=0.1mm,0.2mm"),
		Rows: axis(t, "speed=100,200")})
	values(t, []float64{0.1, 0.2}, s.Columns)
	values(t, []float64{100, 200}, s.Rows)
}

// What a person gives goes over the recipe, a recipe of the material on the machine is
// taken by itself, and what is wrong is refused.
func TestWhatACardIsMadeFrom(t *testing.T) {
	columns, rows := axis(t, "speed=100,200"), axis(t, "power=20,40")
	s := spec(t, Request{Machine: "example-co2", Material: "Birch plywood", Columns: columns, Rows: rows,
		PatchMM: mm(4), GapMM: mm(3), MarginMM: mm(5), Date: "2026-12-18",
		Fill: job.Fill{Spacing: &value.Spacing{MM: 0.2}}, Blank: &value.Point{X: 80, Y: 60},
		At: &value.Point{X: 3, Y: 4}})
	require.Equal(t, "example-co2-birch", s.Recipe)
	require.Equal(t, "Birch plywood", s.Material)
	require.Equal(t, 0.2, s.Fill.Spacing.MM)
	require.Equal(t, []float64{4, 3, 5}, []float64{s.PatchMM, s.GapMM, s.MarginMM})
	require.Equal(t, pt(80, 60), s.Blank)
	require.Equal(t, pt(3, 4), *s.At)
	require.Equal(t, "2026-12-18", s.Date)
	require.Empty(t, spec(t, Request{Machine: "example-diode", Fill: plain(100, 40, 0.1), Columns: columns}).Recipe)
	require.Empty(t, spec(t, Request{Machine: "example-diode", Material: "slate", Fill: plain(100, 40, 0.1),
		Columns: columns}).Recipe)
	require.Equal(t, "example-diode-birch",
		spec(t, Request{Machine: "example-diode", Material: "birch plywood", Columns: columns}).Recipe)
	for want, r := range map[string]Request{
		"nothing to vary": {Machine: "example-co2", Fill: plain(100, 40, 0.1)},
		"columns and rows both vary speed": {Machine: "example-co2", Columns: columns, Rows: axis(t, "speed=300,400"),
			Fill: plain(100, 40, 0.1)},
		"recipe example-co2-birch was made on example-co2, and the machine is example-diode": {Machine: "example-diode",
			Recipe: "example-co2-birch", Columns: columns},
	} {
		_, err := r.Spec()
		require.EqualError(t, err, want)
	}
	for want, r := range map[string]Request{
		"PVC":     {Machine: "example-co2", Material: "PVC", Columns: columns, Fill: plain(100, 40, 0.1)},
		"spacing": {Machine: "example-co2", Columns: columns, Rows: rows},
		"nowhere": {Machine: "nowhere", Columns: columns, Rows: rows},
		"nosuch":  {Machine: "example-co2", Recipe: "nosuch", Columns: columns, Rows: rows},
	} {
		_, err := r.Spec()
		require.ErrorContains(t, err, want)
	}
}

// Lettering is outlines alone. A head that gains 1500 mm/s2 has the root of 1500, 38 mm/s,
// after half of a stroke of 1 mm: at 300 mm/s and 45 % the dose is kept by 5.7 %. A galvo
// letters as it fills, and what a person says of it holds.
func TestLettering(t *testing.T) {
	s := spec(t, Request{Around: "example-co2-birch"})
	require.InDelta(t, 38, float64(*s.Letters.Speed), 0)
	require.InDelta(t, 5.7, float64(*s.Letters.Power), 1e-9)
	require.Equal(t, "only", *s.Letters.Outline)
	require.Nil(t, s.Letters.Passes)
	require.Nil(t, s.Letters.FocusOffset)
	r := Request{Around: "example-co2-birch"}
	require.NoError(t, r.Letters.Set("speed=200,power=12"))
	r.Fill.Passes, r.Fill.FocusOffset = value.Given(value.Count(3)), mm(2)
	s = spec(t, r)
	require.InDelta(t, 200, float64(*s.Letters.Speed), 0)
	require.InDelta(t, 12, float64(*s.Letters.Power), 0)
	require.Nil(t, s.Letters.Passes, "nor as often as the patches")
	require.Nil(t, s.Letters.FocusOffset)
	require.NoError(t, r.Letters.Set("passes=2"))
	require.Equal(t, value.Count(2), *spec(t, r).Letters.Passes)
	// In the middle of what is varied, where nothing else is said.
	s = spec(t, Request{Machine: "example-fibre", Columns: axis(t, "speed=100,200,300"),
		Rows: axis(t, "power=20,30,50"),
		Fill: job.Fill{Spacing: &value.Spacing{MM: 0.1}, Frequency: &value.Frequency{Hz: 50_000}}})
	require.InDelta(t, 200, float64(*s.Letters.Speed), 0)
	require.InDelta(t, 30, float64(*s.Letters.Power), 0)

	co2 := Spec{Machine: found(t, "example-co2")}
	slow := co2.inReach(plain(38, 20, 1))
	require.InDelta(t, 20, float64(*slow.Power), 0)
	fast := co2.inReach(plain(39, 20, 1)) // 20 times 38/39 is 19.49
	require.InDelta(t, 38, float64(*fast.Speed), 0)
	require.InDelta(t, 19.5, float64(*fast.Power), 1e-9)
	for _, accel := range [][2]float64{{1500, 900}, {900, 1500}} { // of the slower axis: the root of 900
		co2.Machine.Gantry.AccelMMPerS2 = accel
		require.InDelta(t, 30, float64(*co2.inReach(plain(300, 45, 1)).Speed), 0)
	}
	co2.Machine.Laser.FloorPercent = 12
	require.InDelta(t, 12, float64(*co2.inReach(plain(300, 45, 1)).Power), 0)
	require.Equal(t, job.Fill{Speed: number(300)}, co2.inReach(job.Fill{Speed: number(300)}))
	require.Equal(t, job.Fill{Power: number(30)}, co2.inReach(job.Fill{Power: number(30)}))

	for text, want := range map[string]string{
		"speed": `"speed" is not SETTING=VALUE: write speed=800,power=20`, "colour=3": `a card does not vary "colour"`,
		"power=120": "120 is out of range",
	} {
		require.ErrorContains(t, new(Letters).Set(text), want)
	}
	require.NoError(t, new(Letters).Set("speed=8, power=20"))
	r = Request{Around: "example-fibre-coated"}
	require.NoError(t, r.Letters.Set("frequency=200kHz"))
	_, err := r.Spec()
	require.ErrorContains(t, err, "the lettering: frequency 200 kHz is outside the source's range, 30 to 100 kHz")
}

// Lettering is marked with what the machine has of the values that a card varies, the nearest
// to their middle: that some patch cannot be marked leaves out the patch, and not the card.
func TestLetteringThatTheMachineHas(t *testing.T) {
	steel := Request{Machine: "example-fibre", Fill: plain(1000, 50, 0.05)}
	for text, want := range map[string]float64{
		"frequency=10kHz,200kHz,90kHz,80kHz": 90, "frequency=150kHz,120kHz,180kHz,190kHz,40kHz,35kHz": 40,
		"frequency=10kHz:300kHz": 82.5, "frequency=60kHz,70kHz,10kHz": 70, "frequency=200kHz:300kHz": 250,
	} {
		r := steel
		r.Columns = axis(t, text)
		s, err := r.Spec()
		if want > 100 {
			require.ErrorContains(t, err, "the lettering: frequency 250 kHz", text)
			continue
		}
		require.NoError(t, err, text)
		require.InDelta(t, want*1000, s.Letters.Frequency.Hz, 1e-6, text)
	}
	require.Equal(t, []float64{3, 4, 2, 5, 1, 6}, axisOf("speed", 1, 2, 3, 4, 5, 6).fromMiddle())
	require.Equal(t, []float64{3, 4, 2, 5, 1}, axisOf("speed", 1, 2, 3, 4, 5).fromMiddle())
	require.Equal(t, []float64{9}, axisOf("speed", 9).fromMiddle())
}

// The card of a patch varies what its card varied, between the neighbours of the patch.
func TestFinerCard(t *testing.T) {
	f := File{
		Machine: "example-co2", Material: "birch plywood", Recipe: "mine",
		Columns: &AxisRecord{Setting: "speed", Values: []float64{100, 200, 300}},
		Rows:    &AxisRecord{Setting: "power", Ratios: true, Values: []float64{10, 20, 40}},
		Letters: Marking{SpeedMMPerS: 33, PowerPercent: 7},
	}
	p := Record{Marking: Marking{SpeedMMPerS: 200.004, PowerPercent: 20, SpacingMM: 0.1, Passes: 2}}
	s := spec(t, Request{From: f, Finer: &p})
	values(t, []float64{100, 133, 167, 200, 233, 267, 300}, s.Columns)
	values(t, []float64{10, 12.6, 15.9, 20, 25.2, 31.7, 40}, s.Rows)
	require.Equal(t, "mine", s.Recipe)
	require.Equal(t, "birch plywood", s.Material)
	require.Equal(t, value.Count(2), *s.Fill.Passes)
	require.InDelta(t, 33, float64(*s.Letters.Speed), 0)
	require.InDelta(t, 7, float64(*s.Letters.Power), 0)
	s = spec(t, Request{From: f, Finer: &p, Rows: axis(t, "passes=1,2"),
		Fill: job.Fill{Spacing: &value.Spacing{MM: 0.3}}})
	values(t, []float64{1, 2}, s.Rows)
	require.Equal(t, 0.3, s.Fill.Spacing.MM)
	f.Rows = nil
	require.False(t, spec(t, Request{From: f, Finer: &p}).Rows.Given())
}

// What no patch varies is told, but not what everybody expects.
func TestFixedValues(t *testing.T) {
	s := Spec{Fill: plain(100, 20, 0.1), Columns: axis(t, "speed=1,2")}
	s.Fill.Passes, s.Fill.Angle = value.Given(value.Count(1)), &value.Angles{30}
	require.Equal(t, "power 20 %, spacing 0.1 mm, angle 30 deg", fixedWords(s))
	s.Rows, s.varied, s.Recipe = axis(t, "power=1,2"), []string{"angle"}, "mine"
	require.Equal(t, "spacing 0.1 mm, the rest as in recipe mine", fixedWords(s))
	require.Equal(t, "100 mm/s, 20 %, 30 deg", markingWords(s.Fill))
}

// The first recipe of a material on a machine is found, of all that there are.
func TestRecipesForAMaterial(t *testing.T) {
	all, err := settings.AllRecipes()
	require.NoError(t, err)
	first := map[[2]string]string{}
	for _, r := range all {
		if key := [2]string{r.Machine, r.Material}; first[key] == "" {
			first[key] = r.ID
		}
	}
	require.Greater(t, len(first), 3)
	for key, id := range first {
		m := found(t, key[0])
		require.Equal(t, id, forMaterial(*m, key[1]).ID, "%v", key)
		require.Nil(t, forMaterial(*m, ""))
		require.Nil(t, forMaterial(*m, "moon rock"))
	}
}
