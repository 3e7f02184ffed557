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
		require.Equal(t, tt.want != "0 s", words.Tells(words.Seconds(tt.saved), words.Seconds(tt.of)), "%v", tt)
	}
}

// Every step by a time that half of a percent of just comes to it, and by one of which it is
// just too fine, with a saving that no other step gives so.
func TestStepsOfSavings(t *testing.T) {
	for _, tt := range []struct {
		of    float64
		saved map[float64]string
	}{
		{1.9, map[float64]string{0.071: "0.07 s", 0.074: "0.07 s", 0.076: "0.08 s"}},
		{2.1, map[float64]string{0.071: "0.08 s", 0.069: "0.06 s"}},
		{9.9, map[float64]string{0.37: "0.35 s", 0.38: "0.4 s"}},
		{10.1, map[float64]string{0.37: "0.4 s", 0.74: "0.7 s"}},
		{21, map[float64]string{0.74: "0.8 s", 1.31: "1.4 s"}},
		{41, map[float64]string{1.31: "1.5 s", 3.2: "3 s"}},
		{101, map[float64]string{3.2: "3 s", 3.6: "4 s", 59.4: "59 s", 59.6: "1:00"}},
		{99, map[float64]string{59.6: "59.5 s", 60: "1:00", 60.9: "1:01", 61: "1:01"}},
		{201, map[float64]string{7.2: "8 s", 14.8: "14 s"}},
		{401, map[float64]string{33: "35 s", 58: "1:00"}},
		{1001, map[float64]string{74: "1:10", 76: "1:20"}},
		{2001, map[float64]string{97: "1:30", 98: "1:45"}},
		{3001, map[float64]string{97: "1:30", 106: "2:00", 434: "7:00"}},
		{6001, map[float64]string{434: "7:00", 449: "7:00", 451: "8:00"}},
		{12_001, map[float64]string{834: "14:00", 835: "14:00", 901: "16:00"}},
		{24_001, map[float64]string{2090: "35:00", 1049: "15:00"}},
		{60_001, map[float64]string{4190: "1:10:00", 4210: "1:10:00", 299: "0 s"}},
		{120_001, map[float64]string{6299: "1:45:00", 6290: "1:45:00", 6749: "1:45:00"}},
		{180_001, map[float64]string{12_599: "3:30:00", 13_501: "4:00:00"}},
		{360_001, map[float64]string{25_100: "7:00:00", 26_999: "7:00:00"}},
		{1e6, map[float64]string{8_999: "2:00:00", 9_001: "3:00:00", 1_799: "0 s"}},
	} {
		for saved, want := range tt.saved {
			require.Equal(t, want, words.Saving(words.Seconds(saved), words.Seconds(tt.of)), "%g of %g", saved, tt.of)
		}
	}
}

func TestThousandsStandApart(t *testing.T) {
	require.Equal(t, ".5678", words.Grouped(".5678"))
	for v, want := range map[float64]string{1500: "1,500", 999.5: "999.5", -1234567.25: "-1,234,567.25",
		0.0625: "0.06", -0.5: "-0.5"} {
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

func TestNumbersOfPartsAreJoined(t *testing.T) {
	for want, all := range map[string][]int{
		"": nil, "7": {7}, "7, 8": {7, 8}, "1 to 3": {1, 2, 3}, "1, 3, 5 to 7, 9, 10": {1, 3, 5, 6, 7, 9, 10},
		"7, 12 to 14": {7, 12, 13, 14},
	} {
		require.Equal(t, want, words.Numbers(all))
	}
}

func TestWordsAreListed(t *testing.T) {
	for want, all := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"},
		"a, b, c and d": {"a", "b", "c", "d"}} {
		require.Equal(t, want, words.And(all))
	}
}

// At the turn of each unit.
func TestWhereUnitsTurn(t *testing.T) {
	for d, want := range map[time.Duration]string{
		10 * time.Second: "0:10", 59*time.Second + 499*1e6: "0:59", 59*time.Second + 500*1e6: "1:00",
		61 * time.Second:   "1:01",
		3599 * time.Second: "59:59", 3600 * time.Second: "1:00:00", 26*time.Hour + 59*time.Minute: "26:59:00",
		3661 * time.Second: "1:01:01",
	} {
		require.Equal(t, want, words.Time(d), d)
	}
	require.Equal(t, "1.0 m", words.Metres(1000))
	require.Equal(t, "0.1", words.Shortest(0.1))
	require.Equal(t, "100000", words.Shortest(1e5))
	require.Equal(t, 1500*time.Millisecond, words.Seconds(1.5))
	require.Equal(t, "0 parts", words.Plural(0, "part"))
	require.Equal(t, "-999", words.Thousands(-999))
	require.Equal(t, "-10,000", words.Thousands(-10_000))
	require.Equal(t, []string{"time", "", ""}, []string{words.OnlyFirst("time", 0), words.OnlyFirst("time", 1),
		words.OnlyFirst("time", 2)})
}

// Each side by its own name, from a twentieth of a millimetre on.
func TestEachSideIsTold(t *testing.T) {
	room := path.Rect{Min: path.Point{X: 10, Y: 20}, Max: path.Point{X: 60, Y: 90}}
	r := path.Rect{Min: path.Point{X: 9, Y: 18}, Max: path.Point{X: 63, Y: 94}}
	require.Equal(t, "1.0 mm left, 3.0 mm right, 2.0 mm below, 4.0 mm above", words.Sides(r, room, 1))
	require.Empty(t, words.Sides(path.Rect{Min: path.Point{X: 11, Y: 21}, Max: path.Point{X: 59, Y: 89}}, room, 1))
	require.Equal(t, "0.051 mm above", words.Sides(path.Rect{Min: room.Min, Max: path.Point{X: 60, Y: 90.051}}, room,
		3))
	require.Equal(t, "54.0 x 76.0 mm, X 9 to 63, Y 18 to 94", words.Rect(r))
	fine := path.Rect{Min: path.Point{X: 1.00049, Y: -2.00451}, Max: path.Point{X: 3.1296, Y: 4.0003}}
	require.Equal(t, "X 1 to 3.13, Y -2.005 to 4", words.Place(fine), "to a micrometre")
}

func TestWrappedFillsItsLines(t *testing.T) {
	require.Equal(t, "aa bb\ncc\n", words.Wrapped("aa bb cc", "", 5))
	require.Equal(t, "aa\nbb\n", words.Wrapped("  aa\n bb ", "", 4))
	require.Equal(t, " aaaa\n", words.Wrapped("aaaa", " ", 3))
	require.Equal(t, " \n", words.Wrapped("", " ", 3))
}

// A circle is round however its sides were reckoned, and what is longer than wide by a
// micrometre is an oval.
func TestRoundOrOval(t *testing.T) {
	require.Equal(t, "round", words.Round(50, 50.0000001))
	require.Equal(t, "oval", words.Round(50, 50.001))
	require.Equal(t, "oval", words.Round(50, 30))
}
