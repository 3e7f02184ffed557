package work_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// messages of what reading an artwork tells.
func messages(all []work.Warning) string {
	var b strings.Builder
	for _, w := range all {
		fmt.Fprintln(&b, w)
	}
	return b.String()
}

// Shapes off the page or past its edge are told, but not those that touch it, are bare, or
// reach over by their stroke.
func TestShapesPastThePage(t *testing.T) {
	for shape, want := range map[string]string{
		`x="20.01" y="2" width="5" height="5"`: "lies off the page, and is not marked",
		`x="-5.01" y="2" width="5" height="5"`: "lies off the page",
		`x="2" y="20.01" width="5" height="5"`: "lies off the page",
		`x="2" y="-5.01" width="5" height="5"`: "lies off the page",
		`x="18" y="2" width="5" height="5"`: "reaches past the edge of the page, and is cut off there: 3.00 mm " +
			"right",
		`x="2" y="-1" width="5" height="5"`:  "reaches past the edge of the page, and is cut off there: 1.00 mm above",
		`x="0" y="0" width="20" height="20"`: "", `x="30" y="2" width="5" height="5" fill="#fff"`: "",
		`x="1" y="1" width="18" height="18" fill="none" stroke="#000" stroke-width="2.1"`:  "",
		`x="-3" y="1" width="18" height="18" fill="none" stroke="#000" stroke-width="0.5"`: "reaches past",
	} {
		art := `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><rect x="4" ` +
			`y="4" width="12" height="12"/><rect id="r" ` + shape + `/></svg>`
		found := messages(input(t, art, "example-co2", nil).Drawing.Warnings)
		if want == "" {
			require.NotContains(t, found, "page", shape)
		} else {
			require.Contains(t, found, "art.svg: line 1: <rect#r>: "+want, shape)
		}
	}
}

// A group that picks nothing of its own is told; what picks nothing at all is refused.
func TestGroupsThatPickNothing(t *testing.T) {
	const art = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect id="a" class="b" x="4" y="4" width="12" height="12"/></svg>`
	in := input(t, art, "example-co2", func(j *job.Job) { j.Groups = []job.Group{{Pick: "#a"}, {Pick: ".b"}} })
	found := messages(in.Drawing.Warnings)
	require.Contains(t, found, "group 1 (#a) marks nothing: what it picks is left out, or picked again by a later "+
		"group")
	require.NotContains(t, found, "group 2")
	j := in.Job
	j.Groups = []job.Group{{Pick: "#c"}}
	r, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	_, err = work.Read(strings.NewReader(art), r)
	var unpicked *work.UnpickedError
	require.ErrorAs(t, err, &unpicked)
	require.EqualError(t, err, `"#c" picks nothing in art.svg`)
	require.Contains(t, unpicked.Near, "#a")
	r.Job.Groups, r.Job.Artwork.Fonts = nil, []string{"/nowhere"}
	_, err = work.Read(strings.NewReader(art), r)
	require.EqualError(t, err, `fonts: no folder "/nowhere"`)
	r.Job.Artwork.Fonts, r.NotTaken = []string{t.TempDir()}, "the speed is not taken"
	d, err := work.Read(strings.NewReader(art), r)
	require.NoError(t, err)
	require.Contains(t, messages(d.Warnings), "the speed is not taken")
	_, err = work.Read(strings.NewReader("<svg"), r)
	require.ErrorContains(t, err, "art.svg: ")
}

// Inverted artwork has the page for its first shape, and what differs from part to part
// behind it.
func TestInvertedArtwork(t *testing.T) {
	const art = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="4" y="4" width="12" height="12"/><rect id="code" x="5" y="5" width="8" height="8"/></svg>`
	var drawn path.Artwork
	places := func(invert bool) []path.Place {
		in := input(t, art, "example-co2", func(j *job.Job) {
			j.Codes = []job.Code{{Pick: "#code", Kind: "qr", Value: "x"}}
			j.Artwork.Invert = &invert
		})
		drawn = in.Drawing.Art
		return in.Drawing.Places
	}
	plain, inverted := places(false), places(true)
	require.Len(t, plain, 1)
	require.Equal(t, plain[0].First+1, inverted[0].First)
	require.Equal(t, plain[0].Last+1, inverted[0].Last)
	require.Equal(t, drawn.Page, drawn.Shapes[0].Path.Bounds())
	require.Equal(t, "code", drawn.Shapes[inverted[0].First].Source.ID)
}

// Artwork that is looked at lies at 0,0 in the size of the job, wherever it goes.
func TestLook(t *testing.T) {
	j := job.Job{Artwork: job.Artwork{File: "art.svg", Width: mm(40), At: &value.Point{X: 100, Y: 50}}}
	doc, err := work.Look(strings.NewReader(oblong), j)
	require.NoError(t, err)
	require.InDelta(t, 0, doc.Artwork.Page.Min.Len()+doc.Artwork.Page.Max.Dist(path.Point{X: 40, Y: 20}), 1e-9)
	require.InDelta(t, 2, work.Drawn(doc.Artwork, 0.96).Min.X, 1e-9)
	trim := true
	j.Artwork.Trim = &trim
	doc, err = work.Look(strings.NewReader(oblong), j)
	require.NoError(t, err)
	require.InDelta(t, 20, doc.Artwork.Page.Max.Y, 1e-9, "2 x 1 mm of ink become 40 x 20")
	require.InDelta(t, 40, work.Drawn(doc.Artwork, 0.96).W(), 1e-9)
	_, err = work.Look(strings.NewReader("<svg"), j)
	require.Error(t, err)
}

// A warning is told with its file, line, element and place.
func TestWarningsInWords(t *testing.T) {
	w := work.Warning{Message: "left out", File: "a.svg", Element: "use#x", Line: 7,
		AtMM: [4]float64{1, 2.25, 4, 12.25}}
	require.Equal(t, "a.svg: line 7: <use#x>: left out; 3.0 x 10.0 mm at 1.0, 2.2", w.String())
	require.Equal(t, "left out", work.Warning{Message: "left out"}.String())
	require.Equal(t, "rect", work.SourceName("rect", ""))
	require.Equal(t, "rect#a", work.SourceName("rect", "a"))
	all := work.DocumentWarnings("a.svg", path.Document{Warnings: []path.Warning{
		{Kind: path.MissingFont, Message: "no font", At: rect(1, 2, 4, 12), Line: 3, Element: "text"},
		{Kind: path.Effect, Message: "no blur"}}})
	require.Equal(t, []work.Warning{
		{Message: "no font: put the font in a folder and name that with --fonts", Kind: path.MissingFont, File: "a.svg",
			Line: 3, Element: "text",
			AtMM: [4]float64{1, 2, 4, 12}, AreaMM2: 30},
		{Message: "no blur", Kind: path.Effect, File: "a.svg"},
	}, all)
}

// What is left out of a file is told of its drawing, and how much of a shape that the page
// cuts off: 6 of 10 mm, 3 mm high.
func TestDrawingsTellWhatTheyLose(t *testing.T) {
	const art = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="4" y="4" width="12" height="12"/><image href="a.png" width="3" height="3"/>
<rect id="half" x="16" y="5" width="10" height="3"/></svg>`
	all := input(t, art, "example-co2", nil).Drawing.Warnings
	require.Len(t, all, 2)
	require.Equal(t, path.Picture, all[0].Kind)
	require.Equal(t, "rect#half", all[1].Element)
	require.InDelta(t, 18, all[1].AreaMM2, 1e-9)
	all = input(t, strings.Replace(square, ` width="20mm" height="20mm"`, "", 1), "example-co2", nil).Drawing.Warnings
	require.Len(t, all, 2)
	require.Contains(t, all[0].Message, "names no size: taken as 5.3 x 5.3 mm")
}

// What the beam puts out is counted where something is known of the blank's heat: 100 mm at
// 100 mm/s and 40 % of 40 W are 16 J.
func TestOutputForAKnownBlank(t *testing.T) {
	sum := func(change func(*job.Job)) (joules float64) {
		w, err := work.Make(input(t, square, "example-co2", change))
		require.NoError(t, err)
		for _, j := range w.Output {
			joules += j
		}
		return joules
	}
	require.Zero(t, sum(nil))
	require.InDelta(t, 16, sum(func(j *job.Job) { j.Blank.Material, j.Blank.Thickness = "acrylic", mm(3) }), 0.05)
}

// What is smaller than the file's grid leaves nothing to mark.
func TestMarksSmallerThanTheGrid(t *testing.T) {
	only := "only"
	tiny := strings.ReplaceAll(square, `"10"`, `"0.0004"`)
	_, err := work.Make(input(t, tiny, "example-co2", func(j *job.Job) { j.Fill.Outline = &only }))
	require.ErrorContains(t, err, "nothing to mark")
}

// What is drawn is what shows through its clip paths too.
func TestDrawnThroughClips(t *testing.T) {
	const art = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<clipPath id="c"><rect x="6" y="1" width="3" height="30"/></clipPath><rect x="4" y="4" width="12" height="12" ` +
		`clip-path="url(#c)"/></svg>`
	in := input(t, art, "example-co2", nil)
	drawn := work.Drawn(in.Drawing.Art, 0.96)
	require.InDelta(t, 0, drawn.Min.Dist(path.Point{X: 6, Y: 4})+drawn.Max.Dist(path.Point{X: 9, Y: 16}), 1e-9)
	require.True(t, work.Drawn(path.Artwork{}, 0.96).Empty())
}

// What the settings of a work are odd in is told of the work itself: rows far too close,
// far more than a recipe, and a controller that cannot be fed.
func TestWorkTellsItsWarnings(t *testing.T) {
	told := func(change func(*job.Job)) string {
		w, err := work.Make(input(t, square, "example-co2", change))
		require.NoError(t, err)
		return messages(w.Warnings)
	}
	require.NotContains(t, told(nil), "lines on each place")
	require.Contains(t, told(nil), "lines do not touch: they are 1 mm apart")
	require.Contains(t, told(func(j *job.Job) { j.Fill.Spacing = &value.Spacing{MM: 0.005} }),
		"put 30 lines on each place")
	require.Contains(t, told(func(j *job.Job) {
		j.Fill.Spacing, j.Blank.Material = &value.Spacing{MM: 0.02}, "birch plywood"
		slow := value.Number(5)
		j.Fill.Speed = &slow
	}), "of recipe example-co2-birch: check speed, power and spacing")
	const thin = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><rect ` +
		`x="4" y="4" width="12" height="9"/>
<rect id="narrow" x="4" y="15" width="12" height="0.5"/><path id="traced" d="M4 17H16" stroke="#000" ` +
		`stroke-width="0.05"/><rect id="pale" y="18" x="4" width="9" height="1.5" fill="#d8d8d8"/></svg>`
	w, err := work.Make(input(t, thin, "example-co2", nil))
	require.NoError(t, err)
	for id, text := range map[string]string{"rect#narrow": "narrower than the spacing",
		"path#traced": "traced once along the middle", "rect#pale": "pale paint will be marked"} {
		require.Regexp(t, "<"+id+">: .*"+text, messages(w.Warnings))
	}
	in := input(t, square, "example-co2", nil)
	c := *in.Machine.GCode
	c.LinkBytesPerS = 20
	in.Machine.GCode = &c
	w, err = work.Make(in)
	require.NoError(t, err)
	require.Contains(t, messages(w.Warnings), "the link limits this file to ")
	require.Contains(t, messages(w.Warnings), " marks, where the beam stays longer than asked for")
	// A margin of half a millimetre counts too.
	blank := func(j *job.Job) {
		j.Blank, j.Artwork.At, j.Artwork.Margin = job.Blank{Width: mm(15.2), Height: mm(30)}, &value.Point{}, mm(0.5)
	}
	require.Contains(t, told(blank), "marks reach past the margin of 0.5 mm")
}

// What has no height, or no width, is no page.
func TestFlatDrawingsAreNotTrimmed(t *testing.T) {
	yes := true
	for _, line := range []path.Point{{X: 5}, {Y: 5}} {
		var p path.Path
		p.MoveTo(path.Point{X: 1, Y: 1})
		p.LineTo(path.Point{X: 1, Y: 1}.Add(line))
		art := path.Artwork{Page: rect(0, 0, 20, 10), Shapes: []path.Shape{{Path: p, Paint: path.Paint{Opacity: 1}}}}
		require.Equal(t, art.Page, work.Trimmed(job.Artwork{Trim: &yes}, art).Page)
	}
}
