package swatch

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/raster/paper"
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

// The summary of a card, and what lies beside it at the bench.
func TestWordsOfACard(t *testing.T) {
	m := making(t, pair(t, func(r *Request) { r.Rows, r.Recipe = axis(t, "power=25,50"), "" }))
	m.Size = pt(42, 33.26)
	require.Equal(t, [][2]string{
		{"swatch", "4 patches on 1 card of 42 x 33.3 mm"}, {"across", "speed, mm/s: 100  200"},
		{"down", "power, %: 25  50"},
		{"fixed", "spacing 1 mm"}, {"letters", "38 mm/s, 19 %"}, {"dose",
			"5 J/cm2 (B1) to 20 J/cm2 (A2), the coolest first"},
	}, Lines([]Made{m}))
	m.Out = []Left{{"A3", "too slow"}, {"B3", "too slow"}, {"C3", "too fast"}}
	lines := Lines([]Made{m})
	require.Equal(t, [][2]string{{"left out", "A3, B3: too slow"}, {"", "C3: too fast"}}, lines[6:])
	one := m
	one.Patches = m.Patches[:1]
	require.Equal(t, "10 J/cm2 in each patch", doseWords([]Made{one}))
	require.Equal(t, "8 patches on 2 cards of 42 x 33.3 mm", Lines([]Made{m, m})[0][1])
	one.Patches = []Patch{{Fill: job.Fill{Speed: number(1), Power: number(1)}}}
	require.Empty(t, doseWords([]Made{one}), "nothing is filled")

	require.Equal(t, "Swatch: slate", title(m.Spec))
	columns, rows := tableOf([]Made{m})
	var heads []string
	for i, c := range columns {
		heads = append(heads, c.Head)
		require.Equal(t, i > 0 && i < 4, c.Right, "numbers stand at the right")
		require.InDelta(t, []float64{0.7, 1.1, 1.1, 0.9, 4}[i], c.Share, 1e-12)
	}
	require.Equal(t, []string{"patch", "speed, mm/s", "power, %", "J/cm2", "  tone, depth, remarks"}, heads)
	require.Equal(t, []string{"A1", "100", "25", "10", "  ______________________________"}, rows[0])
	require.Len(t, rows, 4)
	require.Greater(t, columns[4].Share, columns[1].Share+columns[2].Share, "room to write")

	bare := m.Spec
	bare.Material, bare.Kind = "", "width"
	require.Equal(t, "Width: example-co2", title(bare))
	f := making(t, pair(t, func(r *Request) { r.Machine, r.Fill = "example-fibre", withPulses(plain(100, 50, 0.03)) }))
	f.Patches[0].Shows = "a thing"
	columns, rows = tableOf([]Made{f})
	require.Len(t, columns, len(rows[0]))
	require.Equal(t, []string{"shows", "J/cm2", "pulses overlap", "mJ a pulse"},
		[]string{columns[2].Head, columns[3].Head, columns[4].Head, columns[5].Head})
	for i, c := range columns {
		require.Equal(t, c.Head != "patch" && c.Head != "shows" && i < len(columns)-1, c.Right, c.Head)
		require.InDelta(t, []float64{0.7, 1.1, 2.2, 0.9, 1, 0.9, 4}[i], c.Share, 1e-12)
	}
	// 25 W over 100 mm/s and 0.03 mm; 500 pulses a mm of 0.06 mm; 25 W over 50 kHz.
	require.Equal(t, []string{"A1", "100", "a thing", "833.33", "97 %", "0.5"}, rows[0][:6])
}

// How finely a card tells of itself: its size to a tenth of a millimetre, doses to a hundredth
// of a joule, powers to a hundredth of a percent of a hundred, speeds to a hundredth.
func TestHowFinelyACardIsTold(t *testing.T) {
	dosed := func(watts ...float64) (m Made) { // at 10 mm/s and 0.97 mm: 10.309 J/cm2 of a watt
		m.Spec = Spec{Kind: "swatch", Machine: found(t, "example-co2")}
		m.Size = pt(60.04, 33.26)
		for i, w := range watts {
			m.Patches = append(m.Patches, Patch{Name: Name(i, 0), Fill: plain(10, w/40*100, 0.97)})
		}
		return m
	}
	require.Equal(t, "1 patch on 1 card of 60 x 33.3 mm", Lines([]Made{dosed(1)})[0][1])
	m := dosed(1)
	m.Size = pt(33.26, 60.04)
	require.Equal(t, "1 patch on 1 card of 33.3 x 60 mm", Lines([]Made{m})[0][1])
	require.Equal(t, "1.24 J/cm2 in each patch", doseWords([]Made{dosed(0.12, 0.12)}))
	require.Equal(t, "0.41 J/cm2 (B1) to 0.82 J/cm2 (A1), the coolest first",
		doseWords([]Made{dosed(0.08, 0.04), dosed(0.08, 0.08)}))
	g := grid{room: pt(40.04, 50.06)}
	require.NoError(t, g.holds(pt(40.04, 50.06), "smaller"))
	require.EqualError(t, g.holds(pt(40.16, 50), "smaller"), "the card takes 40.2 x 50 mm, and there are 40 x 50.1 mm")
	require.EqualError(t, g.holds(pt(40, 50.17), "smaller"), "the card takes 40 x 50.2 mm, and there are 40 x 50.1 mm")
	g.PatchMM = 1.236
	require.EqualError(t, g.tooSmall(), "a card of 40 x 50.1 mm has no room for a patch of 1.24 mm with its labels")

	p := found(t, "example-co2").Profile
	set := func(speed, power float64) string {
		f := plain(speed, power, 1)
		return unfit(p, Patch{Fill: f}, settingOf(f, found(t, "example-co2")))
	}
	require.Equal(t, "power 0.0123 % rounds to none in the file", set(100, 0.01234))
	p.Gantry.MaxSpeedMMPerS = [2]float64{300.12345, 900}
	require.Equal(t, "speed 305.68 mm/s is above the axes' most along the rows, 300.12 mm/s", set(305.678, 50))
	require.Empty(t, set(300.12, 50))

	require.False(t, linesPart(Patch{}, pulse.Facts{DoseJPerCM2: 1}), "lines that just touch")
	require.True(t, linesPart(Patch{}, pulse.Facts{DoseJPerCM2: 1, LineOverlap: -0.001}))
	require.False(t, linesPart(Patch{}, pulse.Facts{LineOverlap: -1}), "there are none")

	require.Equal(t, "swatch: lettering", Card{Spec: m.Spec, Number: 1, Of: 1}.title())
	require.Equal(t, "swatch 2 of 2: lettering", Card{Spec: m.Spec, Number: 2, Of: 2}.title())
	in := Card{Spec: m.Spec}.input(plain(1, 1, 1), "none")
	require.Nil(t, in.Job.Blank.Width, "nobody said how large it is")
	m.Spec.Blank = pt(30, 20)
	in = Card{Spec: m.Spec}.input(plain(1, 1, 1), "none")
	require.Equal(t, pt(30, 20), in.Job.Blank.Size())
}

// Odd settings are counted, on the card that is not made to show them.
func TestWarningsOfACard(t *testing.T) {
	patch := func(speed, spacing, khz float64, width *value.Length) Patch {
		f := plain(speed, 100, spacing)
		f.Frequency, f.MarkWidth = &value.Frequency{Hz: 1000 * khz}, width
		return Patch{Fill: f}
	}
	m := Made{Card: Card{Spec: Spec{Kind: swatchKind, Machine: found(t, "example-fibre")}, Patches: []Patch{
		patch(100, 0.03, 50, nil), patch(4000, 0.03, 50, nil), // 0.08 mm apart, of 0.06 mm
		patch(100, 0.07, 50, nil), patch(100, 0.07, 50, mm(0.08)), patch(100, 0.09, 50, mm(0.08)),
		patch(100, 0.03, 30, nil), // 1 mJ at 30 kHz is 30 W of 50
	}}}
	for i := range m.Patches {
		m.Patches[i].Name = Name(i, 0)
	}
	require.Equal(t, []string{"pulses part in 1 patch: B1", "lines part in 2 patches: C1, E1",
		"pulses carry less than the power asked for, and the dose told is theirs in 1 patch: F1"}, Warnings([]Made{m}))
	m.Spec.Kind = "width"
	require.Empty(t, Warnings([]Made{m}))
}

// The paper holds a picture at its size: 42 mm and its surroundings at 200 dots an inch.
func TestPaperOfACard(t *testing.T) {
	m := making(t, pair(t, nil))
	p, err := m.picture("card.nc")
	require.NoError(t, err)
	img, err := p.Image()
	require.NoError(t, err)
	require.InDelta(t, float64(img.Bounds().Dx())/200*25.4, p.WMM, 1e-9)
	require.InDelta(t, float64(img.Bounds().Dy())/200*25.4, p.HMM, 1e-9)
	require.Greater(t, p.WMM, 42.0)
	require.Less(t, p.WMM, 2.5*42)
	var b bytes.Buffer
	require.NoError(t, Paper(&b, paper.A4, []Made{m}, []string{"card.nc"}, []string{"read it"}, "0.1.0"))
	require.True(t, bytes.HasPrefix(b.Bytes(), []byte("%PDF-")))
	require.Len(t, regexp.MustCompile(`/Type\s*/Page\b`).FindAll(b.Bytes(), -1), 2, "the card, and its patches")
}

// Labels stand about the middle of their height, at their anchor, and turn about that.
func TestLabels(t *testing.T) {
	l := Label{Text: "HH", At: pt(30, 20), HighMM: 2}
	box := func(l Label) path.Rect {
		s, err := l.shape()
		require.NoError(t, err)
		require.Equal(t, s.Path.Bounds(), s.Centre.Bounds())
		return s.Path.Bounds()
	}
	w := ink(t, "HH", 2)
	about := func(want, got path.Point) {
		t.Helper()
		require.InDelta(t, 0, want.Dist(got), 0.02, "%v: a capital is about two thirds of the size", got)
	}
	about(pt(30, 19), box(l).Min)
	about(pt(30+w, 21), box(l).Max)
	l.Anchor = 1
	about(pt(30-w, 19), box(l).Min)
	l.Anchor, l.Turn = 0, 90
	about(pt(29, 20), box(l).Min)
	about(pt(31, 20+w), box(l).Max)
	require.InDelta(t, w, width("HH", 2), 1e-12)
	require.InDelta(t, w, widest([]string{"I", "HH", "H"}, 2), 1e-12)
	room := ink(t, "one   two", 2)
	require.Equal(t, []string{"one   two", "three"}, wrapped([]string{"one", "", "two", "three"}, 2, room))
	require.Equal(t, []string{"one", "two", "three"}, wrapped([]string{"one", "two", "three"}, 2, room-0.01))
	require.Empty(t, wrapped(nil, 2, 10))
	require.Equal(t, []string{"one two", "three"}, wrapped([]string{"one two three"}, 2, width("one two", 2)))
	require.Equal(t, []string{"one", "two"}, wrapped([]string{"onetwo"}, 2, max(width("one", 2), width("two", 2))))
}
