package sheet_test

import (
	"bytes"
	"image"
	"os"
	"os/exec"
	"path/filepath"
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
	return sheet.Picture{Image: func() (image.Image, error) { return img, nil }, WMM: w, HMM: h, Legend: "Bare is light."}
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
			{Name: "load-02.mvl", Parts: []int{13, 15, 16, 18, 19, 20}, Lines: 999, CRC: "12345678", Time: "0:04", Runs: 3},
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
