package data

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// More than a million rows are refused, whatever they hold.
func TestMostRows(t *testing.T) {
	s := &sheet{rows: make([][]string, maxRows+2), numbers: make([]int, maxRows+2)}
	row := []string{"x"}
	s.rows[0] = []string{"n"}
	for i := range s.rows[1:] {
		s.rows[i+1] = row
	}
	p := &Problems{File: "a.csv"}
	s.table(p)
	require.EqualError(t, p.Err(), "a.csv: 1000001 rows are too many: 1000000 is the most")
	s.rows = s.rows[:maxRows+1]
	p = &Problems{}
	require.Len(t, s.table(p).Rows, 1_000_000)
	require.NoError(t, p.Err())
}

// A row may be made twenty thousand times, and all rows together no oftener; nor may parts that
// only a counter tells apart.
func TestMostParts(t *testing.T) {
	table := Table{Columns: []string{"quantity", "n"}}
	for text, want := range map[string]int{"1": 1, "20000": 20_000} {
		n, err := table.quantity(Row{Cells: []string{text, "x"}})
		require.NoError(t, err)
		require.Equal(t, want, n)
	}
	_, err := table.quantity(Row{Cells: []string{"20001", "x"}})
	require.EqualError(t, err, `"20001" is not a whole number from 1 to 20000`)
	table.Rows = []Row{{2, []string{"2", "x"}}, {3, []string{"19999", "y"}}, {4, []string{"7", "z"}}}
	p := &Problems{}
	require.Len(t, table.repeat(p), 2)
	require.EqualError(t, p.Err(), `row 3, column "quantity": the parts up to here are more than 20000`)
	require.Equal(t, "make it as several orders, each of some of the rows and numbers", p.Hint())
	for quantity, want := range map[int]string{20_000: "",
		20_001: "the parts with a number of their own are more than 20000"} {
		parts, p := Parts(Table{}, []Counter{{Name: "c"}}, Rules{Used: []string{"c"}, Quantity: quantity})
		require.Len(t, parts, 20_000)
		require.Equal(t, want != "", p.Err() != nil)
		require.Contains(t, fmt.Sprint(p.Err()), want)
		parts, p = Parts(Table{}, nil, Rules{Quantity: quantity})
		require.Len(t, parts, quantity, "all alike")
		require.NoError(t, p.Err())
	}
	n, err := Table{Columns: []string{"n"}}.quantity(Row{Cells: []string{"7"}})
	require.NoError(t, err)
	require.Equal(t, 1, n, "no such column")
	// What is not a number counts once, so that the rest can be looked at.
	table.Rows = []Row{{2, []string{"two", "x"}}, {3, []string{"2", "y"}}}
	p = &Problems{}
	require.Len(t, table.repeat(p), 3)
}

// Whose problem it is: the file's, or a part's; and where it is told.
func TestProblemsInWords(t *testing.T) {
	for want, q := range map[string]Problem{
		"it is empty": {What: "it is empty"}, `row 3: it is empty`: {Row: 3, What: "it is empty"},
		`column "B": it is empty`:        {Column: "B", What: "it is empty"},
		`row 3, column "B": it is empty`: {Row: 3, Column: "B", What: "it is empty"},
		"part 2, it does not fit":        {Part: 2, What: "it does not fit"},
		"row 3: part 2, it does not fit": {Row: 3, Part: 2, What: "it does not fit"},
	} {
		require.Equal(t, want, q.String())
	}
	p := &Problems{File: "a.csv", List: []Problem{{Part: 1, What: "x"}, {Warning: true, What: "y"}}}
	require.True(t, p.OfParts())
	p.List = append(p.List, Problem{Row: 2, What: "z"})
	require.False(t, p.OfParts())
	require.Equal(t, "a.csv: part 1, x\na.csv: row 2: z", p.Error())
	require.True(t, (&Problems{}).OfParts())
	require.Equal(t, []Problem{{Row: 0, What: "b"}, {Row: 1, What: "a"}, {Row: 1, What: "c"}},
		(&Problems{List: []Problem{{Row: 1, What: "a"}, {What: "b"}, {Row: 1, What: "c"}}}).Sorted())
	require.Equal(t, "x", (&Problems{List: []Problem{{What: "x"}}}).Error(), "of no file")
	require.Error(t, (&Problems{List: []Problem{{What: "x"}}}).Err())
	require.NoError(t, (&Problems{List: []Problem{{What: "x", Warning: true}}}).Err())
	require.Equal(t, "none", list(nil))
	require.Equal(t, "a, b", list([]string{"a", "b"}))
}

// A sign that is not plain is shown as each encoding reads it: the first three cells that
// hold one, and of each its first forty bytes; what reads alike is shown once.
func TestForeignWords(t *testing.T) {
	long := strings.Repeat("a", 39) + "\xfc" + strings.Repeat("b", 9)
	got := foreign([]byte("plain,M\xfcller;\"M\xfcller\"\n" + long + "\tN\xe9\r\xd6,\xe4"))
	require.Equal(t, []string{"M\xfcller", strings.Repeat("a", 39) + "\xfc", "N\xe9"},
		[]string{string(got[0]), string(got[1]), string(got[2])})
	require.Len(t, got, 3)
	// U+0080 is the first that is not plain.
	require.Equal(t, [][]byte{[]byte("\u0080"), []byte("\xff")}, foreign([]byte("\x7f,\u0080,\xff,\u0080")))
	err := newEncodingError("a.csv", []byte("n\r\nM\xfcller\r\n"))
	var e *EncodingError
	require.ErrorAs(t, err, &e)
	require.Equal(t, 2, e.Row)
	seen := map[string]bool{}
	for _, r := range e.Reading {
		require.False(t, seen[fmt.Sprint(r.Words)], "%v", r)
		seen[fmt.Sprint(r.Words)] = true
	}
	require.Equal(t, []string{"Müller"}, e.Reading[0].Words)
	_, err = decode("a.csv", []byte("\xfe\xff\x00a"), "")
	require.EqualError(t, err, `a.csv is UTF-16: write encoding = "utf-16", or save it as UTF-8`)
	for _, name := range []string{"", "utf-8", "UTF8", "Utf-8"} {
		text, err := decode("a.csv", []byte("\xef\xbb\xbfü"), name)
		require.NoError(t, err)
		require.Equal(t, "ü", text)
	}
	text, err := decode("a.csv", []byte("\xff\xfe\xfc\x00"), "UTF-16")
	require.NoError(t, err)
	require.Equal(t, "ü", text)
	text, err = decode("a.csv", []byte("\xfc\x00"), "utf-16le")
	require.NoError(t, err)
	require.Equal(t, "ü", text)
	_, err = encodingOf("replacement")
	require.ErrorContains(t, err, "is not an encoding that can be read: use utf-8, utf-16, windows-1252, ")
}

// The place of a fault is the number of separators before it on its line.
func TestColumnsOfFaults(t *testing.T) {
	for text, want := range map[string]string{"a,b,c\n1,2,3\"\n": "C", "a,b,c\n\"1\"x,2,3\n": "A",
		"a,b,c\n1,\"2\"x,3\n": "B"} {
		p := &Problems{}
		records(text, ',', 0, p)
		require.Equal(t, want, p.List[0].Column, text)
	}
	// An open quote takes in the rest, and is told where it begins.
	p := &Problems{}
	records("a\n1\n\"2\n3\n4\n", ',', 5, p)
	require.Equal(t, 3+5, p.List[0].Row)
	require.Equal(t, "other", worded(fmt.Errorf("other")))
	require.True(t, regular("a,b\n1,2\n", ','))
	require.False(t, regular("a,b\n1\n", ','))
	require.False(t, regular("a,b\n1,2\"\n", ','))
	require.True(t, regular("", ','))
}

// What can name a placeholder.
func TestNameable(t *testing.T) {
	for name, want := range map[string]bool{
		"a": true, "Latin name": true, "": false, " a": false, "a ": false, "a{": false, "a}": false, "a\nb": false,
		"+a": false, "#a": false, ".a": false,
		"/a": false, ";a": false, "?a": false, "&a": false, "=a": false, ",a": false, "!a": false, "@a": false,
		"|a": false, "a+": true, "é": true,
	} {
		require.Equal(t, want, Nameable(name), name)
	}
	text, err := ParseTemplate("{{a}}{b}{b} c")
	require.NoError(t, err)
	require.Equal(t, []piece{{text: "{a}}"}, {name: "b"}, {name: "b"}, {text: " c"}}, text.pieces)
	_, err = ParseTemplate("x {" + strings.Repeat("y", 41))
	require.EqualError(t, err, "a placeholder is not closed: {"+strings.Repeat("y",
		40)+"... (a brace itself is written {{)")
}

// Cells of a row that no column stands above, and columns that have no name.
func TestCellsWithoutAColumn(t *testing.T) {
	p := &Problems{}
	s := &sheet{}
	s.add(3, []string{" a ", "", "c"})
	s.add(5, []string{"1", "2"})
	s.add(6, []string{"", " \t", ""})
	s.add(7, []string{"1", "", "3", "4"})
	table := s.table(p)
	require.Equal(t, []string{"a", "c"}, table.Columns)
	require.Equal(t, []Row{{5, []string{"1", ""}}, {7, []string{"1", "3"}}}, table.Rows)
	require.Equal(t, []Problem{{Row: 5, Column: "B", What: `a cell with no column above it: "2"`},
		{Row: 7, Column: "D", What: `a cell with no column above it: "4"`}}, p.List)
}
