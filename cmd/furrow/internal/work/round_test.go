package work_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

// fitted reads artwork on a page of 50 x 50 mm that is to fit a round blank.
func fitted(t *testing.T, shapes, artwork, blank string) work.Input {
	t.Helper()
	j, err := job.Parse("tag.toml", []byte("furrow = 1\nmachine = \"example-co2\"\n[artwork]\nfile = \"tag.svg\"\n"+
		"fit = true\n"+artwork+"\n[blank]\nshape = \"round\"\n"+blank+
		"[fill]\nspacing = \"0.2mm\"\nspeed_mm_s = 100\npower_percent = 20\n"))
	require.NoError(t, err)
	resolved, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	svg := `<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50">` + shapes + `</svg>`
	d, err := work.Read(strings.NewReader(svg), resolved)
	require.NoError(t, err)
	return work.NewInput(resolved, d)
}

// Artwork that is to fit a round blank of 80 mm, from a page of 50: 1.6 times as large where
// that is a disc or its corners are empty; a square of 40 mm in its middle, whose corners are
// √2·20 mm out, 40/(√2·20) = √2 times, and with a margin of 5 mm 35/(√2·20). A white square, what
// a round clip leaves out and what lies off the page do not count, a thin line does. A square of 20
// mm in one corner of the page, whose own is 25·√2 mm out, is the same whichever way it is turned.
func TestFitOnADisc(t *testing.T) {
	const eighty = "width = \"80mm\"\nheight = \"80mm\"\n"
	for _, tt := range []struct {
		shapes, artwork, blank string
		scale                  float64
	}{
		{`<circle cx="25" cy="25" r="25"/>`, "", eighty, 1.6},
		{`<rect x="20" y="20" width="10" height="10"/>`, "", eighty, 1.6},
		{`<rect x="5" y="5" width="40" height="40"/>`, "", eighty, math.Sqrt2},
		{`<rect x="5" y="5" width="40" height="40"/>`, "margin = \"5mm\"", eighty, 35 / (math.Sqrt2 * 20)},
		{`<rect x="5" y="5" width="40" height="40"/>`, "rotate = 45", eighty, 80 / (50 * math.Sqrt2)},
		{`<rect width="50" height="50" fill="white"/><circle cx="25" cy="25" r="5"/>`, "", eighty, 1.6},
		{`<clipPath id="c"><circle cx="25" cy="25" r="24"/></clipPath><rect width="50" height="50" clip-path="url(#c)"/>`,
			"", eighty, 1.6},
		{`<rect x="-50" y="20" width="150" height="10"/>`, "", eighty, 40 / math.Hypot(25, 5)},
		{`<circle cx="25" cy="25" r="5"/><path d="M25 25L48 48" stroke="#000" stroke-width="0.001"/>`, "", eighty,
			40 / (23 * math.Sqrt2)},
		// Level lines between the rows that are looked at, wherever those lie, and a white one.
		{`<circle cx="25" cy="25" r="24"/><path d="M25 45H48M25 44.997H48M25 44.994H48M25 44.991H48" stroke="#000" ` +
			`stroke-width="0.0005"/>`, "", eighty, 40 / math.Hypot(23, 20)},
		{`<circle cx="25" cy="25" r="5"/><path d="M25 45H48" stroke="#fff" stroke-width="0.0005"/>`, "", eighty, 1.6},
		{`<rect width="20" height="20"/>`, "", eighty, 40 / (25 * math.Sqrt2)},
		{`<rect width="20" height="20"/>`, "rotate = 90", eighty, 40 / (25 * math.Sqrt2)},
		{`<rect width="20" height="20"/>`, "mirror = \"x\"", eighty, 40 / (25 * math.Sqrt2)},
		// An oval of 100 x 60 mm: the corners of the page, at 25·s, 25·s, are on it where
		// (25s/50)² + (25s/30)² = 1.
		{`<rect width="50" height="50"/>`, "", "width = \"100mm\"\nheight = \"60mm\"\n",
			1 / math.Hypot(0.5, 2.5/3)},
	} {
		in := fitted(t, tt.shapes, tt.artwork, tt.blank)
		s, err := work.Fill(in)
		require.NoError(t, err)
		m, err := in.Placing()
		require.NoError(t, err)
		require.InDelta(t, tt.scale, math.Sqrt(math.Abs(m.Det())), 1e-3*tt.scale, "%s %s", tt.shapes, tt.artwork)
		half := in.Job.Blank.Size().Mul(0.5)
		margin := 0.0
		if in.Job.Artwork.Margin != nil {
			margin = float64(*in.Job.Artwork.Margin)
		}
		for _, p := range s.Program.Points {
			d := p.Sub(half)
			require.LessOrEqual(t, math.Hypot(d.X/(half.X-margin), d.Y/(half.Y-margin)), 1+0.05/half.Y, "%v", tt)
		}
	}
}

// Words that differ from part to part do not decide how large artwork becomes, and a code's
// rectangle does: its corner at 45,5 of the page is √2·20 mm out.
func TestFitOnADiscWithWords(t *testing.T) {
	art := `<circle cx="25" cy="25" r="5"/><text id="name" x="2" y="48" font-size="4">%s</text>` +
		`<rect id="code" x="35" y="5" width="10" height="14" fill="none"/>`
	const blank = "width = \"80mm\"\nheight = \"80mm\"\n"
	const text = "[[text]]\npick = \"#name\"\nvalue = \"x\"\n"
	const code = "[[code]]\npick = \"#code\"\nkind = \"qr\"\nvalue = \"7\"\n"
	for more, want := range map[string]float64{text: 1.6, text + code: math.Sqrt2} {
		in := fitted(t, fmt.Sprintf(art, "xxxxxxxxxxxxxxxxxxxx"), "", blank+more)
		m, err := in.Placing()
		require.NoError(t, err)
		require.InDelta(t, want, math.Sqrt(m.Det()), 1e-9)
		in.Drawing.Art.Shapes = append(in.Drawing.Art.Shapes, path.Shape{}) // as a part has others
		again, err := in.Placing()
		require.NoError(t, err)
		require.Equal(t, m, again)
	}
}
