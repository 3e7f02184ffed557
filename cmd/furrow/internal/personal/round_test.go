package personal_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/personal"
	"furrow/path"
)

// outermost is how far the corners of the rectangle round a text's ink lie from a circle's
// middle, by Pythagoras.
func outermost(p personal.Part, middle path.Point) (mm float64) {
	all := p.Drawing.Art.Shapes
	r := path.Artwork{Shapes: all[:len(all)-1]}.Bounds() // but the spot behind it
	for _, c := range []path.Point{r.Min, r.Max, {X: r.Min.X, Y: r.Max.Y}, {X: r.Max.X, Y: r.Min.Y}} {
		mm = max(mm, c.Dist(middle))
	}
	return mm
}

// A text on a round blank of 40 mm, with a margin of 1 mm, is as large as it can be with all of
// its letters inside the circle of 19 mm: at every height, for letters that reach up and down or
// do not, from its middle, its left or its right end. A word's ink begins a little inside its
// width, so that it may be up to a twentieth short of the edge.
func TestTextKeepsInsideADisc(t *testing.T) {
	smaller := 0
	for _, anchor := range []string{"middle", "start", "end"} {
		for _, y := range []float64{7, 12, 20, 28, 34} {
			x := map[string]float64{"middle": 20, "start": 12, "end": 28}[anchor]
			art := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">
<text id="name" x="%g" y="%g" font-size="6" text-anchor="%s" font-family="DejaVu Sans">Acer</text>
<rect id="last" x="19" y="19" width="2" height="2"/></svg>`, x, y, anchor)
			in := input(t, art, `margin = "1mm"
[blank]
width = "40mm"
height = "40mm"
shape = "round"
[[text]]
pick = "#name"
value = "{species}"
shrink = 5
`)
			setter, err := personal.New(in)
			require.NoError(t, err)
			for _, words := range []string{"Quercus robur", "HHHHHHHHHHHHHH", "nnn", "ygq ygq ygq ygq ygq"} {
				p, wrong := setter.Set(data.Part{Values: map[string]string{"species": words}})
				require.Empty(t, wrong, "%s at %g, %s", words, y, anchor)
				far := outermost(p, path.Point{X: 20, Y: 20})
				require.LessOrEqual(t, far, 19+1e-6, "%s at %g, %s", words, y, anchor)
				if p.Texts[0].Size < 1 {
					require.Greater(t, far, 19*0.95, "%s at %g, %s: %g", words, y, anchor, p.Texts[0].Size)
					smaller++
				}
			}
		}
	}
	require.Greater(t, smaller, 30)
}

// Two lines have the room of the chords at the top of the upper and the foot of the lower one.
func TestTwoLinesKeepInsideADisc(t *testing.T) {
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">
<text id="name" x="20" y="12" font-size="6" text-anchor="middle" font-family="DejaVu Sans">Acer</text>
<rect id="last" x="19" y="19" width="2" height="2"/></svg>`
	in := input(t, art, `[blank]
width = "40mm"
height = "40mm"
shape = "round"
[[text]]
pick = "#name"
value = "{species}"
shrink = 30
lines = 2
`)
	setter, err := personal.New(in)
	require.NoError(t, err)
	p, wrong := setter.Set(data.Part{Values: map[string]string{"species": "Cercidiphyllum japonicum"}})
	require.Empty(t, wrong)
	require.Len(t, p.Texts[0].Lines, 2)
	far := outermost(p, path.Point{X: 20, Y: 20})
	require.LessOrEqual(t, far, 20+1e-6)
	require.Greater(t, far, 19.0)
}

// What the page would cut off is refused: a room of 50 mm on a page of 40 mm, and letters that
// reach down past a page that ends with them.
func TestTextsThatThePageWouldCutOff(t *testing.T) {
	set := func(y float64, room, words string) []*personal.PlaceError {
		art := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20">
<text id="name" x="20" y="%g" font-size="5" text-anchor="middle" font-family="DejaVu Sans">Acer</text></svg>`, y)
		in := input(t, art, `[blank]
width = "80mm"
height = "50mm"
[[text]]
pick = "#name"
value = "{species}"
shrink = 10
`+room)
		setter, err := personal.New(in)
		require.NoError(t, err)
		p, wrong := setter.Set(data.Part{Values: map[string]string{"species": words}})
		if len(wrong) == 0 && len(words) > 20 {
			require.InDelta(t, 40, p.Texts[0].WidthMM, 1e-9, "the page is the room")
		}
		return wrong
	}
	require.Empty(t, set(12, "", "Quercus robur fastigiata superba"))
	wrong := set(12, "room = \"60mm\"\n", "Quercus robur fastigiata superba")
	require.Len(t, wrong, 1)
	require.Regexp(t, `^#name: "Quercus robur fastigiata superba" reaches past the page of the artwork, or a clip, `+
		`which would cut it off: 9\.\d\d mm left, 9\.\d\d mm right$`, wrong[0].Error())
	require.Empty(t, set(19.9, "", "Acer"))
	require.ErrorContains(t, set(19.9, "", "Argyle")[0], "mm below")
}

// Names with a room of their own that leave the blank are told of all parts at once. Letters H
// of DejaVu Sans are 1540 of 2048 parts of the size wide and 1493 high, with 201 free at either end
// (the font's own tables): eleven of 6 mm have 48.454 mm of ink, whose upper corners lie
// √(24.227² + 4.374²) = 24.619 mm from the middle of a disc of 40 mm. A bleed of 8 mm allows them.
func TestNamesPastADiscAreToldAtOnce(t *testing.T) {
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 80 40">
<text id="name" x="40" y="20" font-size="6" text-anchor="middle" font-family="DejaVu Sans">Acer</text></svg>`
	const job = `[blank]
width = "40mm"
height = "40mm"
shape = "round"
[data]
file = "tags.csv"
[[text]]
pick = "#name"
value = "{species}"
room = "70mm"
`
	rows := "species\nHHHHHHHHHHH\nHHH\nHHHHHHHHHHHH\n"
	_, _, problems, err := personal.Prepare(input(t, art, job), []byte(rows))
	require.Error(t, err)
	require.Len(t, problems.List, 2)
	require.Regexp(t, `^#name: "HHHHHHHHHHH" reaches past the blank by 4\.6[12] mm$`, problems.List[0].What)
	require.Equal(t, []int{1, 3}, []int{problems.List[0].Part, problems.List[1].Part})
	bleeds := strings.Replace(job, "shape", "bleed = \"8mm\"\nshape", 1)
	_, _, _, err = personal.Prepare(input(t, art, bleeds), []byte(rows))
	require.NoError(t, err)
}

// A trimmed page cuts nothing off: names longer than the one in the artwork have the room of the
// blank, as far as the artwork's own page goes. Where the artwork cuts its own words off a name may
// be cut too.
func TestTrimmedPagesCutNothingOff(t *testing.T) {
	const job = `trim = true
[blank]
width = "50mm"
height = "40mm"
[[text]]
pick = "#name"
value = "{species}"
`
	for art, room := range map[string]float64{
		`<text id="name" x="40" y="20" font-size="5" text-anchor="middle" font-family="DejaVu Sans">Acer</text>`:  50,
		`<text id="name" x="40" y="40.5" font-size="5" text-anchor="middle" font-family="DejaVu Sans">gap</text>`: 50,
	} {
		const page = `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 80 40">`
		setter, err := personal.New(input(t, page+art+`</svg>`, job))
		require.NoError(t, err)
		p, wrong := setter.Set(data.Part{Values: map[string]string{"species": "Tilia cordata gap"}})
		require.Empty(t, wrong)
		require.InDelta(t, room, p.Texts[0].RoomMM, 0.2, "its ink is not quite in the middle")
		require.Equal(t, 1.0, p.Texts[0].Size)
	}
}
