package inspect_test

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"furrow/path"
	"furrow/path/inspect"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two squares joined by a bridge of 0.1 mm, and two others 0.1 mm apart.
func TestThin(t *testing.T) {
	r := look(t, `<path d="M2 2h6v3.95h4V2h6v8h-6V6.05H8V10H2z"/><path d="M2 12h6v6H2zM8.1 12h6v6h-6z"/>`,
		inspect.Options{MarkWidth: 0.2})
	require.Len(t, r.Bridges.Thin, 1)
	bridge := r.Bridges.Thin[0]
	assert.InDelta(t, 0.1, bridge.Width, 1e-6)
	assert.InDelta(t, 4, bridge.Length, 1e-6)
	assert.InDelta(t, 10, bridge.At.X, 1e-6)
	assert.InDelta(t, 14, bridge.At.Y, 1e-6)
	assert.Equal(t, &bridge, r.Bridges.Least)
	require.Len(t, r.Gaps.Thin, 1)
	gap := r.Gaps.Thin[0]
	assert.InDelta(t, 0.1, gap.Width, 1e-6)
	assert.InDelta(t, 8.05, gap.At.X, 1e-6)
	assert.InDelta(t, 5, gap.At.Y, 1e-6)
}

// The narrowest place is told when it is wider than the mark too. The widths
// follow from the drawing.
func TestLeast(t *testing.T) {
	for name, tc := range map[string]struct {
		inner       string
		bridge, gap float64 // 0 for none
		x, y        float64 // of the bridge; from the upper left
	}{
		"square":  {`<path d="M5 5h8v8H5z"/>`, 8, 0, 9, 9},
		"oblong":  {`<path d="M2 5h16v3H2z"/>`, 3, 0, 10, 6.5},
		"disc":    {`<circle cx="10" cy="10" r="4"/>`, 8, 0, 10, 10},
		"ellipse": {`<ellipse cx="10" cy="10" rx="8" ry="1.5"/>`, 3, 0, 10, 10},
		"ring": {`<circle cx="10" cy="10" r="6" fill="none" stroke="black" stroke-width=".5"/>`,
			0.5, 11.5, 0, 0},
		"hourglass":      {`<path d="M4 4h12L10.2 10 16 16H4L9.8 10z"/>`, 0.4, 0, 10, 10},
		"two discs":      {`<circle cx="6" cy="10" r="2.8"/><circle cx="14" cy="10" r="4.7"/>`, 5.6, 0.5, 6, 10},
		"turned":         {`<path transform="rotate(33 10 10)" d="M2 9.9h16v.2H2z"/>`, 0.2, 0, 10, 10},
		"hole near edge": {`<path fill-rule="evenodd" d="M2 2h16v16H2zM5 2.3h10v9H5z"/>`, 0.3, 9, 10, 2.15},
		"comb":           {`<path d="M2 2h10v2H2zM2 4h2v5H2zM4.6 4h2v5h-2z"/>`, 2, 0.6, 0, 0},
		"white on black": {`<path d="M2 2h16v16H2z"/><path fill="#fff" d="M9.7 4h.6v11h-.6z"/>`, 2, 0.6, 10, 3},
		"covered":        {`<path d="M2 2h.1v9h-.1z"/><path fill="#100" d="M1 1h9v12H1z"/>`, 9, 0, 5.5, 7},
		"short bridge":   {`<path d="M2 2h5v2.45h.05V2H12v5H7.05V4.55H7V7H2z"/>`, 0.1, 0.05, 7.025, 4.5},
		"curved hairline": {`<path d="M2 10C2 2 18 2 18 10" fill="none" stroke="black" stroke-width=".07"/>`,
			0.07, 0, 0, 0},
		"dot": {`<circle cx="10" cy="10" r=".04"/>`, 0.08, 0, 10, 10},
	} {
		r := look(t, tc.inner, inspect.Options{MarkWidth: 0.02})
		if tc.bridge > 0 {
			require.NotNil(t, r.Bridges.Least, name)
			// 2 µm as strokes are flattened
			assert.InDelta(t, tc.bridge, r.Bridges.Least.Width, max(2e-3, tc.bridge/200), name)
		}
		if tc.x > 0 {
			assert.InDelta(t, tc.x, r.Bridges.Least.At.X, tc.bridge/4, name)
			assert.InDelta(t, tc.y, 20-r.Bridges.Least.At.Y, tc.bridge/4, name)
		}
		if tc.gap == 0 {
			assert.Nil(t, r.Gaps.Least, name)
		} else if assert.NotNil(t, r.Gaps.Least, name) {
			assert.InDelta(t, tc.gap, r.Gaps.Least.Width, tc.gap/200, name)
		}
		assert.Empty(t, r.Bridges.Thin, name)
		assert.Empty(t, r.Gaps.Thin, name)
	}
}

// A corner is no thin place, however sharp, round at its tip or not, nor is the
// notch between two shapes.
func TestSharpCorners(t *testing.T) {
	for deg := 3.0; deg < 90; deg *= 1.3 {
		h := 16 * math.Tan(deg/2*math.Pi/180)
		r := look(t, fmt.Sprintf(`<path d="M2 10L18 %gV%gz"/>`, 10-h, 10+h), inspect.Options{MarkWidth: 0.2})
		assert.Empty(t, r.Bridges.Thin, deg)
		r = look(t, fmt.Sprintf(`<path stroke="black" stroke-width=".03" stroke-linejoin="round" d="M2 10L18 %gV%gz"/>`,
			10-h, 10+h), inspect.Options{MarkWidth: 0.2})
		assert.Empty(t, r.Bridges.Thin, deg)
		r = look(t, fmt.Sprintf(`<path d="M1 1h18v18H1V10.001L17 %gV%gL1 9.999z"/>`, 10+h/2, 10-h/2),
			inspect.Options{MarkWidth: 0.2})
		assert.Empty(t, r.Gaps.Thin, deg)
	}
	r := look(t, `<path d="M10 1L14.5 18 1 7H19L5.5 18z"/>`, inspect.Options{MarkWidth: 0.2})
	assert.Empty(t, r.Bridges.Thin)
}

// A hairline is one place all along, at any angle and however it bends.
func TestHairline(t *testing.T) {
	for _, d := range []string{"M2 2H18", "M2 2L18 18", "M2 2L18 9", "M2 2C18 2 2 18 18 18", "M2 10A8 8 0 0 1 18 10"} {
		r := look(t, `<path d="`+d+`" fill="none" stroke="black" stroke-width=".08"/>`, inspect.Options{MarkWidth: 0.2})
		require.Len(t, r.Bridges.Thin, 1, d)
		assert.InDelta(t, 0.08, r.Bridges.Thin[0].Width, 2e-3, d)
		assert.Greater(t, r.Bridges.Thin[0].Length, 15.0, d)
	}
}

// Separate places along one edge stay apart.
func TestPlacesApart(t *testing.T) {
	r := look(t, `<path d="M2 2h16v3H2z"/><path d="M3 5.1h2v4H3zM7 5.12h2v4H7zM11 5.08h2v4h-2z"/>`,
		inspect.Options{MarkWidth: 0.2})
	require.Len(t, r.Gaps.Thin, 3)
	for i, want := range []float64{0.08, 0.1, 0.12} {
		assert.InDelta(t, want, r.Gaps.Thin[i].Width, 1e-6)
	}
}

// What stands as near as a file's last decimals touches.
func TestTouching(t *testing.T) {
	r := look(t, `<path d="M2 2h5v5H2zM7.004 2h5v5h-5z"/>`, inspect.Options{MarkWidth: 0.2})
	assert.Empty(t, r.Gaps.Thin)
}

// sheet is n x n rings and bars.
func sheet(n int) path.Artwork {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%dmm" height="%dmm" viewBox="0 0 %d %d">`,
		3*n, 3*n, 3*n, 3*n)
	for i := range n * n {
		x, y := 3*(i%n), 3*(i/n)
		fmt.Fprintf(&b, `<circle cx="%d.5" cy="%d.5" r="1.2" fill="none" stroke="black" stroke-width=".%d"/><path `+
			`d="M%d %dh1.1v.4h-1.1z"/>`, x+1, y+1, 1+i%7, x+1, y+1)
	}
	b.WriteString("</svg>")
	doc, err := svg.Read(&b, svg.Options{})
	if err != nil {
		panic(err)
	}
	return doc.Artwork
}

// BenchmarkLook inspects 3,600 rings and bars on a page of 180 mm.
func BenchmarkLook(b *testing.B) {
	art := sheet(60)
	b.ReportAllocs()
	for b.Loop() {
		_, err := inspect.Look(art, inspect.Options{})
		require.NoError(b, err)
	}
}
