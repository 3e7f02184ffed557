package readback_test

import (
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/path/code"
	"furrow/path/hatch"
	"furrow/path/outside"
	"furrow/raster/readback"
)

// marked is a code as the pipeline marks it.
type marked struct {
	symbol code.Symbol
	placed code.Placed
	marks  readback.Marks
}

func mark(t *testing.T, kind code.Kind, value string, room code.Room) marked {
	t.Helper()
	s, err := code.Encode(kind, value)
	require.NoError(t, err)
	p, err := s.Place(room)
	require.NoError(t, err)
	fill := hatch.Group{Setting: path.Setting{SpacingMM: room.SpacingMM}}
	marks, _, err := hatch.Fill(path.Artwork{Page: p.Area, Shapes: p.Shapes},
		hatch.Settings{Groups: []hatch.Group{fill}})
	require.NoError(t, err)
	prog := path.Program{Settings: marks.Settings}
	for i := range marks.Rows {
		r := &marks.Rows[i]
		for k := range r.NumRows() {
			for _, span := range r.Row(k) {
				prog.Append(path.Stroke{Kind: path.SpanStroke}, r.At(k, span.X0), r.At(k, span.X1))
			}
		}
	}
	return marked{s, p, readback.Marks{Program: &prog, WidthMM: room.MarkWidthMM, Light: room.Light}}
}

// least returns the smallest square room for a value.
func least(t *testing.T, kind code.Kind, value string, room code.Room) code.Room {
	t.Helper()
	s, err := code.Encode(kind, value)
	require.NoError(t, err)
	_, err = s.Place(room)
	var small *code.RoomError
	require.ErrorAs(t, err, &small)
	room.Rect = path.Rect{Max: path.Point{X: small.W, Y: max(small.H, small.W/4)}}
	return room
}

// values are in five scripts.
var values = map[code.Kind][]string{
	code.DataMatrix: {"123456", "Tilia × europaea 0417", "A1B2C3D4E5F6G7H8I9J0K1L2"},
	code.Code128:    {"PJJ123C", "HI345678"},
	code.QR:         {"01234567", "Müller 5 €", "Ελιά 12", "Липа", "שקד מצוי", "銀杏 417"},
}

// rows are spacings and widths of marks, mm: lines that just meet, that overlap by
// half and by three quarters, and that leave gaps.
var rows = []code.Room{
	{SpacingMM: 0.06, MarkWidthMM: 0.06},
	{SpacingMM: 0.05, MarkWidthMM: 0.1},
	{SpacingMM: 0.02, MarkWidthMM: 0.08},
	{SpacingMM: 0.1, MarkWidthMM: 0.08},
}

// each calls for every kind, value, tone and rows, with the smallest room.
func each(t *testing.T, visit func(t *testing.T, m marked)) {
	for _, kind := range code.Kinds() {
		for _, value := range values[kind] {
			for _, r := range rows {
				for _, r.Light = range []bool{false, true} {
					name := fmt.Sprintf("%s %s %g %g %v", kind, value, r.SpacingMM, r.MarkWidthMM, r.Light)
					t.Run(name, func(t *testing.T) { visit(t, mark(t, kind, value, least(t, kind, value, r))) })
				}
			}
		}
	}
}

func TestSmallestCodesReadBack(t *testing.T) {
	each(t, func(t *testing.T, m marked) { assert.NoError(t, m.marks.Verify(m.symbol, m.placed)) })
}

// TestMarksCoverTheModules compares the ink with the modules: what is too much or
// too little at their edges is less than a quarter of the symbol, at the coarsest
// rows that are allowed.
func TestMarksCoverTheModules(t *testing.T) {
	each(t, func(t *testing.T, m marked) {
		const px = 16
		img := m.marks.Picture(m.placed.Area, px/m.placed.ModuleMM)
		if m.symbol.Kind == code.Code128 {
			return // its bars are not square
		}
		wrong, n := 0.0, 0
		cols, down := m.symbol.Size()
		quiet := (img.Rect.Dx() - cols*px) / 2
		for y := range down * px {
			for x := range cols * px {
				tone := float64(img.GrayAt(x+quiet, y+quiet).Y) / 255
				if m.symbol.Dark(x/px, y/px) {
					tone = 1 - tone
				}
				wrong += 1 - tone
				n++
			}
		}
		assert.Less(t, wrong/float64(n), 0.25)
	})
}

func TestWrongMarksAreTold(t *testing.T) {
	m := mark(t, code.DataMatrix, "123456", least(t, code.DataMatrix, "123456", rows[0]))
	other, err := code.Encode(code.DataMatrix, "123457")
	require.NoError(t, err)
	assert.ErrorContains(t, m.marks.Verify(other, m.placed), `data-matrix of "123457" reads as "123456"`)

	wide := m.marks
	wide.WidthMM *= 4 // gaps of one module close
	var wrong *readback.MismatchError
	require.ErrorAs(t, wide.Verify(m.symbol, m.placed), &wrong)
	assert.ErrorContains(t, wrong, "cannot be read from its marks")

	none := readback.Marks{Program: &path.Program{}, WidthMM: 0.1}
	assert.Error(t, none.Verify(m.symbol, m.placed))
}

// TestOtherDecoders has Debian's zbar and dmtx read the pictures.
func TestOtherDecoders(t *testing.T) {
	zbar, dmtx := outside.Program(t, "zbarimg"), outside.Program(t, "dmtxread")
	each(t, func(t *testing.T, m marked) {
		px := readback.PxPerMM(m.placed)
		if m.symbol.Kind == code.Code128 {
			px *= 2 // four pixels a bar are too few for zbar
		}
		file := save(t, m.marks.Picture(m.placed.Area.Grow(2*m.placed.ModuleMM), px))
		out := ""
		if m.symbol.Kind == code.DataMatrix {
			out = run(t, dmtx, "--unicode", "--stop-after=1", "--milliseconds=5000", file)
		} else {
			out = run(t, zbar, "--quiet", "--raw", file)
		}
		assert.Equal(t, m.symbol.Value, strings.TrimSuffix(out, "\n"))
	})
}

// The code words of ISO/IEC 16022's example, from memory and computed: the data of
// 123456 and the words for its correction.
func TestDataMatrixCodeWords(t *testing.T) {
	dmtx := outside.Program(t, "dmtxread")
	m := mark(t, code.DataMatrix, "123456", least(t, code.DataMatrix, "123456", rows[0]))
	file := save(t, m.marks.Picture(m.placed.Area.Grow(2*m.placed.ModuleMM), readback.PxPerMM(m.placed)))
	out := run(t, dmtx, "--codewords", "--stop-after=1", file)
	assert.Equal(t, []string{"d:142", "d:164", "d:186", "e:114", "e:025", "e:005", "e:088", "e:102"},
		strings.Fields(out))
}

func save(t *testing.T, img *image.Gray) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "code.png")
	f, err := os.Create(file)
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, png.Encode(f, img))
	return file
}

func run(t *testing.T, program string, args ...string) string {
	t.Helper()
	out, err := exec.Command(program, args...).Output()
	assert.NoError(t, err)
	return string(out)
}

func TestPictureOfNothingIsTheBlank(t *testing.T) {
	m := readback.Marks{Program: &path.Program{}, WidthMM: 0.1}
	img := m.Picture(path.Rect{Max: path.Point{X: 1, Y: 1}}, 4)
	assert.Equal(t, uint8(math.MaxUint8), img.Pix[0])
	m.Light = true
	assert.Zero(t, m.Picture(path.Rect{Max: path.Point{X: 1, Y: 1}}, 4).Pix[0])
}

// By hand, for modules of half a millimetre: two pixels a row below four rows, and else
// four to eight pixels a module that hold whole rows, of one to two.
func TestPixelsByHand(t *testing.T) {
	for rows, pixels := range map[int]float64{1: 2, 2: 4, 3: 6, 4: 4, 5: 5, 7: 7, 8: 4, 11: 5.5, 12: 4, 18: 4.5} {
		p := code.Placed{Rows: rows, ModuleMM: 0.5}
		assert.InDelta(t, pixels/0.5, readback.PxPerMM(p), 1e-12, "%d rows", rows)
	}
}

// A picture has the sides of its area, with its first row at the upper side: here one mark
// along it.
func TestPictureOfAMark(t *testing.T) {
	prog := path.Program{Settings: make([]path.Setting, 1)}
	prog.Append(path.Stroke{Kind: path.SpanStroke}, path.Point{X: 11, Y: 23.5}, path.Point{X: 13, Y: 23.5})
	m := readback.Marks{Program: &prog, WidthMM: 1}
	img := m.Picture(path.Rect{Min: path.Point{X: 10, Y: 20}, Max: path.Point{X: 16, Y: 24}}, 2)
	require.Equal(t, image.Rect(0, 0, 12, 8), img.Rect)
	for at, tone := range map[image.Point]uint8{
		{X: 2, Y: 0}: 0, {X: 5, Y: 0}: 0, {X: 5, Y: 1}: 0, {X: 5, Y: 2}: 255, {X: 8, Y: 0}: 255, {X: 0, Y: 0}: 255,
		{X: 11, Y: 7}: 255,
	} {
		assert.Equal(t, tone, img.GrayAt(at.X, at.Y).Y, at)
	}
}
