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
	for d, want := range map[time.Duration]string{
		0:                              "0.00 s",
		400 * time.Millisecond:         "0.40 s",
		994 * time.Millisecond:         "0.99 s",
		995 * time.Millisecond:         "0:01.0", // not 1.00 s
		1640 * time.Millisecond:        "0:01.6",
		9949 * time.Millisecond:        "0:09.9",
		9950 * time.Millisecond:        "0:10", // not 0:10.0
		59 * time.Second:               "0:59",
		554 * time.Second:              "9:14",
		3600*time.Second - 1:           "1:00:00", // not 60:00
		3750 * time.Second:             "1:02:30",
		1000*time.Hour + 5*time.Second: "1,000:00:05",
	} {
		require.Equal(t, want, words.Time(d), d)
	}
}

// A saving is told no finer than half a percent of the whole, reckoned by hand.
func TestSavingsAreToldAsWellAsTheyAreKnown(t *testing.T) {
	for _, tt := range []struct {
		saved, of float64
		want      string
	}{
		{19.3, 530, "20 s"},   // half a percent is 2.65 s
		{412.4, 1000, "6:50"}, // 5 s
		{412.4, 100, "6:52"},  // half a second, and then whole ones
		{9.4, 190, "9 s"},     // 0.95 s
		{0.123, 2, "0.12 s"},  // 0.01 s
		{7500, 36_000, "2:05:00"},
		{29, 6_000, "30 s"},
		{100, 1e9, "0 s"},
	} {
		require.Equal(t, tt.want, words.Saving(words.Seconds(tt.saved), words.Seconds(tt.of)), "%v", tt)
	}
}

func TestThousandsStandApart(t *testing.T) {
	for v, want := range map[float64]string{1500: "1,500", 999.5: "999.5", -1234567.25: "-1,234,567.25", 0.0625: "0.06", -0.5: "-0.5"} {
		require.Equal(t, want, words.Number(v, 2))
	}
	require.Equal(t, "1,234.5 m", words.Metres(1_234_500))
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
