package swatch

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
	"furrow/path"
)

// Thirty-one teeth of 0.3 mm from -10 to 20: 1 mm apart and up in rows there, 1.05 mm apart
// and down in rows back, 5 mm high at 0, 4.2 at each fifth, and else 3.4. What lies round
// them is 2.5 mm at the sides, 3.2 above and 2.6 below.
func TestCombs(t *testing.T) {
	c := card(t, "reversal", Request{Machine: "example-co2", Fill: plain(300, 45, 0.1)})[0]
	values(t, []float64{75, 150, 300}, c.Spec.Rows)
	require.Len(t, c.Patches, 6)
	require.True(t, strings.HasPrefix(c.Labels[0].Text, "example-co2"))
	lines := float64(len(c.Labels)-3*5) * 3.4 // of the title
	require.InDelta(t, 42, c.Size.X, 1e-9)
	require.InDelta(t, 2+lines+3*17.3, c.Size.Y, 1e-9)
	for k := range 3 {
		foot := pt(1+36.5/2-5.25, c.Size.Y-1-lines-(float64(k)+0.5)*17.3-0.3)
		for half, sign := range []float64{1, -1} {
			p := c.Patches[2*k+half]
			require.Equal(t, []string{"A1 there", "A1 back", "A2 there", "A2 back", "A3 there",
				"A3 back"}[2*k+half], p.Name)
			require.Len(t, p.Shapes, 31)
			pitch, all := []float64{1, 1.05}[half], path.EmptyRect()
			for i, s := range p.Shapes {
				n := i - 10
				high := 3.4
				if n%5 == 0 {
					high = 4.2
				}
				if n == 0 {
					high = 5
				}
				b := s.Path.Bounds()
				near(t, foot.Add(pt(float64(n)*pitch, sign*high/2)), b.Centre())
				require.InDelta(t, 0.3, b.W(), 1e-9)
				require.InDelta(t, high, b.H(), 1e-9)
				all = all.Union(b)
			}
			near(t, all.Min, p.Box.Min)
			near(t, all.Max, p.Box.Max)
			require.True(t, *p.Fill.OneWay)
			require.Equal(t, value.Angles{float64(180 * half)}, *p.Fill.Angle)
			require.InDelta(t, []float64{75, 150, 300}[k], float64(*p.Fill.Speed), 0)
			require.InDelta(t, []float64{11.3, 22.5, 45}[k], float64(*p.Fill.Power), 1e-9)
			require.Equal(t, []string{"teeth 1 mm apart", "teeth 1.05 mm apart"}[half], p.Shows)
			require.Zero(t, p.Profile.Gantry.BeamOnLatencyUS, "marked without any correction")
		}
		for i, text := range []string{"-0.5", "0", "0.5", "1"} {
			l := labelled(c, text)[k]
			near(t, foot.Add(pt(float64(10*i-10)*1.05, -5-0.6-0.65)), l.At)
			require.Equal(t, []float64{1.3, 0.5, 0}, []float64{l.HighMM, l.Anchor, l.Turn})
		}
		l := labelled(c, []string{"A1  75 mm/s  11.3 %", "A2  150 mm/s  22.5 %", "A3  300 mm/s  45 %"}[k])[0]
		near(t, foot.Add(pt(-10, 6.8)), l.At)
		require.Equal(t, 1.6, l.HighMM)
	}
}

// A comb that is turned stands beside the other, its labels along it; its card is as high
// as it is long. As it is set, it has the machine's own profile.
func TestTurnedCombs(t *testing.T) {
	r := Request{Machine: "example-co2", Fill: plain(300, 45, 0.1), Columns: axis(t, "angle=0,90"),
		Rows:   axis(t, "speed=200"),
		StepMM: mm(0.1), AsSet: true}
	c := card(t, "reversal", r)[0]
	// With a step of 0.1: from -13.5 to 24.5.
	near(t, pt(-13.5, -7.6), combBox(0, 0.1).Min)
	near(t, pt(24.5, 8.2), combBox(0, 0.1).Max)
	near(t, pt(-8.2, -13.5), combBox(90, 0.1).Min)
	require.InDelta(t, 2+38+1.5+15.8+1.5, c.Size.X, 1e-9)
	lines := float64(len(c.Labels)-10) * 3.4
	require.InDelta(t, 2+lines+38+1.5, c.Size.Y, 1e-9)
	require.Len(t, c.Patches, 4)
	for _, p := range c.Patches {
		require.Nil(t, p.Profile)
	}
	foot := c.Patches[2].Shapes[10].Path.Bounds() // its tooth points to the left
	near(t, pt(1+38+1.5+8.2-2.5, 1+39.5/2-5.5), foot.Centre())
	require.Equal(t, value.Angles{270}, *c.Patches[3].Fill.Angle)
	for _, l := range labelled(c, "2") {
		require.Contains(t, []float64{0, 90}, l.Turn)
	}
	near(t, pt(1+38+1.5+8.2+5+0.6+0.65, foot.Centre().Y+20*1.1), labelled(c, "2")[1].At)

	r.Rows = axis(t, "speed=400,200") // 300 mm/s along Y
	c = card(t, "reversal", r)[0]
	require.Equal(t, []Left{{"B1", "speed 400 mm/s is above the axes' most along the rows, 300 mm/s"}}, c.Out)
	require.Len(t, c.Patches, 6)
	r.Rows = axis(t, "speed=600")
	refused(t, "reversal", "can mark none of the patches: A1: speed 600", r)
	refused(t, "reversal", "rows marked backwards are measured on a gantry", Request{Around: "example-fibre-steel"})
	refused(t, "reversal", "--columns: the card for reversal varies angle there", Request{Machine: "example-co2",
		Columns: axis(t, "speed=1,2"), Fill: plain(300, 45, 0.1)})
	refused(t, "reversal", "the card takes", Request{Machine: "example-co2", Fill: plain(300, 45, 0.1),
		Blank: &value.Point{X: 60, Y: 40}})
}

// A shop's own speeds: what is asked for, else the recipe's, else half of the most.
// The box of a turned comb holds its corners, 13 mm to the left of its foot and 23.5 to the
// right, 8.2 above and 7.6 below, each turned by hand: by 30 degrees x and y come to
// (r·x - y/2, x/2 + r·y) with r the root of 3/4.
func TestBoxOfATurnedComb(t *testing.T) {
	r := math.Sqrt(0.75)
	box := combBox(30, 0.05)
	near(t, pt(-13*r-8.2/2, -13.0/2-7.6*r), box.Min)
	near(t, pt(23.5*r+7.6/2, 23.5/2+8.2*r), box.Max)
	box = combBox(-30, 0.05)
	near(t, pt(-13*r-7.6/2, -23.5/2-7.6*r), box.Min)
	near(t, pt(23.5*r+8.2/2, 13.0/2+8.2*r), box.Max)
}

// Every card has its number among those that belong together, and holds all that is on it,
// a good half of a millimetre from its edge.
func TestCardsHoldWhatIsOnThem(t *testing.T) {
	for _, c := range Calibrations() {
		machine := map[bool]string{true: "example-fibre", false: "example-co2"}[c.Word == "delays"]
		f := plain(100, 50, 0.2)
		if machine == "example-fibre" {
			f = withPulses(f)
		}
		cards := card(t, c.Word, Request{Machine: machine, Fill: f})
		for i, one := range cards {
			require.Equal(t, [2]int{i + 1, len(cards)}, [2]int{one.Number, one.Of}, c.Word)
			all := path.EmptyRect()
			for _, p := range one.Patches {
				all = all.Union(p.Box)
			}
			for _, l := range one.Labels {
				s, err := l.shape()
				require.NoError(t, err)
				all = all.Union(s.Centre.Bounds())
			}
			for _, l := range one.Lines {
				all = all.Union(path.BoundsOf(l))
			}
			room := path.Rect{Max: one.Size}.Grow(-0.6) // letters reach a little below and above their capitals
			require.Equal(t, room, room.Union(all), "%s: %v of %v", c.Word, all, one.Size)
		}
	}
}

func TestSpeedsOfCombs(t *testing.T) {
	m := found(t, "example-co2")
	require.Equal(t, []float64{62.5, 125, 250}, speedsOf(Request{})(m).Values)
	require.Equal(t, []float64{75, 150, 300}, speedsOf(Request{Recipe: "example-co2-birch"})(m).Values)
	require.Equal(t, []float64{20, 40, 80}, speedsOf(Request{Recipe: "example-co2-birch",
		Fill: plain(80, 1, 1)})(m).Values)
}

// A ramp of 100 mm has ticks of 1.5 mm at each 5 mm and of 3 mm at each 25, lettered with
// the height: of 10 mm from end to end.
func TestRamp(t *testing.T) {
	c := card(t, "ramp", Request{Machine: "example-co2", Fill: plain(100, 20, 0.1)})[0]
	require.True(t, strings.HasPrefix(c.Labels[0].Text, "example-co2"))
	lines := len(c.Labels) - 5
	near(t, pt(108, float64(lines)*3.4+11), c.Size)
	require.Len(t, c.Patches, 1)
	near(t, pt(4, 6.75), c.Patches[0].Box.Min)
	near(t, pt(104, 7.25), c.Patches[0].Box.Max)
	require.Equal(t, "A1", c.Patches[0].Name)
	require.Equal(t, 1.0, c.Patches[0].Fill.Spacing.MM)
	require.Len(t, c.Lines, 21)
	for i, l := range c.Lines {
		high := 1.5
		if i%5 == 0 {
			high = 3
		}
		near(t, pt(4+5*float64(i), 6.2), l[0])
		near(t, l[0].Sub(pt(0, high)), l[1])
	}
	for i, text := range []string{"-5", "-2.5", "0", "2.5", "5"} {
		l := labelled(c, text)[0]
		near(t, pt(4+25*float64(i), 6.2-4.4), l.At)
		require.Equal(t, []float64{1.6, 0.5}, []float64{l.HighMM, l.Anchor})
	}
	c = card(t, "ramp", Request{Machine: "example-co2", Fill: plain(100, 20, 0.1), RiseMM: mm(4),
		Blank: &value.Point{X: 60, Y: 60}})[0]
	require.InDelta(t, 58, c.Size.X, 1e-9)
	require.Len(t, labelled(c, "-2"), 1)
	require.InDelta(t, 50, c.Patches[0].Box.W(), 1e-9)
	refused(t, "ramp", "the card takes 28 x", Request{Machine: "example-co2", Fill: plain(100, 20, 0.1),
		Blank: &value.Point{X: 29, Y: 60}})
	refused(t, "ramp", "a ramp varies nothing but the height", Request{Machine: "example-co2",
		Fill: plain(100, 20, 0.1), Rows: axis(t, "speed=1,2")})
	refused(t, "ramp", "a ramp varies nothing but the height", Request{Machine: "example-co2",
		Fill: plain(100, 20, 0.1), Columns: axis(t, "speed=1,2")})
	_, err := Spec{Machine: found(t, "example-co2"), Fill: plain(600, 20, 1)}.ramp(1)
	require.ErrorContains(t, err, "can mark none of the patches: the line: speed 600")
}

// What each delay's pattern is, in a cell of 8 mm.
func TestPatternsOfDelays(t *testing.T) {
	ends := func(all []Polyline) (out [][4]float64) {
		for _, l := range all {
			require.Len(t, l, 2)
			out = append(out, [4]float64{l[0].X, l[0].Y, l[1].X, l[1].Y})
		}
		return out
	}
	rows := [][4]float64{{1, 1, 7, 1}, {1, 2, 7, 2}, {1, 3, 7, 3}, {1, 4, 7, 4}, {1, 5, 7, 5},
		{1, 6, 7, 6}, {1, 7, 7, 7}}
	require.Equal(t, append([][4]float64{{1, 0.5, 1, 7.5}}, rows...), ends(startsAtUpright()))
	require.Equal(t, append([][4]float64{{7, 0.5, 7, 7.5}}, rows...), ends(endsAtUpright()))
	for i := 1; i < len(rows); i += 2 {
		rows[i][0], rows[i][2] = 7, 1
	}
	require.Equal(t, rows, ends(thereAndBack()))
	wave := squareWave()
	require.Len(t, wave, 1)
	var want Polyline
	for i := range 8 {
		x := 0.5 + float64(i)
		if i%2 == 0 {
			want = append(want, pt(x, 1), pt(x, 7))
		} else {
			want = append(want, pt(x, 7), pt(x, 1))
		}
	}
	require.Equal(t, want, wave[0])
	var sides, close [][4]float64
	for j := range 7 {
		y := 0.5 + float64(j)
		sides = append(sides, [4]float64{1, y, 1, y + 0.7}, [4]float64{7, y, 7, y + 0.7})
		for i := range 13 {
			close = append(close, [4]float64{1 + 0.5*float64(i), y, 1 + 0.5*float64(i), y + 0.7})
		}
	}
	require.Equal(t, sides, ends(fromSideToSide()))
	require.Equal(t, close, ends(closeStrokes()))
}

// Each row steps one delay from an eighth to the whole of twice what the profile has, of
// the corner up to 100 us, and of the mark from the 22 us that the gate needs to close.
func TestStepsOfDelays(t *testing.T) {
	m := found(t, "example-fibre")
	want := map[string][]float64{
		"laser on": {22, 45, 67, 89, 111, 134, 156, 178}, "laser off": {28, 56, 83, 111, 139, 167, 194, 222},
		"mark": {50, 78, 106, 134, 162, 190, 218, 246}, "corner": {13, 25, 38, 50, 63, 75, 88, 100},
		"short jump": {17, 34, 50, 67, 84, 101, 117, 134}, "jump": {59, 117, 176, 234, 293, 351, 410, 468},
	}
	c := card(t, "delays", Request{Machine: m.ID, Fill: withPulses(plain(1000, 50, 0.1))})[0]
	require.Len(t, c.Patches, 48)
	wide := ink(t, "shortest, no hook", 1.2)
	for _, d := range delays {
		wide = max(wide, ink(t, d.hint, 1.2))
	}
	require.InDelta(t, 2+wide+1.2+80, c.Size.X, 1e-9)
	require.True(t, strings.HasPrefix(c.Labels[0].Text, "example-fibre"))
	lines := float64(len(c.Labels)-6*2-48) * 3.4
	require.InDelta(t, 2+lines+6*13.06, c.Size.Y, 1e-9)
	for k, d := range delays {
		at := pt(1+wide, c.Size.Y-1-lines-13.06*float64(k+1)+2)
		name := labelled(c, d.name)[0]
		near(t, at.Add(pt(0, 5.2)), name.At)
		require.Equal(t, []float64{1.8, 1}, []float64{name.HighMM, name.Anchor})
		for i, us := range want[d.name] {
			p := c.Patches[8*k+i]
			require.InDelta(t, us, *d.of(p.Profile.Galvo), 0, d.name)
			cell := at.Add(pt(1.2+10*float64(i), 0))
			near(t, cell, p.Box.Min)
			near(t, cell.Add(pt(8, 8)), p.Box.Max)
			near(t, d.pattern()[0][0].Add(cell), p.Strokes[0][0])
			require.Len(t, p.Strokes, len(d.pattern()))
			require.Equal(t, "only", *p.Fill.Outline)
			require.Equal(t, Name(i, k), p.Name)
		}
	}
	var values []Label
	for _, text := range []string{"13", "410"} {
		values = append(values, labelled(c, text)[0])
	}
	near(t, c.Patches[24].Box.Min.Add(pt(4, 9.2)), values[0].At)
	near(t, c.Patches[46].Box.Min.Add(pt(4, 9.2)), values[1].At)
	require.Equal(t, []float64{1.8, 0.5}, []float64{values[0].HighMM, values[0].Anchor})
	var hints []Label
	for _, l := range c.Labels {
		if l.HighMM == 1.2 {
			hints = append(hints, l)
		}
	}
	require.Len(t, hints, 6)
	near(t, pt(1+wide, c.Size.Y-1-lines-13.06+2+2.4), hints[0].At)
	require.Equal(t, 1.0, hints[0].Anchor)
	require.Equal(t, "jump_delay_us=59", c.Patches[40].Shows)

	require.Equal(t, 123.0, c.Patches[8].Profile.Galvo.MarkDelayUS)  // off after 28 us
	require.Equal(t, 133.0, c.Patches[15].Profile.Galvo.MarkDelayUS) // off after 222 us, on after 89
	c.delay("X", delays[5], 30, pt(0, 0))
	g := c.Patches[48].Profile.Galvo
	require.Equal(t, []float64{30, 30}, []float64{g.JumpDelayUS, g.ShortJumpDelayUS})
	c.delay("X", delays[4], 300, pt(0, 0))
	g = c.Patches[49].Profile.Galvo
	require.Equal(t, []float64{300, 300}, []float64{g.JumpDelayUS, g.ShortJumpDelayUS})
	require.Equal(t, 234.0, m.Galvo.JumpDelayUS, "the machine's own stay")
	wait := machine.Profile{Galvo: &machine.Galvo{LaserOffDelayUS: 100, LaserOnDelayUS: 140, MarkDelayUS: 10}}
	require.Equal(t, 13.0, delays[2].steps(wait)[0])
}

// A galvo whose delays follow from a lag steps round the numbers that it comes to.
func TestDelaysOfALag(t *testing.T) {
	m := found(t, "example-fibre")
	g := *m.Galvo
	g.TrackingLagUS = 150
	m.Galvo = &g
	s := Spec{Machine: m, Fill: withPulses(plain(1000, 50, 0.1))}
	want, p := m.Scanner(settingOf(s.Fill, m)), s.explicit()
	require.Zero(t, p.Galvo.TrackingLagUS)
	require.Equal(t, 150.0, m.Galvo.TrackingLagUS)
	require.Equal(t, want, p.Scanner(settingOf(s.Fill, m)))
	require.NotEqual(t, want, found(t, "example-fibre").Scanner(settingOf(s.Fill, m)))
}

func TestWhereDelaysAreNotMeasured(t *testing.T) {
	r := Request{Machine: "example-co2", Fill: plain(100, 20, 0.1)}
	refused(t, "delays", "delays are measured on a galvo", r)
	r.Machine, r.Fill = "example-fibre", withPulses(r.Fill)
	r.Rows = axis(t, "speed=1,2")
	refused(t, "delays", "steps all six of them", r)
	r.Rows, r.Columns = Axis{}, axis(t, "speed=1,2")
	refused(t, "delays", "steps all six of them", r)
	r.Columns, r.Blank = Axis{}, &value.Point{X: 50, Y: 200}
	refused(t, "delays", "the card takes", r)
	r.Blank, r.Fill.Speed = nil, number(9000)
	require.NoError(t, r.Letters.Set("speed=800"))
	refused(t, "delays", "can mark none of the patches: the lines: speed 9000 mm/s is above the scanner's most", r)
}
