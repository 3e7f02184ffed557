package sheet_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/sheet"
	"furrow/raster/paper"
)

func card(reading int, all ...sheet.Picture) sheet.Card {
	c := sheet.Card{Title: "Swatch: slate", Made: "furrow 0.1.0", Pictures: all,
		Facts: []paper.Fact{{Label: "Machine", Text: "my diode"}, {Label: "Recipe"},
			{Label: "Date", Text: "2026-12-18"}}}
	for i := range reading {
		c.Reading = append(c.Reading, fmt.Sprintf("Step %d.", i+1))
	}
	return c
}

// All that is told of a card, and the table of its patches on a page of its own.
func TestCardFromHeadToFoot(t *testing.T) {
	c := card(2, picture(60, 40))
	c.Cautions = []string{"Class 4 laser: enclosure closed."}
	c.Columns = []paper.Column{{Head: "patch", Share: 1}, {Head: "J/cm2", Share: 1, Right: true}}
	c.Rows = [][]string{{"A1", "20"}, {"B1", "10"}}
	all := pages(t, func(b *bytes.Buffer) error { return c.Encode(b, paper.A4) })
	require.Len(t, all, 2)
	assert.Regexp(t, "^Swatch: slate Machine my diode Date 2026-12-18 Class 4 laser: enclosure closed. How to read "+
		"it Step 1. Step 2. "+
		"chosen by date Bare is light. Swatch: slate furrow 0.1.0 page 1 of 2$", squeezed(all[0]))
	assert.Regexp(t, "^The patches patch J/cm2 A1 20 B1 10 Swatch: slate furrow 0.1.0 page 2 of 2$", squeezed(all[1]))
	c.Rows = nil
	require.Len(t, pages(t, func(b *bytes.Buffer) error { return c.Encode(b, paper.A4) }), 1)
}

var pageObject = regexp.MustCompile(`/Type\s*/Page\b`)

func countPages(t *testing.T, c sheet.Card) int {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, c.Encode(&b, paper.A4))
	return len(pageObject.FindAll(b.Bytes(), -1))
}

// A picture begins a page where less than 120 mm are left of one, or less than it is high,
// beside 10 mm for its legend. The lines of reading that it takes to get there are as far
// apart for pictures of 20, 70 and 120 mm and more as these are.
func TestPicturesThatBeginAPage(t *testing.T) {
	lines := func(high float64) (n int) {
		for n = 1; n < 100 && countPages(t, card(n, picture(60, high))) == 1; n++ {
		}
		return n
	}
	low, middle, high := lines(20), lines(70), lines(120)
	require.InDelta(t, low-middle, middle-high, 1)
	require.Greater(t, low-middle, 5)
	require.Equal(t, high, lines(400))
	// Beyond the first page all of it is there, but for the legend.
	_, room := paper.A4.Room()
	for share, want := range map[float64]string{0.5051: "Drawn at 51 % of true size.",
		0.5049: "Drawn at 50 % of true size."} {
		all := pages(t, func(b *bytes.Buffer) error {
			return card(high+2, picture(60, (room-10)/share)).Encode(b, paper.A4)
		})
		require.Len(t, all, 2)
		require.Contains(t, all[1], want)
	}
	two := pages(t, func(b *bytes.Buffer) error {
		return card(1, picture(60, 200), picture(60, 200)).Encode(b, paper.A4)
	})
	require.Len(t, two, 2)
	require.Contains(t, two[1], "Bare is light.")
}

// What has no size or no image is left out, and its legend too; one without a legend says
// nothing.
func TestPicturesThatAreNone(t *testing.T) {
	for _, p := range []sheet.Picture{{WMM: 10, HMM: 10, Legend: "lost"}, picture(0, 10), picture(10, 0)} {
		text := strings.Join(pages(t, func(b *bytes.Buffer) error { return card(1, p).Encode(b, paper.A4) }), "")
		require.NotContains(t, text, p.Legend)
	}
	p := picture(360, 10)
	p.Legend = ""
	w, _ := paper.A4.Room()
	text := strings.Join(pages(t, func(b *bytes.Buffer) error { return card(1, p).Encode(b, paper.A4) }), "")
	require.Contains(t, text, fmt.Sprintf("Drawn at %.0f %% of true size.", 100*w/360))
}
