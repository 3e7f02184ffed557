package better_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"

	"github.com/stretchr/testify/require"
)

// drawn asks for elements on a page of 80 x 50 mm, as asked for, in rows 0.2 mm apart.
func drawn(inner string) func(*better.Question) {
	return func(q *better.Question) {
		q.AsAsked = true
		spacing := value.Spacing{MM: 0.2}
		q.Asked.Fill.Spacing = &spacing
		q.Read = func(j job.Resolved) (work.Drawing, error) {
			return work.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="50mm" `+
				`viewBox="0 0 80 50">`+
				inner+`</svg>`), j)
		}
	}
}

const (
	frame = `<path id="frame" fill-rule="evenodd" d="M0 0h80v50H0zM1 1v48h78V1z"/>`
	plate = `<path id="plate" d="M0 0h80v50H0z"/>`
	block = `<path id="block" d="M20 15h40v20H20z"/>`
)

// adviceOf is what is advised of the work on an entry, of contours alone.
func adviceOf(t *testing.T, e *better.Entry) string {
	t.Helper()
	all, err := better.Advise(*e.Work)
	require.NoError(t, err)
	i := slices.IndexFunc(all, func(s string) bool { return strings.HasPrefix(s, "contour-parallel fill") })
	if i < 0 {
		return ""
	}
	return all[i]
}

// Contours of a frame are advised, by the time that the clock gives the work with them;
// the rows of a plate are quick already, and a cross-hatch lays down twice the dose.
func TestContoursOfAFrameAreAdvised(t *testing.T) {
	e := compared(t, drawn(frame))
	words := adviceOf(t, e)
	require.Contains(t, words, "looks different")
	in := e.Work.Input
	in.Groups = slices.Clone(in.Groups)
	in.Groups[0].Contours = true
	other, err := work.Make(in)
	require.NoError(t, err)
	saves := (e.Work.Clock.Total() - other.Clock.Total()).Seconds()
	require.Greater(t, saves, 0.5*e.Work.Clock.Total().Seconds())
	said := regexp.MustCompile(`saves ([\d.]+) s$`).FindStringSubmatch(words)
	require.NotNil(t, said, words)
	require.InDelta(t, saves, seconds(t, said[1]), 0.01*e.Work.Clock.Total().Seconds())
	require.Greater(t, other.Clock.Hottest.Times, 1.5)
	require.Less(t, e.Work.Clock.Hottest.Times, other.Clock.Hottest.Times)
	up := regexp.MustCompile(`the outline and up to ([\d.]+) times the dose where the head slows down, and`).
		FindStringSubmatch(words)
	require.NotNil(t, up, words)
	require.InDelta(t, other.Clock.Hottest.Times, seconds(t, up[1]), 0.051)

	require.Empty(t, adviceOf(t, compared(t, drawn(plate))))
	require.Empty(t, adviceOf(t, compared(t, func(q *better.Question) {
		drawn(frame)(q)
		cross := value.Number(90)
		q.Asked.Fill.Cross = &cross
	})))
	require.Empty(t, adviceOf(t, compared(t, func(q *better.Question) {
		drawn(frame)(q)
		contours := true
		q.Asked.Fill.Contours = &contours
	})))
}

// Where one group is a frame, the advice is for that one.
func TestContoursAreAdvisedOfTheGroup(t *testing.T) {
	e := compared(t, func(q *better.Question) {
		drawn(block + frame)(q)
		q.Job.Groups = []job.Group{{Pick: "#block"}, {Pick: "#frame"}}
	})
	require.Contains(t, adviceOf(t, e), "fill of group 2 (#frame) looks different")
	e = compared(t, func(q *better.Question) {
		drawn(block + frame)(q)
		q.Job.Groups = []job.Group{{Pick: "#frame"}}
	})
	require.Contains(t, adviceOf(t, e), "fill of group 1 (#frame) looks different")
}

// Contours are tried where they are soon made: not of many thousand corners, and what is
// too tangled for them is no error.
func TestContoursAreTriedWhereTheyAreSoonMade(t *testing.T) {
	ragged := strings.Builder{}
	ragged.WriteString(`<path d="M0 0`)
	for i := range 120_000 {
		fmt.Fprintf(&ragged, "L%.4f %d", float64(i)*80/120_000, i%2)
	}
	ragged.WriteString(`V50H0z"/><path fill="#fff" d="M2 2v46h76V2z"/>`)
	require.Empty(t, adviceOf(t, compared(t, drawn(ragged.String()))))
}

func seconds(t *testing.T, text string) (s float64) {
	t.Helper()
	_, err := fmt.Sscan(text, &s)
	require.NoError(t, err)
	return s
}
