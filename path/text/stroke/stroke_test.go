package stroke_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/text/stroke"
)

func lay(t *testing.T, text string, l stroke.Line) path.Shape {
	t.Helper()
	s, err := stroke.SingleLine().Lay(text, l)
	require.NoError(t, err)
	return s
}

func lines(p path.Path) (all [][]path.Point) {
	p.Flatten(0.001, func(pts []path.Point, _ bool) { all = append(all, append([]path.Point(nil), pts...)) })
	return all
}

// The letter A of the Hershey font futural: (0,-12)(-8,9) | (0,-12)(8,9) |
// (-5,2)(5,2), between -9 and 9, Y down, its base line at 9; a size of 1000/31.5
// units. The file's coordinates have three digits.
func TestLetterA(t *testing.T) {
	const unit = 1000 / 31.5
	want := [][]path.Point{{{X: 0, Y: -12}, {X: -8, Y: 9}}, {{X: 0, Y: -12}, {X: 8, Y: 9}},
		{{X: -5, Y: 2}, {X: 5, Y: 2}}}
	got := lines(lay(t, "A", stroke.Line{Size: unit, Anchor: 0.5}).Centre)
	require.Len(t, got, len(want))
	for i := range want {
		for k, p := range want[i] {
			assert.InDelta(t, p.X, got[i][k].X, 0.02)
			assert.InDelta(t, 9-p.Y, got[i][k].Y, 0.02)
		}
	}
	there := lines(lay(t, "A", stroke.Line{Size: unit, Anchor: 0.5}).Path)
	require.Len(t, there, len(want), "the region is each stroke there and back")
	for i := range there {
		require.Equal(t, path.BoundsOf(got[i]), path.BoundsOf(there[i]))
		require.Equal(t, got[i], there[i][:2])
	}
	require.Equal(t, path.Close, lay(t, "A", stroke.Line{Size: unit}).Path.Verbs[3])
	two := lay(t, "AA", stroke.Line{Size: unit}).Path.Bounds()
	assert.InDelta(t, 2*18-2, two.W(), 0.05, "each is 18 wide with a space of 1 at both sides")
}

// letters are those of Unicode's blocks Latin-1 Supplement and Latin Extended-A,
// which hold the alphabets of Western and Central Europe, and Romanian's commas;
// not the long s, the Greenlandic kra and the deprecated ŉ.
func letters() (all []rune) {
	for r := 'À'; r <= 'ž'; r++ {
		if !strings.ContainsRune("ĸŉ", r) {
			all = append(all, r)
		}
	}
	return append(all, 'Ș', 'ș', 'Ț', 'ț', 'ẞ')
}

func TestLettersOfWesternAndCentralEurope(t *testing.T) {
	seen := map[string]rune{}
	for _, r := range letters() {
		s := lay(t, string(r), stroke.Line{Size: 10})
		key := ""
		for _, l := range lines(s.Centre) {
			for _, p := range l {
				key += fmt.Sprintf("%.2f,%.2f ", p.X, p.Y)
			}
		}
		// Capital ð is as capital đ, and l as I.
		if other, ok := seen[key]; ok && !strings.ContainsRune("ĐẞÍĺ", r) {
			t.Errorf("%c is drawn as %c", r, other)
		}
		seen[key] = r
	}
}

// Accents stand clear of their letter and of the letters beside it, by two marks
// of 0.1 mm in letters of 4 mm; but those that join it below.
func TestAccentsAreClear(t *testing.T) {
	for _, r := range "ÀÁÂÃÄÅÈÉÊËĚĒĔĖÌÍÎÏĨĪĬİÑÒÓÔÕÖŐÙÚÛÜŮŰÝŸŽàáâãäåćĉċčďèéêëìíîïĩīĭñòóôõöőśŝšťľùúûüůűýÿžķļņŗģșț" {
		base := len(lines(lay(t, string([]rune(norm.NFD.String(string(r)))[:1]), stroke.Line{Size: 4}).Centre))
		if strings.ContainsRune("ìíîïĩīĭ", r) {
			base-- // its dot
		}
		strokes := lines(lay(t, string(r), stroke.Line{Size: 4}).Centre)
		require.Greater(t, len(strokes), base, string(r))
		for _, accent := range strokes[base:] {
			for _, s := range strokes[:base] {
				assert.Greater(t, distance(s, accent), 0.2, string(r))
			}
		}
	}
	for _, pair := range []string{"ÎÎ", "ïï", "ĨĪ", "ďľ", "ťt", "ĬH"} {
		letters := []rune(pair)
		first := lay(t, string(letters[0]), stroke.Line{Size: 4}).Path.Bounds().W()
		second := lay(t, string(letters[1]), stroke.Line{Size: 4}).Path.Bounds().W()
		both := lay(t, pair, stroke.Line{Size: 4}).Path.Bounds().W()
		assert.Greater(t, both-first-second, 0.2, pair)
	}
}

func distance(a, b []path.Point) float64 {
	least := math.Inf(1)
	for i := 1; i < len(a); i++ {
		for t := 0.0; t <= 1; t += 0.05 {
			for k := 1; k < len(b); k++ {
				for u := 0.0; u <= 1; u += 0.05 {
					least = min(least, a[i-1].Lerp(a[i], t).Dist(b[k-1].Lerp(b[k], u)))
				}
			}
		}
	}
	return least
}

func TestMissingLetterIsNamed(t *testing.T) {
	for text, at := range map[string]int{"Липа": 1, "Tilia 銀": 7, "a\u0323": 1, "5 Ω": 3, "й": 1} {
		_, err := stroke.SingleLine().Lay(text, stroke.Line{Size: 4})
		var missing *stroke.MissingError
		require.ErrorAs(t, err, &missing, text)
		assert.Equal(t, at, missing.At, text)
	}
	_, err := stroke.SingleLine().Lay("Липа", stroke.Line{Size: 4})
	assert.EqualError(t, err, `single-line lettering has no 'Л' (U+041B), letter 1 of "Липа"`)
}

func TestLaying(t *testing.T) {
	width := lay(t, "Acer 417", stroke.Line{Size: 4}).Path.Bounds().W()
	for anchor, left := range map[float64]float64{0: 0, 0.5: -width / 2, 1: -width} {
		b := lay(t, "Acer 417", stroke.Line{Size: 4, Anchor: anchor}).Path.Bounds()
		assert.InDelta(t, left, b.Min.X, 1e-9)
		assert.InDelta(t, width, b.W(), 1e-9)
	}
	assert.InDelta(t, 0.8*width, lay(t, "Acer 417", stroke.Line{Size: 4, Squeeze: 0.8}).Path.Bounds().W(), 1e-9)
	assert.InDelta(t, 2*width, lay(t, "Acer 417", stroke.Line{Size: 8}).Path.Bounds().W(), 1e-9)
	assert.InDelta(t, width/8, lay(t, "Acer 417", stroke.Line{Size: 0.5}).Path.Bounds().W(), 1e-9)
	assert.InDelta(t, 4*0.662, lay(t, "H", stroke.Line{Size: 4}).Path.Bounds().H(), 1e-9)
	assert.Equal(t, lay(t, "Kůň", stroke.Line{Size: 4}), lay(t, "Ku\u030an\u030c", stroke.Line{Size: 4}))
	assert.True(t, lay(t, "", stroke.Line{Size: 4}).Path.Empty())
	assert.True(t, lay(t, "  ", stroke.Line{Size: 4}).Path.Empty())
	for _, l := range []stroke.Line{{}, {Size: -1}, {Size: math.NaN()}, {Size: math.Inf(1)}, {Size: 1, Squeeze: -1},
		{Size: 1, Anchor: math.NaN()}, {Size: math.Inf(-1)}} {
		_, err := stroke.SingleLine().Lay("x", l)
		assert.Error(t, err)
	}
}

// TestMarkedOnceAlongTheMiddle has lettering hatched in every way: it is traced
// line by line as drawn, scaled too, and leaves whole what lies below it.
func TestMarkedOnceAlongTheMiddle(t *testing.T) {
	art := path.Artwork{Shapes: []path.Shape{lay(t, "Hå 4", stroke.Line{Size: 5})}}.Transform(path.Scale(3, 3))
	shape := art.Shapes[0]
	length := 0.0
	for _, l := range lines(shape.Centre) {
		for i := 1; i < len(l); i++ {
			length += l[i].Dist(l[i-1])
		}
	}
	for name, fill := range map[string]hatch.Group{
		"rows":     {Setting: path.Setting{SpacingMM: 0.1}},
		"inset":    {Setting: path.Setting{SpacingMM: 0.1}, Inset: 0.05, MarkWidth: 0.1},
		"contours": {Setting: path.Setting{SpacingMM: 0.1}, Contours: true},
		"outline":  {Outline: hatch.Outline{When: hatch.Only}},
	} {
		marks, _, err := hatch.Fill(art, hatch.Settings{Groups: []hatch.Group{fill}})
		require.NoError(t, err, name)
		assert.InDelta(t, length, traced(marks), 1e-6, name)
		for i := range marks.Rows {
			assert.Empty(t, marks.Rows[i].Spans, name)
		}
	}
	plate := path.Shape{Paint: path.Paint{Opacity: 1}}
	plate.Path.MoveTo(path.Point{X: -10, Y: -10})
	for _, p := range []path.Point{{X: 90, Y: -10}, {X: 90, Y: 40}, {X: -10, Y: 40}} {
		plate.Path.LineTo(p)
	}
	plate.Path.Close()
	art = path.Artwork{Shapes: []path.Shape{plate, shape}}
	marks, _, err := hatch.Fill(art, hatch.Settings{Groups: []hatch.Group{{Setting: path.Setting{SpacingMM: 0.1}}}})
	require.NoError(t, err)
	assert.Len(t, marks.Rows[0].Spans, 500)
}

func traced(m path.Marks) (length float64) {
	for _, l := range m.Lines {
		for i := 1; i < len(l.Points); i++ {
			length += l.Points[i].Dist(l.Points[i-1])
		}
	}
	return length
}

func TestLicenceIsCarried(t *testing.T) {
	for _, words := range []string{"Dr.", "A. V. Hershey", "James Hurt", "Cognition, Inc.", "NTIS"} {
		assert.Contains(t, stroke.Licence, words)
	}
}

func FuzzLay(f *testing.F) {
	f.Add("Tilia × europaea", 4.0, 0.9)
	f.Add("i\u0328\u0301\u030c\xff", 1e300, 1e-300)
	f.Fuzz(func(t *testing.T, text string, size, squeeze float64) {
		s, err := stroke.SingleLine().Lay(text, stroke.Line{Size: size, Squeeze: squeeze})
		if err == nil && len(s.Centre.Verbs) > 0 && s.Width != path.Hairline {
			t.Error("a stroke with a width")
		}
	})
}

func BenchmarkLay(b *testing.B) {
	for b.Loop() {
		if _, err := stroke.SingleLine().Lay("Quercus robur 0417 Nr", stroke.Line{Size: 4}); err != nil {
			b.Fatal(err)
		}
	}
}
