package sheet_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/sheet"
	"furrow/path/outside"
	"furrow/raster/paper"
)

// Heights that package paper writes with, mm: letters of 3.3 mm, and of 2.7 mm where they
// are small, in lines of 1.4 times that; a quarter of the letters more below a paragraph;
// 1 mm below facts, 2 mm below a picture.
const (
	bodyLine  = 4.62
	textHigh  = bodyLine + 0.825
	smallHigh = 3.78 + 0.675
	titleHigh = 8.4 + 1.5
	subHigh   = 2 + 5.6 + 1
	margin    = 15
)

var wordAt = regexp.MustCompile(`yMin="([\d.]+)" xMax="[\d.]+" yMax="[\d.]+">([^<]*)<`)

// tops returns how far below the page's top words stand, mm, as poppler reads it. Of one
// that is there twice it is the last.
func tops(t *testing.T, encode func(*bytes.Buffer) error) map[string]float64 {
	t.Helper()
	program := outside.Program(t, "pdftotext")
	var b bytes.Buffer
	require.NoError(t, encode(&b))
	file := filepath.Join(t.TempDir(), "a.pdf")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	out, err := exec.Command(program, "-bbox", file, "-").Output()
	require.NoError(t, err)
	all := map[string]float64{}
	for _, m := range wordAt.FindAllStringSubmatch(string(out), -1) {
		y, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		all[m[2]] = y * 25.4 / 72
	}
	return all
}

// What a quote leaves free between its sender, facts, prices, terms and picture.
func TestHeightsOfAQuote(t *testing.T) {
	p := picture(20, 10)
	p.Legend = "bare"
	q := sheet.Quote{Customer: "Oak", Picture: p, Offers: []sheet.Offer{{Quantity: "24"}}}
	at := func() map[string]float64 {
		return tops(t, func(b *bytes.Buffer) error { return q.Encode(b, paper.A4) })
	}
	plain := at()
	// A word of the body stands this much below where its line begins, and a small one less.
	shift := plain["Oak"] - (margin + titleHigh)
	require.Less(t, max(shift, -shift), 1.5)
	const row = margin + titleHigh + bodyLine + 1 + 3 + bodyLine + 0.8
	require.InDelta(t, row+shift, plain["24"], 0.1)
	const legend = row + bodyLine + 2 + 4 + 10 + 2
	require.InDelta(t, legend+shift*2.7/3.3, plain["bare"], 0.1)

	q.Terms = "cash"
	terms := at()
	require.InDelta(t, row+bodyLine+2+3+shift, terms["cash"], 0.1)
	require.InDelta(t, 3+bodyLine+1, terms["bare"]-plain["bare"], 0.1)

	q.Terms, q.Shop = "", "Elm"
	require.InDelta(t, subHigh+6, at()["Oak"]-plain["Oak"], 0.1)
	q.Address = []string{"Quillmere"}
	require.InDelta(t, subHigh+textHigh+6, at()["Oak"]-plain["Oak"], 0.1)
	q.Shop = ""
	require.InDelta(t, textHigh+6, at()["Oak"]-plain["Oak"], 0.1)
}

// The parts of a proof begin 3 mm below the 11 mm that are left to sign on, the labels of
// which are 7.4 mm down; a part's second line is one below its title.
func TestHeightsOfAProof(t *testing.T) {
	p := sheet.Proof{Customer: "Oak", Parts: []sheet.ProofPart{{Numbers: []int{4}, Picture: picture(60, 30),
		Texts: []paper.Fact{{Label: "species", Text: "Acer"}}}}}
	at := tops(t, func(b *bytes.Buffer) error { return p.Encode(b, paper.A4) })
	shift := at["Oak"] - (margin + titleHigh)
	require.InDelta(t, 11+3-7.4+bodyLine+shift*(1-2.7/3.3), at["species:"]-at["date"], 0.1)
}

// A load too high for its page ends 12 mm above the margin of 15 mm of 297 mm, and its
// legend is 2 mm below it.
func TestTheLoadEndsAboveItsLegend(t *testing.T) {
	b := sheet.Bench{Order: "x", Customer: "Oak", Load: picture(60, 310)}
	at := tops(t, func(out *bytes.Buffer) error { return b.Encode(out, paper.A4) })
	shift := at["Oak"] - (margin + titleHigh)
	require.InDelta(t, 297-margin-12+2+shift*2.7/3.3, at["Drawn"], 0.1)
}

// A card's picture stays on a page with 120 mm beside the 10 mm of its legend, and goes to
// the next with less: title, facts, head, 11 mm to write on, 13 steps and 8 cautions leave
// 120.1 mm of A4's 267, 9 and 13 leave 119.6.
func TestHowMuchAPictureNeeds(t *testing.T) {
	for _, c := range []struct {
		steps, cautions, pages int
		left                   float64
	}{{13, 8, 1, 120.075}, {9, 13, 2, 119.58}} {
		require.InDelta(t, c.left, 267-titleHigh-1-subHigh-11-10-float64(c.steps)*textHigh-
			float64(c.cautions)*smallHigh, 0.001)
		s := card(c.steps, picture(60, 200))
		s.Facts = nil
		for i := range c.cautions {
			s.Cautions = append(s.Cautions, fmt.Sprint("Caution ", i))
		}
		require.Equal(t, c.pages, countPages(t, s), c)
	}
}

// A single patch has its table, what is run twice is told so, and pictures may be as small
// as half a millimetre.
func TestOneOfEach(t *testing.T) {
	c := card(1, picture(360, 0.5), picture(0.5, 360))
	c.Columns, c.Rows = []paper.Column{{Head: "patch", Share: 1}}, [][]string{{"A1"}}
	all := strings.Join(pages(t, func(b *bytes.Buffer) error { return c.Encode(b, paper.A4) }), " ")
	require.Contains(t, all, "The patches")
	require.Contains(t, all, "A1")
	require.Equal(t, 2, strings.Count(all, "Bare is light. Drawn at"))
	b := sheet.Bench{Files: []sheet.File{{Name: "a", Runs: 2}, {Name: "b", Runs: 1}}}
	all = strings.Join(pages(t, func(out *bytes.Buffer) error { return b.Encode(out, paper.A4) }), " ")
	require.Regexp(t, `2 times +a`, all)
	require.Regexp(t, `once +b`, all)
}

// A part's picture is 190 mm high at most, drawn as small as it says, and lower where the
// lines above it leave less of the page: of letter's 249.4 mm, 20 lines of 5 mm leave 149.4.
func TestPicturesOfAProof(t *testing.T) {
	said := func(high float64, texts int, size paper.Size) string {
		part := sheet.ProofPart{Numbers: []int{1}, Picture: picture(100, high)}
		for i := range texts {
			part.Texts = append(part.Texts, paper.Fact{Label: fmt.Sprint("line ", i), Text: "x"})
		}
		p := sheet.Proof{Parts: []sheet.ProofPart{part}}
		all := pages(t, func(b *bytes.Buffer) error { return p.Encode(b, size) })
		return regexp.MustCompile(`drawn at .* size`).FindString(strings.Join(all, " "))
	}
	require.Equal(t, "drawn at 50 % of true size", said(190/0.5045, 0, paper.A4))
	require.Equal(t, "drawn at 51 % of true size", said(190/0.5055, 0, paper.A4))
	require.Equal(t, "drawn at 90 % of true size", said(190/0.9, 0, paper.A4))
	require.Equal(t, "drawn at true size", said(190, 9, paper.Letter))
	require.Equal(t, "drawn at 60 % of true size", said(149.4/0.6045, 18, paper.Letter))
	require.Equal(t, "drawn at 61 % of true size", said(149.4/0.6055, 18, paper.Letter))

	// Of 40 x 30 pixels, 50 x 190 mm are 40/(50/25.4) = 20 and 30/(190/25.4) = 4 an inch.
	program := outside.Program(t, "pdfimages")
	p := sheet.Proof{Parts: []sheet.ProofPart{{Numbers: []int{1}, Picture: picture(100, 380)}}}
	file := filepath.Join(t.TempDir(), "a.pdf")
	var b bytes.Buffer
	require.NoError(t, p.Encode(&b, paper.A4))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	out, err := exec.Command(program, "-list", file).Output()
	require.NoError(t, err)
	f := strings.Fields(strings.Split(strings.TrimSpace(string(out)), "\n")[2])
	require.Equal(t, []string{"20", "4"}, f[12:14])
}
