package density_test

import (
	"bytes"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/density"
)

func TestPictureOfNothing(t *testing.T) {
	_, err := density.Picture(path.Program{}, density.Options{})
	assert.ErrorIs(t, err, density.ErrNothing)
}

func TestPictureRefuses(t *testing.T) {
	for name, o := range map[string]density.Options{
		"a negative width":       {MarkWidthMM: -1},
		"a width of no number":   {MarkWidthMM: math.NaN()},
		"a negative resolution":  {DPI: -1},
		"an infinite resolution": {DPI: math.Inf(1)},
		"too many pixels":        {DPI: 100000},
		"too small":              {Size: 20},
		"too large":              {Size: 1 << 30},
		"a mark beyond measure":  {MarkWidthMM: 1e9, Window: corner(1, 1)},
		"an infinite window":     {Window: corner(math.Inf(1), 1)},
		"a window beside it all": {Window: corner(2, 2)},
	} {
		_, err := density.Picture(emblem(), o)
		assert.Error(t, err, name)
	}
}

// A single dot or a straight line has no area, and is still shown.
func TestPictureOfALine(t *testing.T) {
	p := path.Program{}
	p.Append(path.Stroke{Kind: path.LineStroke}, path.Point{X: 5, Y: 5}, path.Point{X: 9, Y: 5})
	pic, err := density.Picture(p, density.Options{Crop: true})
	require.NoError(t, err)
	w, h := pic.Size()
	assert.Greater(t, w, h)
}

// The picture of the wanted size is never larger, and not much smaller.
func TestPictureSize(t *testing.T) {
	for _, c := range []struct{ w, h float64 }{{60, 90}, {300, 30}, {30, 300}, {5, 5}} {
		pic, err := density.Picture(hatched(c.w, c.h, 0.5, 0), density.Options{Size: 1200})
		require.NoError(t, err)
		w, h := pic.Size()
		assert.LessOrEqual(t, max(w, h), 1200, "%v", c)
		assert.Greater(t, max(w, h), 1120, "%v", c)
	}
}

func TestPicturePrintsAtTrueSize(t *testing.T) {
	pic, err := density.Picture(emblem(), density.Options{DPI: 254, Blank: corner(60, 40)})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, pic.EncodePNG(&b))
	i := bytes.Index(b.Bytes(), []byte("pHYs"))
	assert.Equal(t, []byte{0, 0, 0x27, 0x10, 0, 0, 0x27, 0x10, 1}, b.Bytes()[i+4:i+13], "10,000 pixels a metre")
	_, err = png.Decode(&b)
	assert.NoError(t, err)
}

// The same input gives the same bytes in every format.
func TestSameBytes(t *testing.T) { synctest.Test(t, sameBytes) }

func sameBytes(t *testing.T) {
	files := func() (all [3]bytes.Buffer) {
		pic, err := density.Picture(emblem(), density.Options{Size: 400, Caption: facts()})
		require.NoError(t, err)
		require.NoError(t, pic.EncodePNG(&all[0]))
		require.NoError(t, pic.EncodeSVG(&all[1]))
		require.NoError(t, pic.EncodePDF(&all[2]))
		return all
	}
	a := files()
	time.Sleep(1100 * time.Millisecond) // of a fake clock: dates in files count seconds
	b := files()
	for i := range a {
		assert.True(t, bytes.Equal(a[i].Bytes(), b[i].Bytes()), "format %d", i)
	}
}

func TestWriteErrorsAreReturned(t *testing.T) {
	pic, err := density.Picture(emblem(), density.Options{Size: 400})
	require.NoError(t, err)
	full := errors.New("no space left")
	w := writer(func([]byte) (int, error) { return 0, full })
	assert.ErrorIs(t, pic.EncodePNG(w), full)
	assert.ErrorIs(t, pic.EncodeSVG(w), full)
	assert.ErrorIs(t, pic.EncodePDF(w), full)
}

type writer func([]byte) (int, error)

func (w writer) Write(p []byte) (int, error) { return w(p) }

func write(t *testing.T, file string, encode func(io.Writer) error) {
	t.Helper()
	f, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, encode(f))
	require.NoError(t, f.Close())
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	require.NoError(t, err, "%s: %s", name, out)
	return string(out)
}
