package better

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// drawing is the input of elements on a page of 60 x 60 mm, on a gantry that is as quick
// along X as along Y.
func drawing(t *testing.T, elements string, change func(*job.Job)) work.Input {
	t.Helper()
	speed, power, effort := value.Number(100), value.Number(40), "quick"
	j := job.Job{Furrow: 1, Machine: "example-diode", Effort: &effort, Artwork: job.Artwork{File: "art.svg"},
		Fill: job.Fill{Spacing: &value.Spacing{MM: 0.2}, Speed: &speed, Power: &power}}
	if change != nil {
		change(&j)
	}
	r, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	d, err := work.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" `+
		`viewBox="0 0 60 60">`+elements+`</svg>`), r)
	require.NoError(t, err)
	return work.NewInput(r, d)
}

// bar is 50 x 3 mm about the middle of the page, turned counter-clockwise.
func bar(id string, degrees float64) string {
	return fmt.Sprintf(`<rect id="%s" x="5" y="28.5" width="50" height="3" transform="rotate(%g 30 30)"/>`,
		id, -degrees)
}

// Rows along a bar are the fewest, whichever way it lies: found to the degree, past 0 too.
func TestBestAngleOfABar(t *testing.T) {
	free := func(j *job.Job) { j.Fill.Angle = &value.Angles{} }
	for _, degrees := range []float64{0, 37, 93, 144, 178} {
		in, err := Angles(drawing(t, bar("a", degrees), free))
		require.NoError(t, err)
		require.Equal(t, []float64{degrees}, in.Groups[0].Angles)
	}
}

// Rows of a square are as quick along it as across, and lie along it.
func TestBestAngleOfASquare(t *testing.T) {
	in, err := Angles(drawing(t, `<rect x="20" y="20" width="20" height="20"/>`, func(j *job.Job) {
		j.Fill.Angle = &value.Angles{}
	}))
	require.NoError(t, err)
	require.Equal(t, []float64{0}, in.Groups[0].Angles)
	require.Equal(t, []float64{0, 90}, []float64{quarter(false), quarter(true)})
}

// A group that leaves its angle open gets its own best; one that has an angle keeps it.
func TestBestAngleOfAGroup(t *testing.T) {
	in := drawing(t, bar("a", 60)+bar("b", 120), func(j *job.Job) {
		j.Fill.Angle = &value.Angles{10}
		j.Groups = []job.Group{{Pick: "#b", Fill: job.Fill{Angle: &value.Angles{}}}}
	})
	out, err := Angles(in)
	require.NoError(t, err)
	require.Equal(t, []float64{10}, out.Groups[0].Angles)
	require.Equal(t, []float64{120}, out.Groups[1].Angles)
	require.Empty(t, in.Groups[1].Angles, "what was given stays")
	in.Machine = nil
	_, err = Angles(in)
	require.EqualError(t, err, "the best angle depends on the machine")
	in.Groups = out.Groups
	_, err = Angles(in)
	require.NoError(t, err, "nothing is left open")
}

// Further parts of an order have the angles of the first one, though another would be quicker
// for them; one that is given stays.
func TestAnglesAreSettledOnce(t *testing.T) {
	free := func(j *job.Job) { j.Fill.Angle = &value.Angles{} }
	var c Cooling
	first, err := c.Settle(drawing(t, bar("a", 0), free))
	require.NoError(t, err)
	require.Equal(t, []float64{0}, first.Groups[0].Angles)
	second, err := c.Settle(drawing(t, bar("a", 60), free))
	require.NoError(t, err)
	require.Equal(t, []float64{0}, second.Groups[0].Angles)
	given, err := c.Settle(drawing(t, bar("a", 60), func(j *job.Job) { j.Fill.Angle = &value.Angles{33} }))
	require.NoError(t, err)
	require.Equal(t, []float64{33}, given.Groups[0].Angles)
}

// Turned angles, and none, which stand for 0.
func TestTurnedAngles(t *testing.T) {
	given := []float64{10, 100}
	require.Equal(t, []float64{55, 145}, turned(given, 45))
	require.Equal(t, []float64{10, 100}, given)
	require.Equal(t, []float64{45}, turned(nil, 45))
	var b done
	b.Groups = drawing(t, bar("a", 0), func(j *job.Job) { j.Fill.Angle = &value.Angles{100} }).Groups
	require.Equal(t, "10 degrees", b.turnedAngles())
	b.Groups[0].Angles = []float64{30}
	require.Equal(t, "120 degrees", b.turnedAngles())
	require.Equal(t, []float64{30}, b.Groups[0].Angles)
}

// A bar along X in rows along it: they are turned by the part and back by the rows, or by
// one of the two. On a gantry alike both ways rows along the bar take as long wherever it
// lies, and rows across it far longer.
func TestRotations(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 0), nil))
	require.NoError(t, err)
	b := done{w}
	all, err := b.rotations()
	require.NoError(t, err)
	require.Len(t, all, 3)
	now, err := b.rows().seconds(none, 0)
	require.NoError(t, err)
	// The rows turn with the part.
	require.Equal(t, rotation{words: "turning the part and its rows by 90 degrees saves", rows: true, part: true,
		seconds: all[0].seconds}, all[0])
	require.InEpsilon(t, now, all[0].seconds, 1e-6)
	for _, r := range all[1:] {
		require.NotEqual(t, r.rows, r.part)
		require.Greater(t, r.seconds, 3*now)
	}
	require.Contains(t, []string{all[1].words, all[2].words}, "rows at 90 degrees save")
	require.Contains(t, []string{all[1].words, all[2].words}, "turning the part alone by 90 degrees saves")
}

// Rows across a bar are advised to run along it, and what is said to be saved is what the
// clock says of the work so.
func TestAdviceOfADirection(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 90), nil))
	require.NoError(t, err)
	s, err := done{w}.adviseDirection()
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(s.words, "rows at 90 degrees save "), s.words)
	in := w.Input
	in.Groups[0].Angles = []float64{90}
	along, err := work.Make(in)
	require.NoError(t, err)
	require.Equal(t, w.Clock.Total()-along.Clock.Total(), s.saves)
	s, err = done{along}.adviseDirection()
	require.NoError(t, err)
	require.Zero(t, s)
}

// Groups by the time of their rows, the longest first, and no more than the clock says of
// all; those without shapes are left out.
func TestThinGroups(t *testing.T) {
	thin := func(id string, y, length float64) string {
		var all string
		for i := range int(length) {
			all += fmt.Sprintf(`<rect x="%g" y="%g" width="0.4" height="3"/>`, 5+float64(i), y)
		}
		return `<g id="` + id + `">` + all + `</g>`
	}
	w, err := work.Make(drawing(t, thin("a", 5, 4)+thin("b", 20, 40), func(j *job.Job) {
		j.Groups = []job.Group{{Pick: "#a"}, {Pick: "#b"}}
	}))
	require.NoError(t, err)
	b := done{w}
	all, err := b.rows().each()
	require.NoError(t, err)
	require.Len(t, all, 2)
	require.Equal(t, []int{1, 2}, []int{all[0].group, all[1].group})
	// 15 or 16 rows of 4 and of 40 pieces of 0.4 mm.
	require.InDelta(t, 15.5*4*0.4, all[0].mm, 0.9)
	require.InDelta(t, 15.5*40*0.4, all[1].mm, 9)
	found, err := b.thinGroups()
	require.NoError(t, err)
	require.Len(t, found, 2)
	require.Equal(t, 2, found[0].group, "the longest first")
	require.LessOrEqual(t, found[0].seconds+found[1].seconds, b.Clock.Total().Seconds()*(1+1e-9))
	for spans, want := range map[int]int{mostContourSpans: 2, mostContourSpans + 1: 0} {
		b := done{w}
		b.Hatched.Spans = spans
		found, err = b.thinGroups()
		require.NoError(t, err)
		require.Len(t, found, want, spans)
	}
	b.Clock.Mark, b.Clock.Turn, b.Clock.Travel, b.Clock.Overtravel, b.Clock.Corner = 0, 0, 0, 0, 0
	require.NotZero(t, all[0].seconds)
	groups := b.Groups
	for what, change := range map[string]func(*hatch.Group){
		"a cross-hatch": func(g *hatch.Group) { g.Cross = 90 }, "contours": func(g *hatch.Group) { g.Contours = true },
		"two directions": func(g *hatch.Group) { g.Angles = []float64{0, 90} },
	} {
		b := done{w}
		b.Groups = slices.Clone(groups)
		change(&b.Groups[1])
		found, err = b.thinGroups()
		require.NoError(t, err)
		require.Len(t, found, 1, what)
		require.Equal(t, 2, found[0].group, what)
	}
}
