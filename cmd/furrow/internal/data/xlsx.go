package data

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// maxUnpacked bounds what a spreadsheet unpacks to, so that a small file cannot
// fill the memory.
const maxUnpacked = 512 << 20

func readXLSX(name string, content []byte, o Options) (t Table, err error) {
	defer func() { // the library's panics on what is not a spreadsheet
		if p := recover(); p != nil {
			t, err = Table{}, fmt.Errorf("%s cannot be read as a spreadsheet: %v", name, p)
		}
	}()
	file, err := excelize.OpenReader(bytes.NewReader(content), excelize.Options{
		UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked,
	})
	if err != nil {
		return Table{}, fmt.Errorf("%s cannot be read as a spreadsheet: %w", name, err)
	}
	defer file.Close()
	p := &Problems{File: name}
	b := book{file: file, problems: p, dates: map[int]bool{}}
	if b.sheet, err = b.choose(o.Sheet); err != nil {
		return Table{}, fmt.Errorf("%s: %w", name, err)
	}
	s, err := b.read()
	if err != nil {
		return Table{}, fmt.Errorf("%s: %w", name, err)
	}
	t = s.table(p)
	return t, p.Err()
}

// book is a spreadsheet file at one of its sheets.
type book struct {
	file     *excelize.File
	sheet    string
	problems *Problems
	dates    map[int]bool // by style, whether it shows a date
}

// choose returns the sheet of a name, or the only one that shows anything.
func (b *book) choose(named string) (string, error) {
	var filled []string
	for _, name := range b.file.GetSheetList() {
		rows, err := b.file.Rows(name)
		if err != nil {
			continue
		}
		visible, err := b.file.GetSheetVisible(name)
		holds := rows.Next()
		if err == nil && (visible && holds || name == named && (holds || b.isTable(name))) {
			filled = append(filled, name)
		}
		rows.Close()
	}
	switch {
	case slices.Contains(b.file.GetSheetList(), named) && !slices.Contains(filled, named):
		return "", fmt.Errorf("sheet %q is a chart and has no rows: there are %s", named, list(filled))
	case named != "" && !slices.Contains(filled, named):
		return "", fmt.Errorf("there is no sheet %q: there are %s", named, list(filled))
	case named != "":
		return named, nil
	case len(filled) == 0:
		return "", fmt.Errorf("no sheet holds anything")
	case len(filled) > 1:
		return "", fmt.Errorf("several sheets hold something: name one, as in sheet = %q (there are %s)",
			filled[0], list(filled))
	}
	return filled[0], nil
}

// isTable reports that a sheet has cells, be they empty, and is no chart.
func (b *book) isTable(name string) bool {
	_, err := b.file.GetCellValue(name, "A1")
	return err == nil
}

// read takes the cells as the sheet shows them.
func (b *book) read() (*sheet, error) {
	rows, err := b.file.Rows(b.sheet)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	s := &sheet{}
	for number := 1; rows.Next(); number++ {
		cells, err := rows.Columns()
		if err != nil {
			return nil, fmt.Errorf("row %d: %w", number, err)
		}
		if len(cells) > 0 {
			s.add(number, cells)
		}
		if len(cells) > maxColumns {
			return nil, fmt.Errorf("row %d has a cell in column %s: %d columns are the most",
				number, letter(len(cells)-1), maxColumns)
		}
	}
	if err := rows.Error(); err != nil {
		return nil, err
	}
	if err := b.bounded(s); err != nil || len(s.rows) == 0 {
		return s, err
	}
	head := s.headRow()
	for i := range s.rows {
		b.prove(s, head, i)
	}
	return s, b.merged(s, head)
}

// headRow finds the first row that shows anything; where none does it is 0.
func (s *sheet) headRow() int {
	return max(0, slices.IndexFunc(s.rows, func(cells []string) bool {
		return strings.TrimSpace(strings.Join(cells, "")) != ""
	}))
}

// prove tells what of a row may not be what the sheet shows.
func (b *book) prove(s *sheet, head, at int) {
	number := s.numbers[at]
	if visible, err := b.file.GetRowVisible(b.sheet, number); err == nil && !visible && !empty(s.rows[at]) {
		b.problems.add(number, "", "the row is hidden: show it, or delete it")
	}
	for i := range s.rows[at] {
		column := letter(i)
		if names := s.rows[head]; at > head && i < len(names) && strings.TrimSpace(names[i]) != "" {
			column = strings.TrimSpace(names[i])
		}
		if what := b.wrong(letter(i)+fmt.Sprint(number), s.rows[at][i]); what != "" {
			b.problems.add(number, column, "%s", what)
		}
	}
}

// wrong returns what is wrong with a cell that shows a text.
func (b *book) wrong(cell, text string) string {
	formula, err := b.file.GetCellFormula(b.sheet, cell)
	kind, err2 := b.file.GetCellType(b.sheet, cell)
	switch {
	case err != nil || err2 != nil:
		return "the cell cannot be read"
	case kind == excelize.CellTypeError:
		return fmt.Sprintf("the cell shows the error %s", text)
	case formula != "" && text == "":
		return "the formula has no value: open the file and save it again, or paste its values"
	case text == "":
		return ""
	case kind == excelize.CellTypeDate || !texts[kind] && b.date(cell):
		return fmt.Sprintf("%q is a date, which each program shows in another way: make the cell text", text)
	}
	return ""
}

// texts are the types of cells that hold text.
var texts = map[excelize.CellType]bool{excelize.CellTypeSharedString: true, excelize.CellTypeInlineString: true}

// date reports that a cell's number is shown as a date or time.
func (b *book) date(cell string) bool {
	id, err := b.file.GetCellStyle(b.sheet, cell)
	if err != nil {
		return false
	}
	if known, ok := b.dates[id]; ok {
		return known
	}
	style, err := b.file.GetStyle(id)
	shows := err == nil && (dateFormat(style.NumFmt) || style.CustomNumFmt != nil && dateCode(*style.CustomNumFmt))
	b.dates[id] = shows
	return shows
}

// dateFormat tells the numbers of formats that ISO/IEC 29500-1, 18.8.30, gives dates
// and times, the ones for East Asia included.
func dateFormat(id int) bool {
	return id >= 14 && id <= 22 || id >= 27 && id <= 36 || id >= 45 && id <= 47 || id >= 50 && id <= 58
}

// dateCode reports that a format's code has a letter for a piece of a date, outside
// quotes, escapes and brackets.
func dateCode(code string) bool {
	quoted, bracket := false, false
	for i := 0; i < len(code); i++ {
		switch c := code[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '\\' || c == '_' || c == '*':
			i++
		case c == '[':
			bracket = !elapsed(code[i+1:])
		case c == ']':
			bracket = false
		case !bracket && strings.IndexByte("yYmMdDhHsS", c) >= 0:
			return true
		}
	}
	return false
}

// elapsed tells the brackets of a time that runs on, as in [h]:mm.
func elapsed(code string) bool {
	inside, _, _ := strings.Cut(code, "]")
	return inside != "" && strings.Trim(strings.ToLower(inside), "hms") == ""
}
