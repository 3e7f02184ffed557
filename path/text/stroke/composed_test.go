package stroke_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"furrow/path"
	"furrow/path/text/stroke"
)

// grid is the size at which a unit of the font's grid is a millimetre.
const grid = 1000 / 31.5

func inkOf(t *testing.T, text string) path.Rect {
	t.Helper()
	return lay(t, text, stroke.Line{Size: grid}).Path.Bounds()
}

// roomBeside is what a letter leaves free at its sides, between bars.
func roomBeside(t *testing.T, letter string) float64 {
	t.Helper()
	return inkOf(t, "|"+letter+"|").W() - inkOf(t, letter).W()
}

// Letters that are composed leave as much free at their sides as the font's own do, and
// are no higher or deeper than accents make them.
func TestComposedLettersStandAsOthers(t *testing.T) {
	least, most := 99.0, 0.0
	for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789" {
		room := roomBeside(t, string(r))
		least, most = min(least, room), max(most, room)
	}
	for _, r := range append(letters(), []rune("ıȷłŁđĐħĦŧŦŋŊµμæœŒÆÞþðĳĲŀĿ„…")...) {
		room := roomBeside(t, string(r))
		assert.GreaterOrEqual(t, room, least-2.1, "%c", r) // a stroke may reach out to a side
		assert.LessOrEqual(t, room, most+0.5, "%c", r)
		ink := inkOf(t, string(r))
		assert.LessOrEqual(t, ink.Max.Y, 28.5, "%c", r)
		assert.GreaterOrEqual(t, ink.Min.Y, -8.0, "%c", r)
	}
	assert.InDelta(t, (inkOf(t, "|  |").W()-inkOf(t, "||").W())/4, inkOf(t, "|\u202f|").W()-inkOf(t, "||").W(), 0.01,
		"half a space")
}

// Accents above stand in the middle of their letter, 2.5 units over it or over a small
// letter's height; a cedilla begins at its foot and a comma 2 units below it.
func TestAccentsByHand(t *testing.T) {
	for _, r := range "ÂÊÎÔÛâêôûÄËÏÖÜÅåŮůĀāĒēĂăǍǎŽžŠšŻż" {
		parts := []rune(norm.NFD.String(string(r)))
		base := lay(t, string(parts[0]), stroke.Line{Size: grid})
		strokes := lines(lay(t, string(r), stroke.Line{Size: grid}).Centre)
		own := len(lines(base.Centre))
		accent, letter := path.EmptyRect(), path.EmptyRect()
		for i, s := range strokes {
			if i < own {
				letter = letter.Union(path.BoundsOf(s))
			} else {
				accent = accent.Union(path.BoundsOf(s))
			}
		}
		require.InDelta(t, base.Path.Bounds().W(), letter.W(), 0.01, "%c", r)
		assert.InDelta(t, letter.Centre().X, accent.Centre().X, 0.01, "%c", r)
		drop := map[rune]float64{'\u0304': 1.5, '\u0306': 0.5}[parts[1]] // how far above its foot it begins
		assert.InDelta(t, max(letter.Max.Y, 14)+2.5+drop, accent.Min.Y, 0.05, "%c", r)
	}
	for r, depth := range map[rune]float64{'Ç': 4.7, 'ç': 4.7, 'Ş': 4.7, 'Ș': 5, 'ț': 5, 'Ķ': 5, 'ņ': 5} {
		base := inkOf(t, string([]rune(norm.NFD.String(string(r)))[0]))
		assert.InDelta(t, min(0, base.Min.Y)-depth, inkOf(t, string(r)).Min.Y, 0.05, "%c", r)
	}
	for _, r := range "ĄąĘęĮįŲų" { // an ogonek hangs from the foot that is farthest right, or the middle
		base, ink := inkOf(t, string([]rune(norm.NFD.String(string(r)))[0])), inkOf(t, string(r))
		assert.InDelta(t, -4.2, ink.Min.Y, 0.05, "%c", r)
		assert.LessOrEqual(t, ink.W(), base.W()+3, "%c", r)
	}
	assert.InDelta(t, inkOf(t, "A").W()+1.3, inkOf(t, "Ą").W(), 0.05, "at its right foot")
	assert.InDelta(t, inkOf(t, "I").Centre().X+1.3+1.5, inkOf(t, "Į").W(), 0.05, "at its only one")
}

// What is typed in several ways is one letter, and letters are joined as close as they
// are said to be.
func TestLettersThatAreAlike(t *testing.T) {
	for other, r := range map[string]string{
		"\u2010": "-", "\u2011": "-", "\u2019": "'", "\u02bc": "'", "\u2032": "'", "\u2033": `"`,
		"\u2018": "`", "\u201a": ",",
		"\u2022": "·", "\u2009": "\u202f", "\u2212": "\u2013", "\u03bc": "µ", "ẞ": "ß", "Đ": "Ð",
	} {
		assert.Equal(t, lines(lay(t, "a"+r+"a", stroke.Line{Size: 4}).Centre),
			lines(lay(t, "a"+other+"a", stroke.Line{Size: 4}).Centre), r)
	}
	assert.InDelta(t, inkOf(t, "a").W()+inkOf(t, "e").W(), inkOf(t, "æ").W(), 0.01)
	assert.InDelta(t, inkOf(t, "i").W()+4+inkOf(t, "j").W(), inkOf(t, "ĳ").W(), 0.01)
	assert.InDelta(t, inkOf(t, "l").W()+3+inkOf(t, "·").W(), inkOf(t, "ŀ").W(), 0.01)
	assert.InDelta(t, 3*inkOf(t, ".").W()+12, inkOf(t, "…").W(), 0.01)
	assert.InDelta(t, inkOf(t, "\u201d").Max.Y-17, inkOf(t, "„").Max.Y, 0.01)
	assert.InDelta(t, inkOf(t, "i").W(), inkOf(t, "ı").W(), 0.01+inkOf(t, "i").W())
	assert.Less(t, inkOf(t, "ı").Max.Y, 15.0, "no dot")
	assert.Less(t, inkOf(t, "ȷ").Max.Y, 15.0)
}

// A line is as long as ten thousand letters, black, and as thin as can be.
func TestLinesAreBounded(t *testing.T) {
	s := lay(t, strings.Repeat("l", 10_000), stroke.Line{Size: 4})
	assert.Len(t, lines(s.Centre), 10_000)
	assert.Equal(t, path.Paint{Opacity: 1}, s.Paint)
	assert.Equal(t, path.Hairline, s.Width)
	_, err := stroke.SingleLine().Lay(strings.Repeat("l", 10_001), stroke.Line{Size: 4})
	assert.EqualError(t, err, "10001 letters in one line: use 10000 at most")
}

// An accent takes the place of a dot. The caron of d, t and l is an apostrophe 3 units to
// the right, as high as a capital, 5 units long. Letters drawn whole have a unit of room
// at their right, as A has at its left.
func TestDrawnLettersByHand(t *testing.T) {
	for letter, strokes := range map[string]int{"ï": 3, "í": 2, "ĵ": 2, "į": 3, "ı": 1} {
		assert.Len(t, lines(lay(t, letter, stroke.Line{Size: grid}).Centre), strokes, letter)
	}
	for letter, base := range map[string]string{"ď": "d", "ť": "t", "ľ": "l", "Ľ": "L"} {
		all := lines(lay(t, letter, stroke.Line{Size: grid}).Centre)
		last := all[len(all)-1]
		require.Len(t, last, 2, letter)
		assert.InDelta(t, inkOf(t, base).W()+3, last[0].X, 0.01, letter)
		assert.InDelta(t, 21, last[0].Y, 0.01, letter)
		assert.InDelta(t, 0, last[0].Sub(path.Point{X: 1, Y: 5}).Dist(last[1]), 0.01, letter)
	}
	a := inkOf(t, "A").W()
	for letter, room := range map[string]float64{"ď": 1.5, "Þ": 1, "Æ": 1} {
		assert.InDelta(t, inkOf(t, letter).W()+room+1+a, inkOf(t, letter+"A").W(), 0.01, letter)
	}
	assert.InDelta(t, 13, inkOf(t, "Þ").W(), 0.01)
	assert.InDelta(t, 19, inkOf(t, "Æ").W(), 0.01)
}

// Between bars an accented letter stands as its letter does, or a unit from its place where
// its accent is as wide as its room, as A does.
func TestAccentedLettersStandAsTheirLetters(t *testing.T) {
	for _, r := range "áÁéÓùçÇñÊőŷ" {
		base := string([]rune(norm.NFD.String(string(r)))[0])
		assert.InDelta(t, inkOf(t, "|"+base+"|").W(), inkOf(t, "|"+string(r)+"|").W(), 0.01, "%c", r)
		assert.InDelta(t, inkOf(t, "|"+base).W(), inkOf(t, "|"+string(r)).W(), 0.01, "%c", r)
	}
	beside := inkOf(t, "|A").W() - inkOf(t, "A").W()
	for _, r := range "ïÏĩĨ" {
		assert.InDelta(t, beside, inkOf(t, "|"+string(r)).W()-inkOf(t, string(r)).W(), 0.01, "%c", r)
	}
}

// The width is that of the ink: 16 of 31.5 units of the size for A, which has a unit of its
// 18 free at each side.
func TestWidthOfInk(t *testing.T) {
	for text, units := range map[string]float64{"A": 16, "AA": 34, "": 0, "l": 0} {
		w, err := stroke.SingleLine().Width(text, stroke.Line{Size: 2 * grid, Squeeze: 0.5})
		require.NoError(t, err)
		assert.InDelta(t, units, w, 0.03, text)
	}
	_, err := stroke.SingleLine().Width("銀", stroke.Line{Size: 1})
	assert.Error(t, err)
	for _, anchor := range []float64{math.Inf(1), math.Inf(-1)} {
		_, err = stroke.SingleLine().Width("A", stroke.Line{Size: 1, Anchor: anchor})
		assert.Error(t, err)
	}
	_, err = stroke.SingleLine().Width("ő", stroke.Line{Size: 1})
	assert.NoError(t, err)
}

// Strokes that are put on a letter stand where they belong to it: at its stem on the left
// or right, through its stem, or across its middle.
func TestStrokesOnLetters(t *testing.T) {
	assert.InDelta(t, inkOf(t, "o").W()+inkOf(t, "e").W(), inkOf(t, "œ").W(), 0.01)
	assert.InDelta(t, inkOf(t, "O").W()+inkOf(t, "E").W(), inkOf(t, "Œ").W(), 0.01)
	for letter, base := range map[string]string{"þ": "p", "µ": "u", "ŋ": "n", "Ŋ": "N", "ð": "o", "ħ": "h", "đ": "d",
		"Ł": "L", "ŧ": "t", "Ŧ": "T", "ł": "l"} {
		under := lines(lay(t, base, stroke.Line{Size: grid}).Centre)
		all := lines(lay(t, letter, stroke.Line{Size: grid}).Centre)
		require.Greater(t, len(all), len(under), letter)
		own := path.EmptyRect() // of the letter below
		for _, s := range all[:len(under)] {
			own = own.Union(path.BoundsOf(s))
		}
		on := all[len(under)]
		box := path.BoundsOf(on)
		switch letter {
		case "þ", "µ":
			assert.InDelta(t, own.Min.X, box.Min.X, 0.01, letter)
			assert.InDelta(t, 0, box.W(), 0.01, letter)
		case "ŋ", "Ŋ":
			assert.InDelta(t, 0, path.Point{X: own.Max.X}.Dist(on[0]), 0.01, letter)
			assert.InDelta(t, -7, box.Min.Y, 0.01, letter)
		case "ð":
			assert.InDelta(t, own.Max.X, on[0].X, 0.01, letter)
		case "ħ", "Ł":
			assert.True(t, box.Min.X < own.Min.X-1 && own.Min.X+3 < box.Max.X, letter)
		case "đ":
			assert.True(t, box.Min.X < own.Max.X-3 && own.Max.X+1 < box.Max.X, letter)
		default:
			assert.InDelta(t, own.Centre().X, box.Centre().X, 0.01, letter)
		}
	}
}
