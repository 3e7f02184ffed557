package data_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
)

// Formats of the styles of workbook, by ISO/IEC 29500-1, 18.8.30: general; 00000;
// the built-in short date; a date and a time of their own; red; hours that run on.
const styles = `<?xml version="1.0"?><styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">
<numFmts count="5"><numFmt numFmtId="164" formatCode="00000"/><numFmt numFmtId="165" formatCode="dd/mm/yyyy"/>
<numFmt numFmtId="166" formatCode="[Red]0&quot; days&quot;"/><numFmt numFmtId="167" formatCode="[h]:mm"/>
<numFmt numFmtId="168" formatCode="0.0\m"/></numFmts>
<fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders>
<cellStyleXfs count="1"><xf/></cellStyleXfs>
<cellXfs count="7"><xf/><xf numFmtId="164" applyNumberFormat="1"/><xf numFmtId="14" applyNumberFormat="1"/>
<xf numFmtId="165" applyNumberFormat="1"/><xf numFmtId="166" applyNumberFormat="1"/>
<xf numFmtId="167" applyNumberFormat="1"/><xf numFmtId="168" applyNumberFormat="1"/></cellXfs></styleSheet>`

// workbook writes the files of a spreadsheet by hand: one sheet, with the attributes
// and content of each cell as ISO/IEC 29500-1 writes them.
func workbook(cells map[string]string) []byte {
	rows := map[int]string{}
	for _, at := range slices.Sorted(maps.Keys(cells)) {
		n := 0
		fmt.Sscanf(strings.TrimLeft(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), "%d", &n)
		rows[n] += fmt.Sprintf(`<c r="%s" %s</c>`, at, cells[at])
	}
	body := ""
	for _, n := range slices.Sorted(maps.Keys(rows)) {
		hidden := ""
		if strings.Contains(rows[n], "hide") {
			hidden = ` hidden="1"`
		}
		body += fmt.Sprintf(`<row r="%d"%s>%s</row>`, n, hidden, rows[n])
	}
	return pack(map[string]string{"Tags": body})
}

func pack(sheets map[string]string) []byte {
	const (
		main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
		rel  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		head = `<?xml version="1.0"?>`
	)
	files := map[string]string{
		"_rels/.rels": head + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
			`<Relationship Id="r" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/styles.xml": styles,
	}
	list, links, types := "", "", ""
	for i, name := range slices.Sorted(maps.Keys(sheets)) {
		list += fmt.Sprintf(`<sheet name="%s" sheetId="%d" r:id="r%d"/>`, name, i+1, i+1)
		links += fmt.Sprintf(`<Relationship Id="r%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`,
			i+1, rel, i+1)
		types += fmt.Sprintf(`<Override GroupName="/xl/worksheets/sheet%d.xml" `+
			`ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`, i+1)
		files[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = head + `<worksheet xmlns="` + main + `"><sheetData>` +
			sheets[name] + `</sheetData></worksheet>`
	}
	files["xl/workbook.xml"] = head + `<workbook xmlns="` + main + `" xmlns:r="` + rel + `"><sheets>` + list +
		`</sheets></workbook>`
	files["xl/_rels/workbook.xml.rels"] = head +
		`<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		links + `<Relationship Id="s" Type="` + rel + `/styles" Target="styles.xml"/></Relationships>`
	files["[Content_Types].xml"] = head + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Override GroupName="/xl/workbook.xml" ` +
		`ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
		types + `</Types>`
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		w, _ := z.Create(name)
		w.Write([]byte(files[name]))
	}
	z.Close()
	return out.Bytes()
}

func text(s string) string { return `t="inlineStr"><is><t>` + s + `</t></is>` }

// A number is read as the sheet shows it: 123 with the format 00000 is 00123.
func TestXLSX(t *testing.T) {
	table, err := data.Read("tags.xlsx", workbook(map[string]string{
		"A1": text("species"), "B1": text("number"), "C1": text("more"),
		"A2": text("Tilia × europaea"), "B2": `s="1"><v>123</v>`, "C2": `><v>417</v>`,
		"A4": text("0417"), "B4": `s="4"><v>12</v>`, "C4": `><f>1+1</f><v>2</v>`,
		"A5": text("2026-12-18"), "B5": `s="6"><v>1.5</v>`, "C5": `t="b"><v>1</v>`,
	}), data.Options{})
	require.NoError(t, err)
	assert.Equal(t, "species|number|more\n2 Tilia × europaea|00123|417\n4 0417|12 days|2\n5 2026-12-18|1.5m|TRUE",
		short(table))
}

func TestXLSXRefusesWithRowAndColumn(t *testing.T) {
	for cell, want := range map[string]string{
		`s="2"><v>46000</v>`:                    `is a date, which each program shows in another way`,
		`s="3"><v>46000</v>`:                    `is a date`,
		`s="5"><v>1.5</v>`:                      `is a date`,
		`><f>A1</f>`:                            "the formula has no value",
		`t="str"><f>A1</f><v></v>`:              "the formula has no value",
		`t="e"><f>1/0</f><v>#DIV/0!</v>`:        "the cell shows the error #DIV/0!",
		`t="inlineStr"><is><t>hide</t></is>`:    "the row is hidden",
		`t="inlineStr"><is><t>a&#10;b</t></is>`: "line break",
	} {
		_, err := data.Read("tags.xlsx", workbook(map[string]string{"A1": text("n"), "A2": text("x"),
			"A3": cell}), data.Options{})
		if assert.ErrorContains(t, err, want, cell) {
			assert.ErrorContains(t, err, "tags.xlsx: row 3")
		}
	}
}

// A cell is told by the name of its column, as the head has it without space around, or by
// its letter where there is none; the head's own cells by theirs.
func TestCellsAreToldByTheirColumn(t *testing.T) {
	const date = `s="2"><v>46000</v>`
	for cell, want := range map[string]string{"A3": `column "tree"`, "B3": `column "B"`, "C3": `column "C"`,
		"C1": `column "C"`} {
		cells := map[string]string{"A1": text(" tree "), "A2": text("x"), "A3": text("y"), "B2": text("")}
		cells[cell] = date
		_, err := data.Read("tags.xlsx", workbook(cells), data.Options{})
		require.ErrorContains(t, err, "is a date", cell)
		require.ErrorContains(t, err, want, cell)
	}
}

// What is told of a cell is its first 40 letters.
func TestLongCellsAreShortened(t *testing.T) {
	for n, want := range map[int]string{39: strings.Repeat("ö", 39), 40: strings.Repeat("ö", 40),
		41: strings.Repeat("ö", 40) + "..."} {
		_, err := data.Read("a.csv", []byte("n\nx,"+strings.Repeat("ö", n)+"\n"), data.Options{})
		require.ErrorContains(t, err, "\""+want+"\"")
	}
	var wide []string
	for i := range 1000 {
		wide = append(wide, fmt.Sprint("c", i))
	}
	_, err := data.Read("a.csv", []byte(strings.Join(wide, ",")+"\n1\n"), data.Options{})
	require.NotContains(t, fmt.Sprint(err), "are too many")
	_, err = data.Read("a.csv", []byte(strings.Join(append(wide, "more"), ",")+"\n1\n"), data.Options{})
	require.EqualError(t, err, "a.csv: row 1: 1001 columns are too many: 1000 is the most")
	_, err = data.Read("dir/a.csv", make([]byte, 64<<20+1), data.Options{})
	require.EqualError(t, err, "a.csv is larger than 64 MB")
}

func TestSheets(t *testing.T) {
	const one, two = `<row r="1"><c r="A1"><v>1</v></c></row>`, `<row r="2"><c r="A2"><v>2</v></c></row>`
	content := pack(map[string]string{"Tags": one + two, "Notes": one, "Empty": ""})
	_, err := data.Read("x.xlsx", content, data.Options{})
	assert.ErrorContains(t, err, `several sheets hold something: name one, as in sheet = "Notes" (there are Notes, `+
		`Tags)`)
	table, err := data.Read("x.xlsx", content, data.Options{Sheet: "Tags"})
	require.NoError(t, err)
	assert.Equal(t, "1\n2 2", short(table))
	_, err = data.Read("x.xlsx", content, data.Options{Sheet: "Tag"})
	assert.ErrorContains(t, err, `there is no sheet "Tag": there are Notes, Tags`)
	for cut := range len(content) {
		if cut%97 == 0 {
			_, err := data.Read("x.xlsx", content[:cut], data.Options{})
			assert.Error(t, err)
		}
	}
}
