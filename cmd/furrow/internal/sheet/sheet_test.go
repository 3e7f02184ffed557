package sheet_test

import (
	"bytes"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/sheet"
	"furrow/path/outside"
	"furrow/raster/paper"
)

// pages returns what poppler reads of a PDF.
func pages(t *testing.T, encode func(*bytes.Buffer) error) []string {
	t.Helper()
	program := outside.Program(t, "pdftotext")
	var b bytes.Buffer
	require.NoError(t, encode(&b))
	file := filepath.Join(t.TempDir(), "a.pdf")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	out, err := exec.Command(program, "-layout", file, "-").Output()
	require.NoError(t, err)
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

func picture(w, h float64) sheet.Picture {
	img := image.NewGray(image.Rect(0, 0, 40, 30))
	return sheet.Picture{Image: func() (image.Image, error) { return img, nil }, WMM: w, HMM: h,
		Legend: "Bare is light."}
}

func bench() sheet.Bench {
	return sheet.Bench{
		Order: "tree tags, spring", Customer: "Quillmere Arboretum", Quantity: 24, Due: "2026-12-18",
		Blank: "60 x 90 x 0.8 mm, anodised aluminium", Load: picture(300, 310), Machine: "example fibre galvo",
		Recipe: "anodised-black", Settings: []sheet.Setting{{Group: "all",
			Facts: []paper.Fact{{Label: "speed", Text: "1,500 mm/s"}}}},
		Files: []sheet.File{
			{Name: "load-01.mvl", Parts: []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, Lines: 123456, CRC: "0badcafe",
				Time: "9:14"},
			{Name: "load-02.mvl", Parts: []int{13, 15, 16, 18, 19, 20}, Lines: 999, CRC: "12345678", Time: "0:04",
				Runs: 3},
		},
		Marking: "9:18", Total: "17:18", FirstArticle: true, Cautions: []string{"Class 4 laser: enclosure closed."},
	}
}

func TestBench(t *testing.T) {
	for _, size := range []paper.Size{paper.A4, paper.Letter} {
		all := pages(t, func(b *bytes.Buffer) error { return bench().Encode(b, size) })
		require.Len(t, all, 2, "two pages, as a bench wants it")
		for _, s := range []string{"tree tags, spring", "Quillmere Arboretum", "2026-12-18", "60 x 90 x 0.8 mm",
			"of true size"} {
			assert.Contains(t, all[0], s)
		}
		assert.Regexp(t, `once +load-01\.mvl +1 to 12 +123,456 +0badcafe +9:14`, all[1])
		assert.Regexp(t, `3 times +load-02\.mvl +13, 15, 16, 18 to 20 +999`, all[1])
		for _, s := range []string{"Class 4 laser", "anodised-black", "First article", "accepted by", "17:18"} {
			assert.Contains(t, all[1], s)
		}
	}
}

func TestProof(t *testing.T) {
	p := sheet.Proof{Order: "tree tags, spring", Customer: "Quillmere Arboretum", Quantity: 2, Blank: "60 x 90 mm"}
	for i, name := range []string{"Quercus robur", "Fagus sylvatica"} {
		p.Parts = append(p.Parts, sheet.ProofPart{Numbers: []int{i + 1},
			Texts: []paper.Fact{{Label: "species", Text: name}}, Picture: picture(60, 90)})
	}
	all := strings.Join(pages(t, func(b *bytes.Buffer) error { return p.Encode(b, paper.A4) }), "\n")
	for _, s := range []string{"Part 1", "Part 2", "Quercus robur", "Fagus sylvatica", "agreed"} {
		assert.Contains(t, all, s)
	}
	assert.Contains(t, all, "drawn at true size")
	assert.NotContains(t, strings.ToLower(all), "machine")
}

// squeezed is a page's text with its white space made one, to be held against what stands
// on it from its head to its foot.
func squeezed(page string) string { return strings.Join(strings.Fields(page), " ") }

// All that a bench reads, in its sequence.
func TestBenchFromHeadToFoot(t *testing.T) {
	b := bench()
	b.Notes, b.Fixture, b.Zero, b.Room, b.Loading, b.Made = []string{"Look at the second load."}, "12 pockets",
		"X0 Y0 by hand", "none", "8:00", "furrow 0.1.0"
	b.Settings = append(b.Settings, sheet.Setting{Group: "group 1", Facts: []paper.Fact{{Label: "power",
		Text: "40 %"}}})
	all := pages(t, func(out *bytes.Buffer) error { return b.Encode(out, paper.A4) })
	require.Len(t, all, 2)
	const foot = " Job sheet: tree tags, spring furrow 0.1.0 "
	// A4 leaves 180 mm beside its margins for 300 mm.
	assert.Regexp(t, "^Job sheet: tree tags, spring For Quillmere Arboretum Quantity 24 Due 2026-12-18 Machine "+
		"example fibre galvo "+
		"Blank 60 x 90 x 0.8 mm, anodised aluminium Fixture 12 pockets Zero X0 Y0 by hand Clearance none Look at "+
		"the second load. "+
		"The load, as it lies Bare is light. Drawn at 60 % of true size."+foot+"page 1 of 2$", squeezed(all[0]))
	assert.Regexp(t, "^Before the start Class 4 laser: enclosure closed. Settings Recipe anodised-black all speed "+
		"1,500 mm/s group 1 power 40 % "+
		"Files run file parts lines crc predicted measured once load-01.mvl 1 to 12 123,456 0badcafe 9:14 _+ "+
		"3 times load-02.mvl 13, 15, 16, 18 to 20 999 12345678 0:04 _+ Marking 9:18 Loading 8:00 All together 17:18 "+
		"First article Mark one part, look at it against the proof, and sign before the rest is run. size and place "+
		"depth or tone text "+
		"accepted by date Done parts good parts spoiled by date"+foot+"page 2 of 2$", squeezed(all[1]))

	// Without cautions, a first article and a second group.
	plain := bench()
	plain.Cautions, plain.FirstArticle, plain.Loading = nil, false, ""
	page := squeezed(pages(t, func(out *bytes.Buffer) error { return plain.Encode(out, paper.A4) })[1])
	for _, s := range []string{"Before the start", "First article", "accepted", "all speed", "Loading"} {
		assert.NotContains(t, page, s)
	}
}

// A quote has a tax and a total where there is one.
func TestQuoteFromHeadToFoot(t *testing.T) {
	q := sheet.Quote{
		Order: "tree tags", Customer: "Quillmere Arboretum", Blank: "60 x 90 mm", Due: "2026-12-18",
		Date: "2026-11-29", Valid: "2026-12-31",
		Offers: []sheet.Offer{
			{Quantity: "24", Each: "5.75", Price: "138.00", Tax: "26.22", Total: "164.22"},
			{Quantity: "100", Each: "5.00", Price: "500.00", Tax: "95.00", Total: "595.00"},
		},
		Tax: "VAT 19 %", Picture: picture(60, 90),
	}
	const head = "^Quote Order tree tags For Quillmere Arboretum Date 2026-11-29 Blank 60 x 90 mm Due 2026-12-18 " +
		"Valid until 2026-12-31 "
	text := func() string {
		return squeezed(pages(t, func(b *bytes.Buffer) error { return q.Encode(b, paper.A4) })[0])
	}
	assert.Regexp(t, head+"Quantity Each Net VAT 19 % Total 24 5.75 138.00 26.22 164.22 100 5.00 500.00 95.00 "+
		"595.00 Bare is light. Quote: tree tags page 1 of 1$", text())
	q.Tax, q.Picture = "", sheet.Picture{}
	const offers = "Quantity Each Net 24 5.75 138.00 100 5.00 500.00 "
	assert.Regexp(t, head+offers+"Quote: tree tags page 1 of 1$", text())

	// Who offers it stands above all else, the terms below the prices.
	q.Shop, q.Address = "Elm & Yew Engraving", []string{"Orchard Lane 7", "Quillmere"}
	q.Terms, q.Delivery = "14 days net", "collected"
	assert.Regexp(t, "^Elm & Yew Engraving Orchard Lane 7 Quillmere "+head[1:]+offers+
		"Terms 14 days net Delivery collected Quote: tree tags page 1 of 1$", text())
}

// A picture larger than its room says at what scale it is drawn: of 190 mm high at most,
// 380 mm are half; a page of A4 has room for 210 mm less its margins.
func TestProofFromHeadToFoot(t *testing.T) {
	p := sheet.Proof{Order: "tree tags", Quantity: 7, Due: "2026-12-18", Notes: []string{"Drawn wider."}}
	p.Parts = []sheet.ProofPart{
		{Numbers: []int{1, 2, 3, 7}, Texts: []paper.Fact{{Label: "species", Text: "Quercus robur"}},
			Picture: picture(100, 380)},
		{Numbers: []int{4}, Picture: picture(60, 30)},
	}
	all := squeezed(strings.Join(pages(t, func(b *bytes.Buffer) error { return p.Encode(b, paper.A4) }), " "))
	assert.True(t, strings.HasPrefix(all,
		"Proof Order tree tags Quantity 7 Due 2026-12-18 Please look at every line: spelling, numbers, place "+
			"and size. The tone of the material is an example; marks are made as drawn. What is signed is what will "+
			"be made. Drawn wider. "+
			"agreed: name and signature date"), all)
	for _, s := range []string{"Parts 1 to 3, 7", "species: Quercus robur", "drawn at 50 % of true size", "Part 4",
		"drawn at true size", "Proof: tree tags"} {
		assert.Contains(t, all, s)
	}
}

// A picture stands at its true size, or at that which it says: of 40 x 30 pixels, 60 x 90 mm
// are 40/(60/25.4) = 17 and 30/(90/25.4) = 8 an inch; 300 x 310 mm at 60 % 6 and 4.
func TestPicturesAreAsLargeAsTheySay(t *testing.T) {
	program := outside.Program(t, "pdfimages")
	inches := func(encode func(*bytes.Buffer) error) string {
		var b bytes.Buffer
		require.NoError(t, encode(&b))
		file := filepath.Join(t.TempDir(), "a.pdf")
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
		out, err := exec.Command(program, "-list", file).Output()
		require.NoError(t, err)
		var all []string
		for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n")[2:] {
			f := strings.Fields(line)
			require.Equal(t, []string{"40", "30"}, f[3:5])
			all = append(all, f[12]+" x "+f[13])
		}
		return strings.Join(all, ", ")
	}
	b := bench()
	require.Equal(t, "6 x 4", inches(func(out *bytes.Buffer) error { return b.Encode(out, paper.A4) }))
	b.Load = picture(60, 90)
	require.Equal(t, "17 x 8", inches(func(out *bytes.Buffer) error { return b.Encode(out, paper.A4) }))
	q := sheet.Quote{Picture: picture(60, 90)}
	require.Equal(t, "17 x 8", inches(func(out *bytes.Buffer) error { return q.Encode(out, paper.A4) }))
	p := sheet.Proof{Parts: []sheet.ProofPart{{Numbers: []int{1}, Picture: picture(60, 90)}}}
	require.Equal(t, "17 x 8", inches(func(out *bytes.Buffer) error { return p.Encode(out, paper.A4) }))
}

// Columns have the shares of the 180 mm beside A4's margins that are written for them; what
// stands at the right of one ends where it ends.
func TestColumnsByHand(t *testing.T) {
	program := outside.Program(t, "pdftotext")
	word := regexp.MustCompile(`xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" yMax="[\d.]+">([^<]*)<`)
	ends := func(encode func(*bytes.Buffer) error) func(string) [2]float64 {
		var b bytes.Buffer
		require.NoError(t, encode(&b))
		file := filepath.Join(t.TempDir(), "a.pdf")
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
		out, err := exec.Command(program, "-bbox", file, "-").Output()
		require.NoError(t, err)
		all := map[string][2]float64{}
		for _, m := range word.FindAllStringSubmatch(string(out), -1) {
			from, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			to, err := strconv.ParseFloat(m[2], 64)
			require.NoError(t, err)
			all[m[3]] = [2]float64{from * 25.4 / 72, to * 25.4 / 72}
		}
		return func(word string) [2]float64 {
			require.Contains(t, all, word)
			return all[word]
		}
	}
	q := sheet.Quote{Tax: "VAT", Offers: []sheet.Offer{{"24", "5.75", "138.00", "26.22", "164.22"}}}
	at := ends(func(b *bytes.Buffer) error { return q.Encode(b, paper.A4) })
	for i, w := range []string{"24", "5.75", "138.00", "26.22", "164.22"} { // 1 + 2 + 2 + 2 + 2 parts of 20 mm
		require.InDelta(t, at("24")[1]+40*float64(i), at(w)[1], 0.1, w)
	}
	for i, w := range []string{"Quantity", "Each", "Net", "VAT", "Total"} {
		require.InDelta(t, at("24")[1]+40*float64(i), at(w)[1], 0.1, w)
	}
	at = ends(func(b *bytes.Buffer) error { return bench().Encode(b, paper.A4) })
	const share = 180 / 8.7 // 0.9, 1.4, 2, 1, 1.1, 1.1 and 1.2
	for w, start := range map[string]float64{"file": 0.9, "load-01.mvl": 0.9, "0badcafe": 5.3, "crc": 5.3,
		"measured": 7.5} {
		require.InDelta(t, at("run")[0]+share*start, at(w)[0], 0.3, w)
	}
	for w, end := range map[string]float64{"123,456": 5.3, "lines": 5.3, "9:14": 7.5, "predicted": 7.5} {
		require.InDelta(t, at("123,456")[1]+share*(end-5.3), at(w)[1], 0.3, w)
	}
}
