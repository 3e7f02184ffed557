package inspect_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/inspect"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// look reads elements on a page of 20 x 20 mm.
func look(t *testing.T, inner string, o inspect.Options) inspect.Report {
	t.Helper()
	doc, err := svg.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" `+
		`viewBox="0 0 20 20">`+inner+`</svg>`), svg.Options{})
	require.NoError(t, err)
	r, err := inspect.Look(doc.Artwork, o)
	require.NoError(t, err)
	return r
}

func TestEmpty(t *testing.T) {
	r, err := inspect.Look(path.Artwork{}, inspect.Options{})
	require.NoError(t, err)
	assert.Empty(t, r.Groups)
}

func TestBadWidth(t *testing.T) {
	_, err := inspect.Look(path.Artwork{}, inspect.Options{MarkWidth: -1})
	assert.Error(t, err)
}

// What is covered does not show, what is white leaves the blank bare.
func TestGroups(t *testing.T) {
	r := look(t, `<rect width="10" height="10" fill="red"/><rect width="10" height="5"/><rect width="2" height="2" `+
		`fill="#fff"/><g xmlns:d="urn:d" d:label="names"><rect x="12" width="2" height="2"/></g>`, inspect.Options{})
	require.Len(t, r.Groups, 4)
	black, red, names, white := r.Groups[1], r.Groups[0], r.Groups[2], r.Groups[3]
	assert.InEpsilon(t, 50, red.Area, 0.01)
	assert.InEpsilon(t, 46, black.Area, 0.01)
	assert.InEpsilon(t, 4, names.Area, 0.02)
	assert.Equal(t, "names", names.Layer)
	assert.True(t, white.Bare)
	assert.Zero(t, white.Area)
	assert.InEpsilon(t, 100, r.Marked, 0.01)
}

func TestOpenAndDoubled(t *testing.T) {
	r := look(t, `<path id="o" d="M1 1h5v5"/><path d="M9 1h5v5z"/><path d="M9 1h5v5H9V1"/><rect id="a" width="3" `+
		`height="3"/><rect id="b" width="3" height="3"/>`, inspect.Options{})
	require.Len(t, r.Open, 1)
	assert.Equal(t, "o", r.Open[0].Source.ID)
	assert.InDelta(t, 6, r.Open[0].At.X, 1e-9)
	require.Len(t, r.Doubled, 1)
	assert.Equal(t, "b", r.Doubled[0].Source.ID)
}

// Where edges cross too often to measure between them, all else is told.
func TestTangle(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 3))
	var d strings.Builder
	for i := range 4000 {
		fmt.Fprintf(&d, "%c%.3f %.3f", "LM"[max(0, 1-i)], 20*r.Float64(), 20*r.Float64())
	}
	got := look(t, `<path d="`+d.String()+`z"/>`, inspect.Options{MarkWidth: 0.1})
	require.NotNil(t, got.Tangle)
	assert.Greater(t, got.Tangle.Crossings, 1.5e6)
	assert.Greater(t, got.Marked, 350.0, "nearly all of 400 mm2 is inside")
	assert.Zero(t, got.Gaps)
}
