package data_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"

	"furrow/cmd/furrow/internal/data"
)

func read(content string) (data.Table, error) {
	return data.Read("folder/tags.csv", []byte(content), data.Options{})
}

// short writes a table as text: the head, then each row with its number.
func short(t data.Table) string {
	lines := []string{strings.Join(t.Columns, "|")}
	for _, r := range t.Rows {
		lines = append(lines, string(rune('0'+r.Number))+" "+strings.Join(r.Cells, "|"))
	}
	return strings.Join(lines, "\n")
}

func TestCSV(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"comma":                              {"species,number\nAcer,1\n", "species|number\n2 Acer|1"},
		"semicolon":                          {"species;number\nAcer;1,5", "species|number\n2 Acer|1,5"},
		"tab":                                {"species\tnumber\nAcer; red\t1", "species|number\n2 Acer; red|1"},
		"one column":                         {"species\nAcer; red\nTilia", "species\n2 Acer; red\n3 Tilia"},
		"two signs in the head, one regular": {"a,b;c\n1;2\n3;4", "a,b|c\n2 1|2\n3 3|4"},
		"sep line":                           {"sep=;\na,b;c\n1,2;3\n", "a,b|c\n3 1,2|3"},
		"quoted sep line":                    {"\"sep=,\"\na,b\n1,2\n", "a|b\n3 1|2"},
		"byte order mark":                    {"\xef\xbb\xbfa,b\n1,2", "a|b\n2 1|2"},
		"CR LF":                              {"a,b\r\n1,2\r\n3,4\r\n", "a|b\n2 1|2\n3 3|4"},
		"CR alone":                           {"a,b\r1,2\r3,4", "a|b\n2 1|2\n3 3|4"},
		"mixed ends":                         {"a,b\n1,2\r3,4\r\n5,6", "a|b\n2 1|2\n3 3|4\n4 5|6"},
		"empty rows":                         {"\n\na,b\n\n1,2\n,\n  \n3,4\n\n", "a|b\n5 1|2\n8 3|4"},
		"empty columns":                      {"a,,b,\n1,,2,\n", "a|b\n2 1|2"},
		"short row":                          {"a,b,c\n1,2\n", "a|b|c\n2 1|2|"},
		"space at the ends":                  {" a , b\n 1 ,\u00a02\n", "a|b\n2 1|2"},
		// RFC 4180, section 2, rules 5 to 7.
		"quotes":          {"a,b\n\"1,5\",\"say \"\"ah\"\"\"\n", "a|b\n2 1,5|say \"ah\""},
		"quoted head":     {"\"a\",\"b,c\"\n1,2\n", "a|b,c\n2 1|2"},
		"leading zeros":   {"n\n0417\n", "n\n2 0417"},
		"letters of many": {"n\nMüller\nЛипа\n銀杏\n", "n\n2 Müller\n3 Липа\n4 銀杏"},
	} {
		table, err := read(c.in)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, short(table), name)
		assert.Equal(t, "tags.csv", table.File)
	}
}

func TestCSVRefusesWithRowAndColumn(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"quote inside": {"a,b\n1,2\n5\" pipe,6\n7,8 \"x\"\n",
			"tags.csv: row 3, column \"A\": a quote inside a cell"},
		"and the next":      {"a,b\n1,2\n5\" pipe,6\n7,8 \"x\"\n", "tags.csv: row 4, column \"B\": a quote inside"},
		"after the quote":   {"a,b\n\"1\"x,2\n", `row 2, column "A": a quoted cell does not end`},
		"no closing quote":  {"a,b\n1,\"2\n3,4\n", `row 2, column`},
		"surplus cell":      {"a,b\n1,2,3\n", `row 2, column "C": a cell with no column above it: "3"`},
		"cell without head": {"a,,c\n1,2,3\n", `row 2, column "B": a cell with no column above it: "2"`},
		"line break":        {"a,b\n1,\"2\n3\"\n", `row 2, column "b": "2\n3" holds a line break`},
		"control":           {"a,b\n1,2\x002\n", `U+0000`},
		"lost letter":       {"a\nM\ufffdller\n", `row 2, column "a": "M�ller" holds a letter that was lost`},
		"same head twice":   {"a,a\n1,2\n", `row 1, column "a": two columns have this name`},
		"head with braces":  {"a,{b}\n1,2\n", `column "B": a column cannot be called "{b}"`},
		"unclear":           {"a,b;c\n1,2;3\n", "it cannot be seen what separates the cells"},
		"nothing":           {"", "it is empty"},
		"only a head":       {"a,b\n", "no row below the head"},
		"old spreadsheet":   {"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old spreadsheet"},
	} {
		_, err := read(c.in)
		assert.ErrorContains(t, err, c.want, name)
	}
}

// A sheet in Windows-1252 is never read as something else: the error shows its first
// names as each encoding would.
func TestOtherEncodings(t *testing.T) {
	const want = "name,number\nAcer,1\nMüller,2\nChâteau,3\nNuñez,4\nPéris,5\n"
	content, err := charmap.Windows1252.NewEncoder().String(want)
	require.NoError(t, err)
	_, err = read(content)
	var wrong *data.EncodingError
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, 3, wrong.Row)
	assert.Contains(t, err.Error(), "windows-1252   Müller | Château | Nuñez\n")
	assert.Contains(t, err.Error(), "windows-1250   Müller | Château | Nuńez\n")
	assert.Contains(t, wrong.Hint(), `encoding = "windows-1252"`)

	table, err := data.Read("tags.csv", []byte(content), data.Options{Encoding: "Windows-1252"})
	require.NoError(t, err)
	assert.Equal(t, "Müller", table.Rows[1].Cells[0])

	_, err = data.Read("tags.csv", []byte(content), data.Options{Encoding: "klingon"})
	assert.ErrorContains(t, err, `"klingon" is not an encoding`)

	utf16 := "\xff\xfea\x00\n\x00\xfc\x00\n\x00"
	_, err = read(utf16)
	assert.ErrorContains(t, err, `encoding = "utf-16"`)
	table, err = data.Read("tags.csv", []byte(utf16), data.Options{Encoding: "utf-16"})
	require.NoError(t, err)
	assert.Equal(t, "a\n2 ü", short(table))
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("a,b;c\n\"1\"\"\",2\r3;4"), "")
	f.Add([]byte("sep=\t\na\tb\n\xfc\t2"), "windows-1250")
	f.Add([]byte("\xff\xfea\x00"), "utf-16")
	f.Add(workbook(map[string]string{"A1": `t="inlineStr"><is><t>a</t></is>`, "A2": `><v>1</v>`}), "")
	f.Add(grove(f, "A3:A4", "B4:C5"), "")
	f.Fuzz(func(t *testing.T, content []byte, encoding string) {
		table, err := data.Read("x", content, data.Options{Encoding: encoding})
		if err != nil {
			return
		}
		for _, r := range table.Rows {
			if len(r.Cells) != len(table.Columns) || r.Number < 1 {
				t.Fatalf("row %+v under %q", r, table.Columns)
			}
		}
	})
}
