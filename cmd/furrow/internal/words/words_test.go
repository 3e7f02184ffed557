package words_test

import (
	"testing"
	"time"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func TestNumbersAreWordedForPeople(t *testing.T) {
	for n, want := range map[int64]string{0: "0", 999: "999", 1000: "1,000", -1000: "-1,000", 1234567: "1,234,567"} {
		require.Equal(t, want, words.Thousands(n))
	}
	for _, tt := range []struct {
		v      float64
		digits int
		want   string
	}{{1.50, 2, "1.5"}, {2, 3, "2"}, {-0.0001, 2, "0"}, {0.126, 2, "0.13"}, {100, 0, "100"}} {
		require.Equal(t, tt.want, words.Decimal(tt.v, tt.digits))
	}
	require.Equal(t, "1 pass", words.Plural(1, "pass"))
	require.Equal(t, "2 passes", words.Plural(2, "pass"))
	require.Equal(t, "1,000 spans", words.Plural(1000, "span"))
	require.Equal(t, "999.9 mm", words.Metres(999.9))
	require.Equal(t, "54.0 m", words.Metres(54_000))
}

func TestTimesAreWordedForPeople(t *testing.T) {
	for d, want := range map[time.Duration][2]string{
		400 * time.Millisecond:       {"0.40 s", "0.40 s"},
		59 * time.Second:             {"59 s", "0:59"},
		654 * time.Second:            {"10 min 54 s", "10:54"},
		3600*time.Second - 1:         {"1 h 00 min", "1:00:00"}, // not 60 min 00 s
		65*time.Minute + time.Second: {"1 h 05 min", "1:05:01"},
	} {
		require.Equal(t, want, [2]string{words.Duration(d), words.ClockTime(d)}, d)
	}
}

// What reaches past a side by less than a rule can tell is not told.
func TestSidesAreTold(t *testing.T) {
	room := path.Rect{Max: path.Point{X: 60, Y: 90}}
	r := path.Rect{Min: path.Point{X: -0.04, Y: -1.25}, Max: path.Point{X: 72, Y: 90}}
	require.Equal(t, "12.00 mm right, 1.25 mm below", words.PastSides(r, room))
	require.Empty(t, words.PastSides(room, room))
	require.Equal(t, "X 0 to 60, Y 0 to 90", words.Place(room))
}

// One line is told of all parts that it is true of.
func TestShareNamesTheParts(t *testing.T) {
	all := words.Share(nil, "hatch", "same")
	all = words.Share(all, "part 1", "other")
	all = words.Share(all, "part 2", "same")
	require.Equal(t, []words.Shared{
		{Text: "same", Names: []string{"hatch", "part 2"}}, {Text: "other", Names: []string{"part 1"}},
	}, all)
}

func TestWrappedKeepsToItsWidth(t *testing.T) {
	require.Equal(t, "  a bb\n  ccc\n  dddddddd\n", words.Wrapped("a bb ccc dddddddd", "  ", 8))
}
