package swatch

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/text/stroke"
)

// ink is the width of a text whose capitals are so high: they take two thirds of the size.
func ink(t *testing.T, text string, high float64) float64 {
	t.Helper()
	w, err := stroke.SingleLine().Width(text, stroke.Line{Size: high * 1.5})
	require.NoError(t, err)
	return w
}

// labelled finds the labels of a card with a text.
func labelled(c Card, text string) (all []Label) {
	for _, l := range c.Labels {
		if l.Text == text {
			all = append(all, l)
		}
	}
	return all
}

func near(t *testing.T, want, got path.Point) {
	t.Helper()
	require.InDelta(t, 0, want.Dist(got), 1e-9, "%v", got)
}

func grids(t *testing.T, s Spec) []Card {
	t.Helper()
	cards, err := Grid(s)
	require.NoError(t, err)
	return cards
}

// sized is a card of columns and rows on a machine without a blank, its patches 6 mm wide
// and 2 mm apart.
func sized(t *testing.T, machine, columns, rows string) Spec {
	t.Helper()
	s := Spec{Kind: swatchKind, Machine: found(t, machine), Material: "slate", PatchMM: 6, GapMM: 2, MarginMM: 1,
		Fill: plain(100, 50, 0.5), Columns: axis(t, columns)}
	if rows != "" {
		s.Rows = axis(t, rows)
	}
	return s
}

// Whatever a card says of itself keeps to its 40 mm, and fills the line.
func TestTitlesKeepToTheirCard(t *testing.T) {
	s := sized(t, "example-co2", "speed=100,200,300", "power=20,40")
	for n := range 16 {
		s.Remarks = []string{strings.Repeat("n", n+1)}
		var last string
		for _, l := range grids(t, s)[0].Labels {
			if l.HighMM != 2 {
				continue
			}
			require.LessOrEqual(t, ink(t, l.Text, 2), 40.0)
			if next, _, _ := strings.Cut(l.Text, "   "); last != "" {
				require.Greater(t, ink(t, last+"   "+next, 2), 40.0, "%s would have had room", next)
			}
			last = l.Text
		}
		require.Contains(t, last, s.Remarks[0])
	}
}

// Where all of a card stands, by hand: 1 mm free about it, the title in capitals of 2 mm,
// 3.4 mm from line to line, heads of 1.8 mm, names and values of columns 3.06 mm apart, 1.2
// mm between heads and patches, and patches 8 mm apart; never narrower than 42 mm.
func TestWhereACardsPiecesStand(t *testing.T) {
	c := grids(t, sized(t, "example-co2", "speed=100,200,300", "power=20,40"))[0]
	require.InDelta(t, 42, c.Size.X, 1e-9)
	var title []Label
	for _, l := range c.Labels {
		if l.HighMM == 2 {
			title = append(title, l)
		}
	}
	require.NotEmpty(t, title)
	var said []string
	for i, l := range title {
		require.Zero(t, l.Anchor)
		near(t, pt(1, c.Size.Y-2-3.4*float64(i)), l.At)
		require.LessOrEqual(t, ink(t, l.Text, 2), 40.0)
		said = append(said, strings.Split(l.Text, "   ")...)
		if i > 0 {
			next, _, _ := strings.Cut(l.Text, "   ")
			require.Greater(t, ink(t, title[i-1].Text+"   "+next, 2), 40.0, "it would have had room")
		}
	}
	require.Equal(t, []string{"example-co2", "slate", "across: speed mm/s", "down: power %", "spacing 0.5 mm"}, said)

	heads := c.Size.Y - 1 - 3.4*float64(len(title))
	left := 1 + ink(t, "2  40", 1.8)
	top := heads - 2*1.7*1.8 - 1.2 + 0.7*1.8
	require.InDelta(t, 3.4*float64(len(title))+2*1.7*1.8+1.2+2+2*8-2, c.Size.Y, 1e-9)
	for i, name := range []string{"A", "B", "C"} {
		l := labelled(c, name)[0]
		near(t, pt(left+1.2+8*float64(i)+3, heads-0.9), l.At)
		require.Equal(t, []float64{1.8, 0.5, 0}, []float64{l.HighMM, l.Anchor, l.Turn})
		v := labelled(c, []string{"100", "200", "300"}[i])[0]
		near(t, l.At.Sub(pt(0, 3.06)), v.At)
		require.Equal(t, []float64{1.8, 0.5}, []float64{v.HighMM, v.Anchor})
	}
	for j, text := range []string{"1  20", "2  40"} {
		l := labelled(c, text)[0]
		near(t, pt(left, top-8*float64(j)-3), l.At)
		require.Equal(t, []float64{1.8, 1}, []float64{l.HighMM, l.Anchor})
	}
	require.Len(t, c.Labels, len(title)+3+3+2)
	require.Len(t, c.Patches, 6)
	for k, p := range c.Patches {
		i, j := k%3, k/3
		require.Equal(t, []string{"A1", "B1", "C1", "A2", "B2", "C2"}[k], p.Name)
		near(t, pt(left+1.2+8*float64(i), top-8*float64(j)-6), p.Box.Min)
		near(t, p.Box.Min.Add(pt(6, 6)), p.Box.Max)
		require.Equal(t, p.Box, p.Shapes[0].Path.Bounds())
		require.InDelta(t, float64(100*(i+1)), float64(*p.Fill.Speed), 0)
		require.InDelta(t, float64(20*(j+1)), float64(*p.Fill.Power), 0)
		require.Equal(t, []Value{{c.Spec.Columns.Kind, float64(100 * (i + 1))},
			{c.Spec.Rows.Kind, float64(20 * (j + 1))}}, p.Values)
	}
	require.Equal(t, [2]int{1, 1}, [2]int{c.Number, c.Of})
}

// Six columns and no rows are wider than 42 mm; the only row is called 1.
func TestCardOfColumnsAlone(t *testing.T) {
	c := grids(t, sized(t, "example-co2", "speed=100:200:6", ""))[0]
	left := 1 + ink(t, "1", 1.8) + 1.2
	require.InDelta(t, left+6*8-2+1, c.Size.X, 1e-9)
	require.Len(t, c.Patches, 6)
	near(t, pt(left+40, 1), c.Patches[5].Box.Min.Add(pt(0, -0.7*1.8)))
	require.Equal(t, 1.0, labelled(c, "1")[0].Anchor)
	s := sized(t, "example-co2", "speed=100,200", "")
	s.Columns, s.Rows = Axis{}, s.Columns
	c = grids(t, s)[0]
	require.Len(t, c.Patches, 2)
	require.Len(t, labelled(c, "A"), 1)
	require.Empty(t, labelled(c, "100"), "the column has no value")
	require.Len(t, c.Patches[0].Values, 1)
}

// A range on no blank has eight values, on a blank as many as it holds: of 100 mm less 1 mm
// at each edge, heads and 1 mm about the card, patches 8 mm apart.
func TestOpenRangesFillABlank(t *testing.T) {
	s := sized(t, "example-co2", "speed=100:450:ratios", "power=20:90:ratios")
	c := grids(t, s)[0]
	require.Len(t, c.Spec.Columns.Values, 8)
	require.Len(t, c.Spec.Rows.Values, 8)
	s.Blank = pt(100, 80)
	c = grids(t, s)[0]
	heads := 0.0 // of rows: 20 times 4.5 to the power of sevenths, and the ends again
	for _, text := range []string{"1  20", "2  24.8", "3  30.7", "4  38.1", "5  47.2", "6  58.6", "7  72.6", "8  90",
		"9  20", "10  90"} {
		heads = max(heads, ink(t, text, 1.8))
	}
	n := int((98 - 2 - heads - 1.2 + 2) / 8)
	require.Len(t, c.Spec.Columns.Values, n)
	require.LessOrEqual(t, c.Size.X, 98.0)
	require.Greater(t, c.Size.X, 98-8.0)
	require.LessOrEqual(t, c.Size.Y, 78.0)
	require.Greater(t, c.Size.Y, 78-8.0)
	s.MarginMM = 11 // 20 mm less each way
	less := grids(t, s)[0]
	require.InDelta(t, c.Size.X-20, less.Size.X, 8)
	require.Less(t, less.Size.X, c.Size.X-12)
	// The field of a galvo and the bed of a gantry bound a card without a blank.
	require.Equal(t, pt(600, 400), roomOf(Spec{Machine: found(t, "example-co2")}))
	require.Equal(t, pt(175, 175), roomOf(Spec{Machine: found(t, "example-fibre")}))
	require.Equal(t, pt(76, 66), roomOf(Spec{Blank: pt(80, 70), MarginMM: 2}))
	open := grid{}
	require.Equal(t, 8, open.open(9))
	require.Equal(t, 7, open.open(7))
	open.Blank = pt(900, 900)
	require.Equal(t, 99, open.open(99))
	require.Equal(t, 100, open.open(101))
}

// Patches beyond one card go on more: five columns and three rows, three and two on each.
func TestMoreCardsThanOne(t *testing.T) {
	s := sized(t, "example-co2", "speed=100:300:5", "power=20,40,60")
	one := grids(t, s)[0]
	s.Blank = pt(one.Size.X+2-2*8, 0)
	s.Blank.Y = 200
	wide := grids(t, s)
	require.Len(t, wide, 2)
	s.Blank.Y = wide[0].Size.Y + 2 - 1
	cards := grids(t, s)
	require.Len(t, cards, 4)
	var names []string
	for i, c := range cards {
		require.Equal(t, [2]int{i + 1, 4}, [2]int{c.Number, c.Of})
		var here []string
		for _, p := range c.Patches {
			here = append(here, p.Name)
		}
		names = append(names, strings.Join(here, " "))
	}
	require.Equal(t, []string{"A1 B1 C1 A2 B2 C2", "D1 E1 D2 E2", "A3 B3 C3", "D3 E3"}, names)
	require.Len(t, labelled(cards[1], "D"), 1)
	require.Len(t, labelled(cards[1], "250"), 1)
	require.Empty(t, labelled(cards[1], "A"))
	require.Len(t, labelled(cards[2], "3  60"), 1)
	require.InDelta(t, cards[0].Size.Y-8, cards[2].Size.Y, 1e-9)
	require.Equal(t, []int{1, 1, 2, 2}, []int{count(1, 2), count(2, 2), count(3, 2), count(4, 2)})
}

// Heads are as small as the widest value of a column asks for, beside patches of 3 mm a
// third of that, and 0.9 mm at the least.
func TestHeadsOfSmallPatches(t *testing.T) {
	s := sized(t, "example-co2", "speed=100,200", "power=20,40")
	s.PatchMM = 3
	c := grids(t, s)[0]
	require.InDelta(t, 1, labelled(c, "A")[0].HighMM, 1e-9)
	s = sized(t, "example-co2", "spacing=0.125mm,0.25mm", "power=20,40")
	s.GapMM = -0.5 // 5.5 mm from patch to patch
	c = grids(t, s)[0]
	require.InDelta(t, 1.8*4.7/ink(t, "0.125", 1.8), labelled(c, "A")[0].HighMM, 1e-9)
	s.PatchMM, s.GapMM = 3, 0
	require.InDelta(t, 0.9, labelled(grids(t, s)[0], "A")[0].HighMM, 1e-9)
}

// What has no room, and what are too many.
func TestCardsThatHaveNoRoom(t *testing.T) {
	s := sized(t, "example-co2", "speed=100,200", "power=20,40")
	s.Blank = pt(14, 60)
	_, err := Grid(s)
	require.EqualError(t, err, "a card of 12 x 58 mm has no room for a patch of 6 mm with its labels")
	s.Blank = pt(60, 20)
	_, err = Grid(s)
	require.EqualError(t, err, "a card of 58 x 18 mm has no room for a patch of 6 mm with its labels")
	s = sized(t, "example-co2", "speed=100:200:50", "power=20:80:50")
	s.PatchMM, s.GapMM = 2, 1
	n := 0
	for _, c := range grids(t, s) {
		n += len(c.Patches)
	}
	require.Equal(t, 2500, n)
	s.Columns = axis(t, "speed=100:200:51")
	_, err = Grid(s)
	require.EqualError(t, err, "2,550 patches: use 2,500 at most")
	g := grid{room: pt(50, 40)}
	require.NoError(t, g.holds(pt(50, 40), ""))
	require.EqualError(t, g.holds(pt(50.1, 40), ""), "the card takes 50.1 x 40 mm, and there are 50 x 40 mm")
	require.Error(t, g.holds(pt(50, 40.1), ""))
}

// Columns and rows of which the machine can mark nothing are left out, and single patches
// too; where nothing is left there is no card.
func TestWhatAMachineCannotMark(t *testing.T) {
	c := grids(t, sized(t, "example-co2", "speed=400,500,501,600", "power=20,0.01,40"))[0]
	require.Equal(t, []Left{
		{"column of 501 mm/s", "speed 501 mm/s is above the axes' most along the rows, 500 mm/s"},
		{"column of 600 mm/s", "speed 600 mm/s is above the axes' most along the rows, 500 mm/s"},
		{"row of 0.01 %", "power 0.01 % rounds to none in the file"},
	}, c.Out)
	require.Len(t, c.Patches, 4)
	values(t, []float64{400, 500}, c.Spec.Columns)
	values(t, []float64{20, 40}, c.Spec.Rows)

	c = grids(t, sized(t, "example-co2", "speed=250,400", "angle=0,90"))[0] // 300 mm/s along Y
	require.Equal(t, []Left{{"B2", "speed 400 mm/s is above the axes' most along the rows, 300 mm/s"}}, c.Out)
	require.Len(t, c.Patches, 3)
	require.Len(t, labelled(c, "B"), 1)
	require.Equal(t, []string{"B2: speed 400 mm/s is above the axes' most along the rows, 300 mm/s"},
		LeftOut([]Made{{Card: c}}))

	_, err := Grid(sized(t, "example-co2", "speed=700,800", "power=20,40"))
	require.EqualError(t, err, "the machine can mark none of the patches: column of 700 mm/s: "+
		"speed 700 mm/s is above the axes' most along the rows, 500 mm/s")
	_, err = Grid(sized(t, "example-co2", "speed=100,200", "power=0.01,0.02"))
	require.ErrorContains(t, err, "can mark none of the patches")
}

// A cross-hatch runs along the second axis too; a galvo's source has its frequencies.
func TestWhyAPatchIsUnfit(t *testing.T) {
	co2, fibre := found(t, "example-co2"), found(t, "example-fibre")
	cross := number(90)
	for _, tt := range []struct {
		fill job.Fill
		want string
	}{
		{plain(300, 100, 1), ""}, {plain(300, 100.5, 1), "more than 100 % power"},
		{job.Fill{Speed: number(400), Power: number(20), Cross: cross},
			"speed 400 mm/s is above the axes' most along the rows, 300 mm/s"},
		{job.Fill{Speed: number(300), Power: number(20), Cross: cross}, ""},
		{job.Fill{Speed: number(400), Power: number(20), Angle: &value.Angles{0, 90}},
			"speed 400 mm/s is above the axes' most along the rows, 300 mm/s"},
	} {
		p := Patch{Fill: tt.fill}
		require.Equal(t, tt.want, unfit(co2.Profile, p, settingOf(tt.fill, co2)))
	}
	f := plain(100, 20, 1)
	f.Frequency = &value.Frequency{Hz: 50_000}
	require.Empty(t, unfit(fibre.Profile, Patch{Fill: f}, settingOf(f, fibre)))
	f.Frequency.Hz = 20_000
	require.Contains(t, unfit(fibre.Profile, Patch{Fill: f}, settingOf(f, fibre)), "frequency 20 kHz is outside")
	f.Frequency.Hz, f.Speed = 50_000, number(0.1)
	require.Equal(t, "the file holds no such setting", unfit(fibre.Profile, Patch{Fill: f}, settingOf(f, fibre)))
}

// Fills are told as the machine's file has them: S words of 0 to 1000 hold tenths of a
// percent, a list hundredths, and whole mm/s.
func TestFillsAsFiled(t *testing.T) {
	co2, fibre := found(t, "example-co2"), found(t, "example-fibre")
	got := asFiled(plain(100, 33.333, 1), co2)
	require.InDelta(t, 33.3, float64(*got.Power), 1e-9)
	require.InDelta(t, 100, float64(*got.Speed), 0)
	require.Nil(t, got.Pulse)
	f := plain(100.4, 33.333, 1)
	f.Frequency = &value.Frequency{Hz: 50_000.4}
	got = asFiled(f, fibre)
	require.Equal(t, []float64{100, 33.33, 50_000, 100}, []float64{float64(*got.Speed), float64(*got.Power),
		got.Frequency.Hz,
		float64(*got.Pulse)})
	f = plain(100, 33, 1)
	got = asFiled(f, co2)
	require.Same(t, f.Speed, got.Speed)
	require.Same(t, f.Power, got.Power)
}

// Cells may have a fill of their own; a patch of a height knows which one it is.
func TestPatchesOfACard(t *testing.T) {
	g := grid{Spec: sized(t, "example-co2", "speed=100,200", "focus=-1,0,1")}
	for r := range 3 {
		p := g.patch(1, r)
		require.Equal(t, r+1, p.stop)
		require.InDelta(t, float64(r-1), float64(*p.Fill.FocusOffset), 0)
	}
	g.cell = func(f job.Fill, column, row float64) job.Fill { return plain(column+row, 1, 1) }
	require.InDelta(t, 201, float64(*g.patch(1, 2).Fill.Speed), 0)
	require.Nil(t, g.patch(1, 2).Fill.FocusOffset)
	require.Len(t, g.patch(1, 2).Values, 2)
}
