package stroke_test

import (
	"encoding/xml"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"furrow/path"
	"furrow/path/text/stroke"
)

// places lists places on a path of M, L and C: all ends, and three on each curve by the
// formula of a cubic.
func places(t *testing.T, d string) (all []path.Point) {
	t.Helper()
	words := regexp.MustCompile(`[MLC]|-?[0-9.]+`).FindAllString(d, -1)
	for at := 0; at < len(words); {
		n := map[string]int{"M": 1, "L": 1, "C": 3}[words[at]]
		require.Positive(t, n, words[at])
		var p []path.Point
		for i := range n {
			x, err := strconv.ParseFloat(words[at+1+2*i], 64)
			require.NoError(t, err)
			y, err := strconv.ParseFloat(words[at+2+2*i], 64)
			require.NoError(t, err)
			p = append(p, path.Point{X: x, Y: y})
		}
		if n == 3 {
			a := all[len(all)-1]
			for _, t := range []float64{0.25, 0.5, 0.75} {
				u := 1 - t
				all = append(all, a.Mul(u*u*u).Add(p[0].Mul(3*u*u*t)).Add(p[1].Mul(3*u*t*t)).Add(p[2].Mul(t*t*t)))
			}
		}
		all, at = append(all, p[n-1]), at+1+2*n
	}
	return all
}

// composed are letters that the package draws itself, as it does all that Unicode takes
// apart into a letter and accents.
const composed = "ıȷłŁđĐħĦŧŦŋŊµæœŒÆÞþðĳĲŀĿẞ„…\u202f\u2010\u2011\u2019\u02bc\u2032\u2033\u2018\u201a\u2022\u2009\u2212"

// Every other letter of the font's file is drawn through the places of its path, to a
// twentieth of the grid's unit: 1000 units are the size, and X is from the left of the
// ink.
func TestLettersAreThoseOfTheFile(t *testing.T) {
	var file struct {
		Glyphs []struct {
			Letter string `xml:"unicode,attr"`
			D      string `xml:"d,attr"`
		} `xml:"defs>font>glyph"`
	}
	data, err := os.ReadFile("hershey-sans.svg")
	require.NoError(t, err)
	require.NoError(t, xml.Unmarshal(data, &file))
	curved := 0
	for _, g := range file.Glyphs {
		want := places(t, g.D)
		if len(want) == 0 || len([]rune(norm.NFD.String(g.Letter))) != 1 || strings.Contains(composed, g.Letter) ||
			len(lines(lay(t, g.Letter, stroke.Line{Size: 1000}).Centre)) == 0 {
			continue
		}
		if regexp.MustCompile("C").MatchString(g.D) {
			curved++
		}
		drawn := lines(lay(t, g.Letter, stroke.Line{Size: 1000}).Centre)
		// Where the ink begins is not known of curves, so the first place says it.
		shift := drawn[0][0].Sub(want[0])
		require.InDelta(t, 0, shift.Y, 1e-6, g.Letter)
		for _, p := range want {
			p = p.Add(shift)
			least := 1e9
			for _, l := range drawn {
				for i := 1; i < len(l); i++ {
					d := l[i].Sub(l[i-1])
					s := min(1, max(0, p.Sub(l[i-1]).Dot(d)/max(d.Dot(d), 1e-12)))
					least = min(least, p.Dist(l[i-1].Lerp(l[i], s)))
				}
			}
			require.LessOrEqual(t, least, 31.5/20+1e-6, "%s at %v", g.Letter, p)
		}
	}
	require.Greater(t, curved, 2)
	require.Greater(t, len(file.Glyphs), 90)
}
