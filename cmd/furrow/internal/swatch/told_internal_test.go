package swatch

import (
	"bytes"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/raster/paper"
)

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
