package personal_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

const tag = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm" viewBox="0 0 60 90">
<circle cx="30" cy="8" r="2.5"/>
<text id="name" x="30" y="40" font-size="6" text-anchor="middle" font-family="none of these">species</text>
<text id="number" x="10" y="80" font-size="5" font-family="none of these">0000</text>
<rect id="code" x="38" y="66" width="16" height="16" fill="none"/>
<rect id="last" x="5" y="86" width="9" height="2"/>
</svg>`

// input resolves a job with rows 0.05 mm apart and marks as wide, and reads tag.
func input(t *testing.T, art, more string) work.Input {
	t.Helper()
	j, err := job.Parse("tag.toml", []byte("furrow = 1\n[artwork]\nfile = \"tag.svg\"\n"+more))
	require.NoError(t, err)
	var asked job.Request
	asked.Machine = "example-fibre"
	spacing, width := value.Spacing{MM: 0.05}, value.Length(0.05)
	speed, power, frequency := value.Number(1000), value.Number(50), value.Frequency{Hz: 50000}
	asked.Fill.Spacing, asked.Fill.MarkWidth = &spacing, &width
	asked.Fill.Speed, asked.Fill.Power, asked.Fill.Frequency = &speed, &power, &frequency
	none := "none"
	asked.Effort = &none
	resolved, err := job.Resolve(j, asked, false)
	require.NoError(t, err)
	drawing, err := work.Read(strings.NewReader(art), resolved)
	require.NoError(t, err)
	return work.NewInput(resolved, drawing)
}

func prepare(t *testing.T, in work.Input, rows string) (*personal.Setter, []data.Part) {
	t.Helper()
	setter, parts, _, err := personal.Prepare(in, []byte(rows))
	require.NoError(t, err)
	return setter, parts
}

const order = `width = "30mm"
margin = "1mm"
[blank]
width = "40mm"
height = "45mm"
[data]
file = "tags.csv"
[[text]]
pick = "#name"
value = "{species}"
shrink = 50
[[text]]
pick = "#number"
value = "No. {number}"
font = "single-line"
room = "12mm"
[[code]]
pick = "#code"
kind = "qr"
value = "{number} {species}"
`

const rows = "species,number\nTilia × europaea,0417\nAcer,0418\nCercidiphyllum,0419\n"

// TestPartsHaveTheirOwn sets parts of artwork at half its size in the middle of a
// galvo's blank: the name has 15 mm to either side of its middle, to the edges of the
// page, and the rest of the artwork stays as it is and where it is.
func TestPartsHaveTheirOwn(t *testing.T) {
	in := input(t, tag, order)
	setter, parts := prepare(t, in, rows)
	require.Len(t, parts, 3)
	seen := map[string]bool{}
	for i, p := range parts {
		part, wrong := setter.Set(p)
		require.Empty(t, wrong)
		require.Len(t, part.Texts, 2)
		assert.InDelta(t, 30, part.Texts[0].RoomMM, 1e-9)
		assert.InDelta(t, 3*part.Texts[0].Size, part.Texts[0].SizeMM, 1e-9)
		assert.Equal(t, fmt.Sprintf("No. 04%d", 17+i), part.Texts[1].Words)
		shapes := part.Drawing.Art.Shapes
		assert.Equal(t, in.Drawing.Art.Shapes[0], shapes[0], "the hole")
		assert.Equal(t, "last", shapes[len(shapes)-1].Source.ID)
		made := in
		made.Drawing = part.Drawing
		s, err := work.Fill(made)
		require.NoError(t, err)
		assert.NoError(t, part.ReadBack(s))
		key := fmt.Sprint(s.Program.Points)
		assert.False(t, seen[key])
		seen[key] = true
	}
	assert.Equal(t, 4, len(in.Drawing.Art.Shapes), "the artwork itself is as it was")
}

// TestCodesReadHoweverTheArtworkLies turns, mirrors and scales the page, and turns
// the rectangle in it.
func TestCodesReadHoweverTheArtworkLies(t *testing.T) {
	turned := strings.Replace(tag, `id="code"`, `id="code" transform="rotate(15 46 74)"`, 1)
	for _, art := range []string{tag, turned} {
		for _, lies := range []string{"", "rotate = 90\n", "rotate = 33\n", "mirror = \"x\"\n",
			"mirror = \"y\"\nrotate = 10\n"} {
			for _, tone := range job.ToneWords {
				in := input(t, art, lies+order+"tone = \""+tone+"\"\n")
				setter, parts := prepare(t, in, rows)
				part, wrong := setter.Set(parts[0])
				require.Empty(t, wrong)
				in.Drawing = part.Drawing
				s, err := work.Fill(in)
				require.NoError(t, err)
				require.Len(t, part.Codes, 1)
				assert.NoError(t, part.ReadBack(s), lies)
				insideItsFrame(t, part, *in.Drawing.Places[len(in.Drawing.Places)-1].Frame)
				assert.NoError(t, part.ReadBack(s.Moved(path.Translate(3, 4))), "moved onto a bed")
			}
		}
	}
}

// insideItsFrame holds the shapes of a code, which has modules as wide as high, against the
// rectangle that it stands in.
func insideItsFrame(t *testing.T, part personal.Part, frame path.Frame) {
	t.Helper()
	back, ok := frame.Matrix.Inverse()
	require.True(t, ok)
	all := path.EmptyRect()
	for _, s := range part.Drawing.Art.Shapes {
		if s.Source.ID == "code" {
			all = all.Union(s.Path.Transform(back).Bounds())
		}
	}
	require.False(t, all.Empty())
	require.True(t, all.Min.X > -1e-6 && all.Min.Y > -1e-6 && all.Max.X < frame.W+1e-6 && all.Max.Y < frame.H+1e-6,
		"%v in %v", all, frame)
}

// A code that something else is marked over is not written.
func TestCoveredCodeIsTold(t *testing.T) {
	in := input(t, strings.Replace(tag, `</svg>`, `<rect x="40" y="68" width="6" height="6"/></svg>`, 1), order)
	setter, parts := prepare(t, in, rows)
	part, wrong := setter.Set(parts[0])
	require.Empty(t, wrong)
	in.Drawing = part.Drawing
	s, err := work.Fill(in)
	require.NoError(t, err)
	assert.ErrorContains(t, part.ReadBack(s), "#code: qr of \"0417 Tilia × europaea\"")
}

// Everything that is wrong with an order of 500 is told in one run.
func TestAllProblemsInOneRun(t *testing.T) {
	var csv strings.Builder
	csv.WriteString("species,number\n")
	for i := range 500 {
		name, number := "Acer campestre", 417+i
		switch i + 2 { // the row of the file
		case 317:
			name = "Metasequoia glyptostroboides, of Hubei and its neighbours"
		case 12:
			name = "銀杏"
		case 9:
			number = 418
		case 40:
			name = ""
		}
		fmt.Fprintf(&csv, "\"%s\",%04d\n", name, number)
	}
	in := input(t, tag, strings.Replace(order, `file = "tags.csv"`, "file = \"tags.csv\"\nunique = [\"number\"]", 1))
	_, _, problems, err := personal.Prepare(in, []byte(csv.String()))
	require.Error(t, err)
	told := strings.Split(problems.Error(), "\n")
	require.Len(t, told, 4)
	assert.Equal(t, `tags.csv: row 9, column "number": "0418" is in row 3 already, and must be unique`, told[0])
	assert.Contains(t, told[1], `tags.csv: row 12: part 11, #name: the font lacks '銀' (U+9280), '杏' (U+674F) of "銀杏"`)
	assert.Contains(t, told[2], `tags.csv: row 40, column "species": the cell is empty`)
	assert.Contains(t, told[3], `row 317: part 316, #name: "Metasequoia glyptostroboides, of Hubei and its `+
		`neighbours" needs`)
	assert.ErrorIs(t, err, problems)
}

func TestPlacesMustBeWhatTheJobSays(t *testing.T) {
	const text, qr = "[[text]]\nvalue = \"x\"\npick = ", "[[code]]\nkind = \"qr\"\nvalue = \"x\"\npick = "
	for more, want := range map[string]string{
		text + `"#code"`: `tag.svg, line 5: "#code" picks <rect#code>, where it must pick a text element`,
		qr + `"#name"`:   `"#name" picks <text#name>, where it must pick a rectangle`,
		text + `"text"` + "\n" + text + `"#name"`: `"#name" picks <text#name>, which another text`,
	} {
		_, err := personal.New(input(t, tag, more))
		assert.ErrorContains(t, err, want, more)
	}
}

// The room of a text is measured along its line, from its anchor to the edges.
func TestRoomByDefault(t *testing.T) {
	for text, want := range map[string]float64{
		`x="10" y="80"`:                               50,
		`x="10" y="80" text-anchor="end"`:             10,
		`x="10" y="80" text-anchor="middle"`:          20,
		`x="45" y="80" text-anchor="middle"`:          30,
		`transform="rotate(-90 10 80)" x="10" y="80"`: 80,
	} {
		art := `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm" viewBox="0 0 60 90">` +
			`<text id="t" font-size="4" ` + text + `/></svg>`
		setter, parts := prepare(t, input(t, art, "[[text]]\npick = \"#t\"\nvalue = \"I\"\n"), "")
		part, wrong := setter.Set(parts[0])
		require.Empty(t, wrong)
		assert.InDelta(t, want, part.Texts[0].RoomMM, 1e-9, text)
	}
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm"><text id="t" x="-9" y="80" ` +
		`font-size="4"/></svg>`
	setter, err := personal.New(input(t, art, "[[text]]\npick = \"#t\"\nvalue = \"I\"\n"))
	require.NoError(t, err)
	_, wrong := setter.Set(data.Part{})
	require.Len(t, wrong, 1)
	assert.ErrorContains(t, wrong[0], "#t: its place is off the page or the blank")
}

// Two lines lie 1.2 sizes apart, about where the one was.
func TestTwoLines(t *testing.T) {
	in := input(t, tag, "[[text]]\npick = \"#number\"\nvalue = \"Tilia Tilia\"\n"+
		"font = \"single-line\"\nlines = 2\nroom = \"15mm\"\n")
	setter, parts := prepare(t, in, "")
	part, wrong := setter.Set(parts[0])
	require.Empty(t, wrong)
	require.Equal(t, []string{"Tilia", "Tilia"}, part.Texts[0].Lines)
	var lines []path.Rect
	for _, s := range part.Drawing.Art.Shapes {
		if s.Source.ID == "number" {
			lines = append(lines, s.Path.Bounds())
		}
	}
	require.Len(t, lines, 2)
	assert.InDelta(t, 6, lines[0].Min.Y-lines[1].Min.Y, 1e-9)
	assert.InDelta(t, 10+3, lines[0].Min.Y, 1e-9)
	assert.InDelta(t, 10, lines[0].Min.X, 1e-9)
}

// BenchmarkSet sets a name, a number and a code.
func BenchmarkSet(b *testing.B) {
	t := &testing.T{}
	in := input(t, tag, order)
	setter, parts := prepare(t, in, rows)
	for b.Loop() {
		if _, wrong := setter.Set(parts[0]); len(wrong) > 0 {
			b.Fatal(wrong[0])
		}
	}
}

// Words that run into a frame, or into a code, are told once for all parts, with a room that
// keeps them clear of it when it is taken. The artwork's own words show what is meant: on a
// dark plate they are no warning, nor are pale letters on it.
func TestTextOverOtherArtwork(t *testing.T) {
	const head, foot = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">`,
		`</svg>`
	const frame = `<rect x="10" y="5" width="40" height="30" fill="none" stroke="#000" stroke-width=".5"/>`
	name := func(anchor, fill string) string {
		x := map[string]string{"start": "12", "middle": "30"}[anchor]
		return `<text id="name" x="` + x + `" y="22" font-size="5" text-anchor="` + anchor + `" fill="` + fill +
			`" font-family="none of these">oak</text>`
	}
	const code = `<rect id="code" x="40" y="17" width="12" height="12" fill="none"/>`
	const text = "[[text]]\npick = \"#name\"\nvalue = \"{species}\"\n"
	const coded = text + "[[code]]\npick = \"#code\"\nkind = \"data-matrix\"\nvalue = \"7\"\n"
	const rows = "species\nash\nred horse chestnut\nsweet chestnut tree\n"
	told := func(art, more string) (all []string) {
		_, _, problems, err := personal.Prepare(input(t, head+art+foot,
			"[data]\nfile = \"tags.csv\"\n"+more), []byte(rows))
		require.NoError(t, err)
		for _, p := range problems.List {
			require.True(t, p.Warning)
			all = append(all, p.String())
		}
		return all
	}
	for what, tt := range map[string]struct{ art, more string }{
		"frame": {frame + name("middle", "#000"), text}, "from the left": {frame + name("start", "#000"), text},
		"code": {code + name("start", "#000"), coded},
	} {
		got := told(tt.art, tt.more)
		require.Len(t, got, 1, what)
		require.Contains(t, got[0], `row 3: part 2, #name: "red horse chestnut" runs over other artwork, the first `+
			`of 2 such parts; room = "`, what)
		hint := got[0][strings.Index(got[0], "room = "):strings.Index(got[0], " keeps")]
		shorter := strings.Replace(tt.more, "\"{species}\"\n", "\"{species}\"\nshrink = 20\n"+hint+"\n", 1)
		require.Empty(t, told(tt.art, shorter), "%s: %s", what, hint)
	}
	for what, art := range map[string]string{
		"nothing beside": name("middle", "#000"), "dark plate": `<rect width="60" height="40" fill="#333"/>` +
			name("middle", "#000"),
		"pale letters": frame + name("middle", "#fff"), "pale frame": `<g opacity=".01">` + frame + `</g>` +
			name("middle", "#000"),
	} {
		require.Empty(t, told(art, text), what)
	}
}

// What is set lies in the groups and clips of what it takes the place of.
func TestWhatIsSetLiesAsBefore(t *testing.T) {
	art := strings.Replace(tag, `<text id="name"`,
		`<clipPath id="c"><rect x="22" width="17" height="76"/></clipPath><g opacity="0.9" clip-path="url(#c)">`+
			`<text id="name"`, 1)
	art = strings.Replace(art, `<rect id="last"`, `</g><rect id="last"`, 1)
	in := input(t, art, order)
	setter, parts := prepare(t, in, rows)
	part, wrong := setter.Set(parts[0])
	require.Empty(t, wrong)
	found := 0
	for _, p := range in.Drawing.Places {
		require.NotNil(t, p.In)
		require.NotEmpty(t, p.Clips)
		for _, s := range part.Drawing.Art.Shapes {
			if s.Source == p.Source {
				require.Same(t, p.In, s.In)
				require.NotEmpty(t, s.Clips, "%v", p.Source)
				found++
			}
		}
	}
	require.GreaterOrEqual(t, found, 3)
}

// Where the blank is not known the room of a text goes to the edges of its page: 30 mm, from
// its middle.
func TestRoomOnThePage(t *testing.T) {
	setter, parts := prepare(t, input(t, tag,
		"width = \"30mm\"\n[data]\nfile = \"tags.csv\"\n"+
			"[[text]]\npick = \"#name\"\nvalue = \"{species}\"\nshrink = 30\n"), "species\nAcer\n")
	part, wrong := setter.Set(parts[0])
	require.Empty(t, wrong)
	assert.InDelta(t, 30, part.Texts[0].RoomMM, 1e-9)
}
