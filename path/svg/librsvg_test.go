package svg_test

import (
	"bytes"
	"fmt"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"testing"

	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

// rsvg renders with librsvg.
func rsvg(data []byte, w, h int) (*picture, error) {
	cmd := exec.Command("rsvg-convert", "-w", fmt.Sprint(w), "-h", fmt.Sprint(h))
	cmd.Env = append(os.Environ(), "LANG=en_US.UTF-8", "LC_ALL=en_US.UTF-8", "LANGUAGE=en") // for systemLanguage
	cmd.Stdin = bytes.NewReader(data)
	var out, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &stderr
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, stderr.String())
	}
	img, err := png.Decode(&out)
	if err != nil {
		return nil, err
	}
	return fromImage(img), nil
}

// compare returns the agreement with librsvg of one document.
func compare(data []byte, width int) (float64, *picture, *picture, error) {
	doc, err := svg.Read(bytes.NewReader(data), svg.Options{})
	if err != nil {
		return 0, nil, nil, err
	}
	ours := paint(doc.Artwork, width)
	theirs, err := rsvg(data, ours.w, ours.h)
	if err != nil {
		return 0, nil, nil, err
	}
	return agreement(ours, theirs), ours, theirs, nil
}

// TestIconsAgainstLibrsvg compares what is painted with librsvg's picture. The
// icons are those of the npm packages named; FURROW_DATA is the folder with
// them, FURROW_EVERY takes every n-th only.
func TestIconsAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	every := 10
	if v := os.Getenv("FURROW_EVERY"); v != "" {
		_, err := fmt.Sscan(v, &every)
		require.NoError(t, err)
	}
	for _, set := range []string{"bootstrap-icons/icons/*.svg", "flag-icons/flags/4x3/*.svg",
		"flag-icons/flags/1x1/*.svg", "lucide-static/icons/*.svg"} {
		t.Run(set, func(t *testing.T) {
			compareAll(t, outside.Files(t, set, 200), every)
		})
	}
}

func compareAll(t *testing.T, files []string, every int) {
	type result struct {
		name string
		iou  float64
	}
	var low []result
	count := 0
	for i := 0; i < len(files); i += every {
		text, err := os.ReadFile(files[i])
		require.NoError(t, err)
		iou, _, _, err := compare(text, 240)
		require.NoError(t, err, files[i])
		count++
		if iou < 0.985 {
			low = append(low, result{filepath.Base(files[i]), iou})
		}
	}
	sort.Slice(low, func(i, j int) bool { return low[i].iou < low[j].iou })
	for _, r := range low {
		t.Logf("%s: %.4f", r.name, r.iou)
	}
	t.Logf("%d of %d below 0.985", len(low), count)
	require.LessOrEqual(t, len(low)*100, count, "more than one in a hundred differ")
}
