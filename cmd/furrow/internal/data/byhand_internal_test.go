package data

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The numbers of formats that ISO/IEC 29500-1, 18.8.30, gives dates and times.
func TestFormatsOfDates(t *testing.T) {
	dates := []int{14, 15, 16, 17, 18, 19, 20, 21, 22, 27, 28, 29, 30, 31, 32, 33, 34, 35, 36, 45, 46, 47, 50, 51, 52,
		53, 54, 55, 56, 57, 58}
	for id := range 70 {
		require.Equal(t, slices.Contains(dates, id), dateFormat(id), "%d", id)
	}
	for code, date := range map[string]bool{
		"": false, "0.00": false, "yyyy": true, "0\\m": false, "\"month\" 0": false, "[Red]0": false, "[h]:00": true,
		"[hh]": true, "[$-409]d": true,
		"0_m": false, "*d0": false, "H": true, "[hx]0": false, "\"a\"d": true, "#,##0": false,
	} {
		require.Equal(t, date, dateCode(code), code)
	}
}

func TestLettersOfColumns(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		require.Equal(t, want, letter(i))
	}
}

// A head may have a line break in quotes, and empty lines before it.
func TestFirstRecords(t *testing.T) {
	for text, want := range map[string]string{
		"a,b\nc": "a,b", "\n\na;b\n": "a;b", "\"a\nb\";c\nd": "\"a\nb\";c", "\"a\"\"\n\",b\nc": "\"a\"\"\n\",b",
		"a": "a", "\"a\nb": "\"a\nb",
	} {
		require.Equal(t, want, firstRecord(text), "%q", text)
	}
}

// What separates cells: the one sign of the head, or of several the one by which all rows
// are alike; a line that names it wins.
func TestSeparators(t *testing.T) {
	for text, want := range map[string][]string{
		"a,b\n1,2\n": {"a", "b"}, "a;b\n1;2\n": {"a", "b"}, "a\tb\n1\t2\n": {"a", "b"}, "a\n1\n": {"a"},
		"a,x;b,y\n1;2\n":      {"a,x", "b,y"},
		"sep=;\na,x;b\n1;2\n": {"a,x", "b"}, "\"SEP=\t\"\na,b\tc\n1\t2\n": {"a,b", "c"},
		"\"a;b\",c\n1,2\n": {"a;b", "c"}, "a;b\r\n1;2\r\n": {"a", "b"}, "a;b\r1;2\r": {"a", "b"},
	} {
		table, err := readCSV("a.csv", []byte(text), Options{})
		require.NoError(t, err, "%q", text)
		require.Equal(t, want, table.Columns, "%q", text)
	}
	_, err := readCSV("a.csv", []byte("a,x;b\n1,2;3\n"), Options{})
	require.ErrorContains(t, err, "it cannot be seen what separates the cells")
}

// Rows are counted from the file's first line, with the one that names the separator.
func TestRowsAreThoseOfTheFile(t *testing.T) {
	for text, want := range map[string]int{"a\nx\n": 2, "sep=;\na\nx\n": 3, "a\n\n\nx\n": 4, "\"a\nb\"\nx\n": 3,
		"\n\na\nx": 4} {
		s := records(text, ',', 0, &Problems{})
		if strings.HasPrefix(text, "sep") {
			rest, by, lines := separatorLine(text)
			require.Equal(t, ';', by)
			s = records(rest, by, lines, &Problems{})
		}
		require.Equal(t, want, s.numbers[len(s.numbers)-1], "%q", text)
	}
	_, by, lines := separatorLine("sep=|\na\n")
	require.Zero(t, by)
	require.Zero(t, lines)
}

// A fault is told with its row and column, and reading goes on; a thousand are told.
func TestFaultsOfCells(t *testing.T) {
	p := &Problems{}
	s := records("a,b\n1,2\"3\n4,5\n\"6\"7,8\n9,0\n", ',', 2, p)
	require.Len(t, s.rows, 3)
	require.Equal(t, []string{"9", "0"}, s.rows[2])
	require.Len(t, p.List, 2)
	require.Equal(t, 4, p.List[0].Row)
	require.Equal(t, "B", p.List[0].Column)
	require.Contains(t, p.List[0].What, "a quote inside a cell that is not quoted")
	require.Equal(t, 6, p.List[1].Row)
	require.Equal(t, "A", p.List[1].Column)
	require.Contains(t, p.List[1].What, "a quoted cell does not end as it should")
	p = &Problems{}
	records(strings.Repeat("a\"\n", 1500), ',', 0, p)
	require.Len(t, p.List, 1000)
	for i := range 5 {
		p.add(i, "", "one more")
	}
	require.Len(t, p.List, 1000)
	require.Equal(t, 1000, p.List[999].Row)
}

func TestWhatCellsMayNotHold(t *testing.T) {
	for cell, want := range map[string]string{
		"a": "", "": "", "ö": "", "\x01a": `"\x01a" holds the control character U+0001`, "a\u0085": "U+0085",
		"a\nb": "holds a line break", "\rb": "holds a line break", "\ufffda": "a letter that was lost",
		"a\ufffd": "a letter that was lost", "a\tb": "U+0009",
	} {
		if want == "" {
			require.Empty(t, unreadable(cell))
		} else {
			require.Contains(t, unreadable(cell), want)
		}
	}
}

// Counters count from their start, as wide as they say, and end where they would not fit.
func TestCountersCount(t *testing.T) {
	for _, tt := range []struct {
		c    Counter
		i    int
		want string
	}{
		{Counter{Start: 1}, 0, "1"}, {Counter{Start: 1}, 9, "10"}, {Counter{Start: 5, Step: -2}, 2, "1"},
		{Counter{Start: 5, Step: -2}, 3, ""},
		{Counter{Start: 7, Digits: 3}, 0, "007"}, {Counter{Start: 998, Digits: 3}, 1, "999"}, {Counter{Start: 998,
			Digits: 3}, 2, ""},
		{Counter{Start: 0, Step: 10, Digits: 2}, 9, "90"}, {Counter{Start: 2, Step: -1}, 2, "0"},
	} {
		got, err := tt.c.At(tt.i)
		require.Equal(t, tt.want, got, "%+v", tt)
		require.Equal(t, tt.want == "", err != nil, "%+v", tt)
	}
}

// Rows are made as often as they say; what must be unique may be made once.
func TestQuantitiesOfRows(t *testing.T) {
	table := Table{Columns: []string{"n", "quantity"}, Rows: []Row{{2, []string{"a", "1"}}, {3, []string{"b", "3"}}}}
	parts, p := Parts(table, []Counter{{Name: "c", Start: 1}}, Rules{Used: []string{"n", "c"}})
	require.NoError(t, p.Err())
	var got []string
	for _, x := range parts {
		got = append(got, fmt.Sprint(x.Row, x.Values["n"], x.Values["c"]))
	}
	require.Equal(t, []string{"2a1", "3b2", "3b3", "3b4"}, got)
	_, p = Parts(table, nil, Rules{Used: []string{"n"}, Unique: []string{"n"}})
	require.ErrorContains(t, p.Err(), "it must be unique, and the row is made 3 times")
	for _, n := range []string{"0", "-1", "1.5", "", "20001"} {
		table.Rows[1].Cells[1] = n
		_, p = Parts(table, nil, Rules{Used: []string{"n"}})
		require.ErrorContains(t, p.Err(), "is not a whole number from 1 to 20000", n)
	}
	table.Rows = []Row{{2, []string{"a", "1"}}, {3, []string{"a", "1"}}, {4, []string{"", "1"}}}
	_, p = Parts(table, nil, Rules{Used: []string{"n"}, Unique: []string{"n"}})
	require.Len(t, p.List, 2, "%v", p)
	require.ErrorContains(t, p.Err(), `"a" is in row 2 already, and must be unique`)
	require.ErrorContains(t, p.Err(), "the cell is empty")
	parts, p = Parts(Table{}, nil, Rules{Quantity: 3})
	require.NoError(t, p.Err())
	require.Len(t, parts, 3)
	_, p = Parts(Table{Columns: []string{"n"}}, []Counter{{Name: "n"}}, Rules{Used: []string{"m"},
		Unique: []string{"k"}})
	require.ErrorContains(t, p.Err(), "a counter has the name of a column")
	require.ErrorContains(t, p.Err(), "{m} is neither a column nor a counter: there are n, n")
	require.ErrorContains(t, p.Err(), `there is no column "k" to be unique: there are n`)
}
