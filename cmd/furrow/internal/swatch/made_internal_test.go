package swatch

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
)

func making(t *testing.T, c Card) Made {
	t.Helper()
	m, err := c.Make()
	require.NoError(t, err)
	return m
}

// pair is a card of two patches of 6 rows of 6 mm, at half of 40 W: 0.36 s of marking at
// 100 mm/s and 0.18 s at 200 lay down 7.2 J and 3.6 J, which over 1 mm from row to row are
// 20 and 10 J/cm2.
func pair(t *testing.T, change func(*Request)) Card {
	t.Helper()
	r := Request{Machine: "example-co2", Material: "slate", Columns: axis(t, "speed=100,200"), Fill: plain(100, 50, 1),
		At: &value.Point{X: 3, Y: 4}}
	if change != nil {
		change(&r)
	}
	return grids(t, spec(t, r))[0]
}

// The lettering comes first, then the cooler patch and the warmer one, each where the card
// was put, and with its own speed.
func TestCardAsMoves(t *testing.T) {
	m := making(t, pair(t, nil))
	require.Len(t, m.Parts, 3)
	require.Equal(t, []string{"swatch: lettering", "patch B1", "patch A1"},
		[]string{m.Parts[0].Note, m.Parts[1].Note, m.Parts[2].Note})
	require.Zero(t, m.Parts[0].First)
	require.Equal(t, 12, len(m.Program.Strokes)-m.Parts[1].First)
	require.Equal(t, 6, len(m.Program.Strokes)-m.Parts[2].First)
	for i := range m.Program.Strokes {
		set := m.Program.Settings[m.Program.Strokes[i].Setting]
		b := path.BoundsOf(m.Program.PointsOf(i))
		switch {
		case i >= m.Parts[2].First:
			inside(t, m.Marked[1].Box, b)
			require.InDelta(t, 100, set.SpeedMMPerS, 0)
		case i >= m.Parts[1].First:
			inside(t, m.Marked[0].Box, b)
			require.InDelta(t, 200, set.SpeedMMPerS, 0)
		default:
			require.InDelta(t, 38, set.SpeedMMPerS, 0, "lettering")
			require.Equal(t, path.LineStroke, m.Program.Strokes[i].Kind)
		}
	}
	for i, name := range []string{"B1", "A1"} {
		require.Equal(t, name, m.Marked[i].Name)
		near(t, m.Card.Patches[1-i].Box.Min.Add(pt(3, 4)), m.Marked[i].Box.Min)
		near(t, m.Card.Patches[1-i].Box.Max.Add(pt(3, 4)), m.Marked[i].Box.Max)
	}
	require.InDelta(t, 7.2, m.Energy["A1"], 1e-6)
	require.InDelta(t, 3.6, m.Energy["B1"], 1e-6)
	near(t, pt(3, 4), m.Art.Page.Min)
	near(t, pt(3, 4).Add(m.Size), m.Art.Page.Max)
}

// Rows over the gaps of a comb are sweeps, and no sweep is of two patches.
func TestSweepsOfPatches(t *testing.T) {
	r := Request{Machine: "example-co2", Fill: plain(200, 45, 0.5), Rows: axis(t, "speed=200")}
	m := making(t, card(t, "reversal", r)[0])
	require.Len(t, m.Parts, 3)
	seen := map[int32]int{}
	for i, s := range m.Program.Strokes {
		part := 0
		for part+1 < len(m.Parts) && m.Parts[part+1].First <= i {
			part++
		}
		if s.Sweep == 0 {
			continue // lettering, and a tooth that is alone on its row
		}
		if was, had := seen[s.Sweep]; had {
			require.Equal(t, was, part)
		}
		seen[s.Sweep] = part
	}
	require.Greater(t, len(seen), 10)
}

func inside(t *testing.T, box, b path.Rect) {
	t.Helper()
	require.Equal(t, box.Grow(1e-6), box.Grow(1e-6).Union(b))
}

// In a galvo's field a card without a place lies about the middle, and its patches with it.
func TestCardInAField(t *testing.T) {
	m := making(t, pair(t, func(r *Request) { r.Machine, r.Fill, r.At = "example-fibre", withPulses(r.Fill), nil }))
	near(t, m.Size.Mul(-0.5), m.Art.Page.Min)
	near(t, m.Card.Patches[1].Box.Min.Sub(m.Size.Mul(0.5)), m.Marked[0].Box.Min)
}

// Strokes of a patch are marked as they stand, and a card of several says which it is.
func TestStrokesOfAPatch(t *testing.T) {
	c := pair(t, nil)
	c.Number, c.Of = 2, 3
	c.Labels = nil
	c.Patches = c.Patches[:1]
	c.Patches[0].Strokes = []Polyline{{pt(10, 1), pt(14, 1)}, {pt(10, 2), pt(10, 4), pt(11, 4)}}
	m := making(t, c)
	require.Len(t, m.Parts, 1, "nothing is lettered")
	require.Len(t, m.Program.Strokes, 2)
	require.Equal(t, []path.Point{pt(13, 5), pt(17, 5)}, m.Program.PointsOf(0))
	require.Equal(t, []path.Point{pt(13, 6), pt(13, 8), pt(14, 8)}, m.Program.PointsOf(1))
	require.InDelta(t, 20*7/100.0, m.Energy["A1"], 1e-9)
	require.Equal(t, "swatch 2 of 3: lettering", c.title())
	c.Of = 1
	require.Equal(t, "swatch: lettering", c.title())
	c.Lines = []Polyline{{pt(1, 1), pt(2, 1)}}
	m = making(t, c)
	require.Equal(t, []path.Point{pt(4, 5), pt(5, 5)}, m.Program.PointsOf(0))
}

func TestCardsThatCannotBeMade(t *testing.T) {
	c := pair(t, nil)
	c.Out, c.Patches = []Left{{"A1", "it is too fast"}}, nil
	_, err := c.Make()
	require.EqualError(t, err, "the machine can mark none of the patches: A1: it is too fast")
	c = pair(t, nil)
	c.Labels[0].Text = "\x01"
	_, err = c.Make()
	require.Error(t, err)
	require.Zero(t, width("\x01", 2))
	c = pair(t, nil)
	c.Patches[0].Shapes = nil
	_, err = c.Make()
	require.EqualError(t, err, "patch A1 has no room for a row")
}

// What the file of patches tells, by hand, and that it is read as it was written.
func TestFileOfACard(t *testing.T) {
	m := making(t, pair(t, func(r *Request) { r.Date = "2026-12-18" }))
	f := FileOf([]Made{m, m}, []string{"a.nc", "b.nc"})
	require.Len(t, f.Patches, 4)
	f = FileOf([]Made{m}, []string{"card.nc"})
	require.Equal(t, []string{"swatch", "example-co2", "slate", "2026-12-18", ""},
		[]string{f.Card, f.Machine, f.Material, f.Date, f.Recipe})
	require.Equal(t, &AxisRecord{Setting: "speed", Unit: "mm/s", Values: []float64{100, 200}}, f.Columns)
	require.Nil(t, f.Rows)
	require.InDelta(t, 38, f.Letters.SpeedMMPerS, 0)
	p := f.Patches[1]
	require.Equal(t, "A1 card.nc", p.Name+" "+p.File)
	require.Equal(t, 2, p.Turn)
	require.InDelta(t, 20, p.DoseJPerCM2, 1e-9)
	require.InDelta(t, 20, p.MeanPowerW, 1e-9)
	require.InDelta(t, 7.2, p.EnergyJ, 1e-6)
	require.InDelta(t, 10, f.Patches[0].DoseJPerCM2, 1e-9)
	require.Equal(t, Marking{SpeedMMPerS: 100, PowerPercent: 50, SpacingMM: 1}, p.Marking)
	near(t, m.Marked[1].Box.Min, p.Rect().Min)
	near(t, m.Marked[1].Box.Max, p.Rect().Max)
	require.Equal(t, plain(100, 50, 1), p.Fill())

	var b bytes.Buffer
	require.NoError(t, f.Encode(&b))
	require.True(t, strings.HasPrefix(b.String(), "# What each patch of a card is."))
	back, err := Read("card.toml", b.Bytes())
	require.NoError(t, err)
	require.Equal(t, f, back)
	for from, want := range map[[2]string]string{
		{"furrow = 1", "furrow = 2"}: "card.toml:6: furrow: version 2 of a card's file is not " +
			"known: write furrow = 1",
		{"setting = 'speed'", "setting = 'colour'"}:       `a card does not vary "colour"`,
		{"name = 'A1'", "name = 'B1'"}:                    "patch B1 stands there twice",
		{"material = 'slate'", "material = 'slate'\nx=1"}: "x",
	} {
		text := strings.Replace(b.String(), from[0], from[1], 1)
		require.NotEqual(t, b.String(), text, from[0])
		_, err := Read("card.toml", []byte(text))
		require.ErrorContains(t, err, want)
	}
	_, err = Read("card.toml", []byte("furrow = 1\ncard = 'swatch'\n"))
	require.ErrorContains(t, err, "the card has no patch")
	_, err = f.Patch("X9")
	var missing *fault.Failure
	require.ErrorAs(t, err, &missing)
	var names []string
	for _, p := range f.Patches {
		names = append(names, p.Name)
	}
	slices.Sort(names)
	require.Equal(t, "it has "+strings.Join(names, ", "), missing.Hint)
	f.Columns, f.Rows = nil, &AxisRecord{Setting: "colour"}
	require.Contains(t, f.axisProblem("rows"), "colour")
	require.Empty(t, f.axisProblem("columns"))
}

// A setting is chosen by its patch, or between two: in the middle, by ratios where the
// card has them (the root of 100 x 400 is 200), and never half a pass.
func TestChosenOnACard(t *testing.T) {
	patch := func(name string, speed, power float64, passes int) Record {
		return Record{Name: name, Marking: Marking{SpeedMMPerS: speed, PowerPercent: power, SpacingMM: 0.1,
			Passes: passes}}
	}
	f := File{Columns: &AxisRecord{Setting: "speed", Ratios: true, Values: []float64{100, 400}}, Patches: []Record{
		patch("A1", 100, 20, 1), patch("B1", 400, 30, 1), patch("A2", 100, 20, 2), patch("A3", 100, 20, 3)}}
	odd := patch("C1", 100, 20, 1)
	odd.Outline = "before"
	f.Patches = append(f.Patches, odd)
	c, err := f.Choose("B1", "x/card.toml")
	require.NoError(t, err)
	require.Equal(t, "patch B1 of card.toml", c.From)
	require.Equal(t, f.Patches[1].Fill(), c.Fill)
	c, err = f.Between("A1, B1", "x/card.toml")
	require.NoError(t, err)
	require.Equal(t, "between patches A1 and B1 of card.toml", c.From)
	require.InDelta(t, 200, float64(*c.Fill.Speed), 1e-9)
	require.InDelta(t, 25, float64(*c.Fill.Power), 1e-9)
	require.Equal(t, 0.1, c.Fill.Spacing.MM)
	c, err = f.Between("A1,A3", "card.toml")
	require.NoError(t, err)
	require.Equal(t, value.Count(2), *c.Fill.Passes)
	f.Columns.Ratios = false
	c, err = f.Between("A1,B1", "card.toml")
	require.NoError(t, err)
	require.InDelta(t, 250, float64(*c.Fill.Speed), 1e-9)
	f.Rows, f.Columns = f.Columns, nil
	f.Rows.Ratios = true
	c, err = f.Between("A1,B1", "card.toml")
	require.NoError(t, err)
	require.InDelta(t, 200, float64(*c.Fill.Speed), 1e-9)
	for names, want := range map[string]string{
		"A1": `"A1" is not two patches: write C4,C5`, "A1,X9": `the card has no patch "X9"`,
		"X9,A1": `the card has no patch "X9"`,
		"A1,A2": "there is nothing between passes of 1 x and 2 x",
		"A1,C1": "the two patches differ in more than numbers",
	} {
		_, err := f.Between(names, "card.toml")
		require.EqualError(t, err, want)
	}
}
