package main

import (
	"bytes"
	"fmt"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/outside"
	"furrow/path/svg"
	"furrow/raster/density"
	"furrow/raster/grid"

	"github.com/stretchr/testify/require"
)

// The region that furrow marks is what librsvg paints: artwork read, hatched at
// an eighth of a pixel and laid over pixels, against Debian's rsvg-convert on
// the demo's emblem and on 200 of the npm package bootstrap-icons.
func TestMarkedRegionAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	emblem, err := demoFiles.ReadFile("demo/tag.svg")
	require.NoError(t, err)
	require.GreaterOrEqual(t, overlap(t, emblem, 600), 0.99)

	icons := outside.Files(t, "bootstrap-icons/icons/*.svg", 2000)
	for i := 0; i < 200; i++ {
		file := icons[i*len(icons)/200]
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.GreaterOrEqual(t, overlap(t, data, 400), 0.99, filepath.Base(file))
	}
}

// overlap returns intersection over union, by area, of what is marked and what
// is painted, from the shares covered of the pixels of a picture w wide.
func overlap(t *testing.T, data []byte, w int) float64 {
	t.Helper()
	ours := markedPixels(t, data, w)
	cmd := exec.Command("rsvg-convert", "-w", fmt.Sprint(ours.W), "-h", fmt.Sprint(ours.H), "-b", "white")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	require.NoError(t, err)
	theirs, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	red := func(x, y int) uint32 { r, _, _, _ := theirs.At(x, y).RGBA(); return r }
	ink := uint32(0xffff)
	for i := range ours.Value {
		ink = min(ink, red(i%ours.W, i/ours.W))
	}
	both, either := 0.0, 0.0
	for i, v := range ours.Value {
		a, b := min(1, float64(v)), float64(0xffff-red(i%ours.W, i/ours.W))/float64(0xffff-ink)
		both += min(a, b)
		either += max(a, b)
	}
	require.Positive(t, either)
	return both / either
}

// markedPixels returns the share of each pixel that is marked.
func markedPixels(t *testing.T, data []byte, w int) *density.Layer {
	t.Helper()
	doc, err := svg.Read(bytes.NewReader(data), svg.Options{})
	require.NoError(t, err)
	g := grid.New(doc.Artwork.Page, float64(w)/doc.Artwork.Page.W())
	spacing := 1 / g.PxPerMM / 8
	marks, _, err := hatch.Fill(doc.Artwork,
		hatch.Settings{Groups: []hatch.Group{{Setting: path.Setting{SpacingMM: spacing}}}})
	require.NoError(t, err)
	prog := asTheyCome(marks)
	all := make([]path.Marking, len(prog.Strokes)) // 1 J for each cm2 that is marked
	for i := range all {
		ends := prog.PointsOf(i)
		all[i].EnergyJ = ends[0].Dist(ends[1]) * spacing / 100
	}
	return density.Dose(prog, g, spacing, all)
}

// asTheyCome strings the rows together without a sequence.
func asTheyCome(marks path.Marks) path.Program {
	var p path.Program
	for i := range marks.Rows {
		r := &marks.Rows[i]
		for k := range r.NumRows() {
			for _, s := range r.Row(k) {
				p.Append(path.Stroke{}, r.At(k, s.X0), r.At(k, s.X1))
			}
		}
	}
	return p
}
