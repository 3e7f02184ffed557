package data_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
)

// merging merges ranges of a workbook's sheet, as ISO/IEC 29500-1, 18.3.1.55, writes it.
func merging(t testing.TB, book []byte, ranges ...string) []byte {
	merged := "</sheetData><mergeCells>"
	for _, r := range ranges {
		merged += `<mergeCell ref="` + r + `"/>`
	}
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	require.NoError(t, err)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range in.File {
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		w, _ := z.Create(f.Name)
		io.WriteString(w, strings.Replace(string(text), "</sheetData>", merged+"</mergeCells>", 1))
	}
	z.Close()
	return out.Bytes()
}

// grove is a list with a head in row 2 and rows 3 to 5, of which 6 is empty but styled.
func grove(t testing.TB, ranges ...string) []byte {
	return merging(t, workbook(map[string]string{
		"A2": text("species"), "B2": text("number"), "C2": text("quantity"),
		"A3": text("Tilia"), "B3": text("1"), "C3": text("2"), "B4": text("2"), "A5": text("Acer"), "B5": text("3"),
		"A6": `s="1">`, "B6": `s="1">`,
	}), ranges...)
}

// A cell merged down a column is read in each of its rows that holds anything else; an
// empty one says nothing, nor does one below no name or in rows that are not there.
func TestMergedDown(t *testing.T) {
	for merged, want := range map[string]string{
		"":        "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"A3:A4":   "3 Tilia|1|2\n4 Tilia|2|\n5 Acer|3|",
		"A5:A6":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"A4:A4":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"A4:C4":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"D3:D5":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"B5:B99":  "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"C3:D3":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"A1:C1":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"B2:B2":   "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
		"A90:A95": "3 Tilia|1|2\n4 |2|\n5 Acer|3|",
	} {
		var ranges []string
		if merged != "" {
			ranges = append(ranges, merged)
		}
		table, err := data.Read("tags.xlsx", grove(t, ranges...), data.Options{})
		require.NoError(t, err, merged)
		require.Equal(t, "species|number|quantity\n"+want, short(table), merged)
	}
}

// What a merged cell could mean in two ways is told.
func TestMergedInTwoWays(t *testing.T) {
	for merged, want := range map[string]string{
		"A5:B5": `tags.xlsx: row 5, column "number": the cell is merged with A5, which shows "Acer": split them, and ` +
			`give each its own`,
		"A3:B4": `tags.xlsx: row 3, column "number": the cell is merged with A3, which shows "Tilia": split them, and ` +
			"give each its own\n" + `tags.xlsx: row 4, column "number": the cell is merged with A3, which shows ` +
			`"Tilia": split them, and give each its own`,
		"A2:A3": `tags.xlsx: row 3, column "species": the cell is merged with the head above it: split them`,
		"C3:C4": `tags.xlsx: row 4, column "quantity": the cell is merged with C3, which shows 2, and so many of each ` +
			`row or of all of them may be meant: split them`,
	} {
		_, err := data.Read("tags.xlsx", grove(t, merged), data.Options{})
		require.EqualError(t, err, want, merged)
	}
}

// Very many merged cells are refused before they take time, and what is no range is told.
func TestMergedWithoutEnd(t *testing.T) {
	var ranges []string
	for i := range 5_001 {
		ranges = append(ranges, fmt.Sprintf("A%d:A%d", 100+2*i, 101+2*i))
	}
	_, err := data.Read("tags.xlsx", grove(t, ranges...), data.Options{})
	require.EqualError(t, err, "tags.xlsx: 5001 merged cells are too many: split them")
	_, err = data.Read("tags.xlsx", grove(t, ranges[1:]...), data.Options{})
	require.NoError(t, err)
	const row = `<row r="1"><c r="A1"><v>1</v></c></row>`
	_, err = data.Read("x.xlsx", pack(map[string]string{"a": row + strings.Repeat("<row/>", 20_001)}), data.Options{})
	require.ErrorContains(t, err, "20001 rows without a number are too many")
	_, err = data.Read("x.xlsx", pack(map[string]string{"a": strings.Repeat("<row/>", 2000)}), data.Options{})
	require.ErrorContains(t, err, "it is empty")
	_, err = data.Read("tags.xlsx", grove(t, "nowhere"), data.Options{})
	require.Error(t, err)
}
