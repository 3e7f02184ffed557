package data_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"furrow/cmd/furrow/internal/data"
)

// book is a spreadsheet with what a function puts into it.
func book(t *testing.T, fill func(*excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

// A hidden sheet and a chart are passed over; a hidden one is read where it is named, and
// so is one of several.
func TestSheetsThatAreHidden(t *testing.T) {
	content := book(t, func(f *excelize.File) {
		require.NoError(t, f.SetCellStr("Sheet1", "A1", "n"))
		require.NoError(t, f.SetCellStr("Sheet1", "A2", "x"))
		_, err := f.NewSheet("Old")
		require.NoError(t, err)
		require.NoError(t, f.SetCellStr("Old", "A1", "m"))
		require.NoError(t, f.SetCellStr("Old", "A2", "y"))
		require.NoError(t, f.SetSheetVisible("Old", false))
		require.NoError(t, f.AddChartSheet("Chart", &excelize.Chart{Type: excelize.Line,
			Series: []excelize.ChartSeries{{Values: "Sheet1!$A$1:$A$2"}}}))
	})
	for name, want := range map[string]string{"": "n\n2 x", "Sheet1": "n\n2 x", "Old": "m\n2 y"} {
		table, err := data.Read("x.xlsx", content, data.Options{Sheet: name})
		require.NoError(t, err, name)
		require.Equal(t, want, short(table), name)
	}
	_, err := data.Read("x.xlsx", content, data.Options{Sheet: "Chart"})
	require.EqualError(t, err, `x.xlsx: sheet "Chart" is a chart and has no rows: there are Sheet1`)
	_, err = data.Read("x.xlsx", book(t, func(*excelize.File) {}), data.Options{Sheet: "Sheet1"})
	require.ErrorContains(t, err, "x.xlsx: it is empty")
	_, err = data.Read("x.xlsx", book(t, func(*excelize.File) {}), data.Options{})
	require.EqualError(t, err, "x.xlsx: no sheet holds anything")
	_, err = data.Read("x.xlsx", []byte("PK\x03\x04"), data.Options{})
	require.ErrorContains(t, err, "x.xlsx cannot be read as a spreadsheet: ")
}

// The thousandth column is ALL, since 1 x 676 + 12 x 26 + 12 are 1000; ALM is one too many.
func TestMostColumnsOfASheet(t *testing.T) {
	at := func(cell string) error {
		_, err := data.Read("x.xlsx", book(t, func(f *excelize.File) {
			require.NoError(t, f.SetCellStr("Sheet1", "A1", "n"))
			require.NoError(t, f.SetCellStr("Sheet1", cell, "x"))
		}), data.Options{})
		return err
	}
	require.ErrorContains(t, at("ALL3"), `row 3, column "ALL": a cell with no column above it`)
	require.EqualError(t, at("ALM3"), "x.xlsx: row 3 has a cell in column ALM: 1000 columns are the most")
}

// A hidden row is told where it holds something, and by its number in the file.
func TestHiddenRows(t *testing.T) {
	read := func(hidden int) error {
		_, err := data.Read("x.xlsx", book(t, func(f *excelize.File) {
			for _, cell := range []string{"A2", "A3", "A6"} {
				require.NoError(t, f.SetCellStr("Sheet1", cell, "x"+cell))
			}
			require.NoError(t, f.SetCellStr("Sheet1", "A4", " "))
			require.NoError(t, f.SetRowVisible("Sheet1", hidden, false))
		}), data.Options{})
		return err
	}
	require.EqualError(t, read(6), "x.xlsx: row 6: the row is hidden: show it, or delete it")
	require.EqualError(t, read(2), "x.xlsx: row 2: the row is hidden: show it, or delete it")
	require.NoError(t, read(5), "an empty one")
}

// The way out is that of the first row that has one, and no warning's.
func TestHintIsOfTheFirstRow(t *testing.T) {
	p := &data.Problems{List: []data.Problem{{Row: 9, What: "a", Way: "late"}, {Row: 4, What: "b", Way: "first"},
		{Row: 2, What: "c", Way: "warned", Warning: true}, {Row: 3, What: "d"}}}
	require.Equal(t, "first", p.Hint())
	require.Empty(t, (&data.Problems{List: p.List[2:]}).Hint())
}

// Each encoding stands on a line with how the words come out, in columns: the byte FC is ü
// in ISO 8859-1 and -2, and in what else is listed by the tables of the WHATWG.
func TestEncodingsInColumns(t *testing.T) {
	_, err := data.Read("dir/a.csv", []byte("n\nM\xfc \n"), data.Options{})
	require.EqualError(t, err, "a.csv, row 2: the text is not UTF-8, and no encoding is named"+
		"\n  windows-1252   Mü"+"\n  macintosh      M¸"+"\n  ibm866         M№"+"\n  windows-1251   Mь"+
		"\n  windows-1253   Mό")
	var wrong *data.EncodingError
	require.ErrorAs(t, err, &wrong)
	require.Equal(t, `name the encoding that reads right, as in encoding = "windows-1252", or save the file as UTF-8`,
		wrong.Hint())
	_, err = data.Read("a.csv", []byte("n"), data.Options{Encoding: "replacement"})
	require.ErrorContains(t, err, `"replacement" is not an encoding that can be read`)
}

// Of a counter and a table: a counter may not have another's name, and every name that is
// used must be one of theirs; the column of quantities needs no placeholder.
func TestNamesOfColumnsAndCounters(t *testing.T) {
	rows := table(t, "n,quantity\na,1\n")
	_, p := data.Parts(rows, []data.Counter{{Name: "c"}, {Name: "c"}}, data.Rules{Used: []string{"n", "c"}})
	require.EqualError(t, p.Err(), `tags.csv: column "c": a counter has the name of a column or of another counter`)
	require.Len(t, p.List, 1)
	parts, p := data.Parts(data.Table{}, nil, data.Rules{Quantity: -1})
	require.NoError(t, p.Err())
	require.Empty(t, parts)
	_, p = data.Parts(data.Table{}, nil, data.Rules{Used: []string{"n"}})
	require.EqualError(t, p.Err(), "{n} is neither a column nor a counter: there are none")
}

// A head's name is told by its letter where it cannot be a name.
func TestHeadsThatCannotBeNames(t *testing.T) {
	for head, want := range map[string]string{
		"a,b\x01":                      `row 1, column "B": "b\x01" holds the control character U+0001`,
		"a,,+b":                        `row 1, column "C": a column cannot be called "+b"`,
		"a,b,a":                        `row 1, column "a": two columns have this name`,
		"a," + strings.Repeat("b", 50): "",
		"a,b\ufffd" + "c":              `row 1, column "B": "b` + "\ufffd" + `c" holds a letter that was lost`,
	} {
		_, err := read(head + "\n1,2\n")
		if want == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorContains(t, err, want)
	}
}

// What is of the whole file is told without a row; 64 MB are not too large.
func TestOfTheWholeFile(t *testing.T) {
	_, err := read("a,b\n")
	require.EqualError(t, err, "tags.csv: there is no row below the head")
	_, err = read("\n")
	require.EqualError(t, err, "tags.csv: it is empty: a head with the names of the columns is needed, "+
		"and a row a part")
	large := make([]byte, 64<<20)
	copy(large, "\xd0\xcf\x11\xe0")
	_, err = data.Read("a.xls", large, data.Options{})
	require.EqualError(t, err, "a.xls is an old spreadsheet, or has a password: save it as .xlsx or .csv")
}

// Text is no date, whatever its cell's format is: style 14 of ISO/IEC 29500-1, 18.8.30.
func TestTextInAFormatOfDates(t *testing.T) {
	content := book(t, func(f *excelize.File) {
		style, err := f.NewStyle(&excelize.Style{NumFmt: 14})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Sheet1", "A1", "A2", style))
		require.NoError(t, f.SetCellStr("Sheet1", "A1", "n"))
		require.NoError(t, f.SetCellStr("Sheet1", "A2", "Acer"))
	})
	table, err := data.Read("x.xlsx", content, data.Options{})
	require.NoError(t, err)
	require.Equal(t, "n\n2 Acer", short(table))
}

// The head is the first row that shows anything: what is above it, empty or space, does
// not hide the names of the columns.
func TestNamesOfColumnsBelowEmptyRows(t *testing.T) {
	const date = `s="2"><v>46000</v>`
	for _, above := range []string{"", " ", "\t"} {
		_, err := data.Read("a.xlsx", workbook(map[string]string{"A1": text(above), "A3": text("tree"),
			"A4": date, "B4": date}), data.Options{})
		require.ErrorContains(t, err, `a.xlsx: row 4, column "tree": `, "%q", above)
		require.ErrorContains(t, err, `a.xlsx: row 4, column "B": `, "%q", above)
	}
}
