package data

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Table is the values of a file: a head and a row a part.
type Table struct {
	File    string
	Columns []string
	Rows    []Row
}

// Row is a row of a table, with a cell for each column.
type Row struct {
	Number int // of the file, from 1
	Cells  []string
}

// Options says how to read a file.
type Options struct {
	Encoding string // of CSV, by its name on the web, as in "windows-1252"; empty is UTF-8
	Sheet    string // of XLSX; empty is the only one that holds anything
}

// Bounds of a file.
const (
	maxFile    = 64 << 20
	maxColumns = 1000
	maxRows    = 1_000_000
)

// Read reads a table from the bytes of a file; its name is for messages, and tells
// CSV from what is not. An error is *Problems, *EncodingError, or of the whole file.
func Read(name string, content []byte, o Options) (Table, error) {
	name = filepath.Base(name)
	switch {
	case len(content) > maxFile:
		return Table{}, fmt.Errorf("%s is larger than %d MB", name, maxFile>>20)
	case bytes.HasPrefix(content, []byte("PK\x03\x04")):
		return readXLSX(name, content, o)
	case bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0")):
		return Table{}, fmt.Errorf("%s is an old spreadsheet, or has a password: save it as .xlsx or .csv", name)
	}
	return readCSV(name, content, o)
}

// sheet is rows as they stand in a file, before they are a table. Numbers has the
// row of the file for each.
type sheet struct {
	rows    [][]string
	numbers []int
}

func (s *sheet) add(number int, cells []string) {
	s.rows, s.numbers = append(s.rows, cells), append(s.numbers, number)
}

// table takes the first row for the head. Rows and columns without any value are
// left out, and space at either end of a cell.
func (s *sheet) table(p *Problems) Table {
	t := Table{File: p.File}
	var kept []int // columns
	for i, cells := range s.rows {
		trim(cells)
		switch {
		case empty(cells):
		case t.Columns == nil:
			if kept = s.head(&t, i, p); kept == nil {
				return t
			}
		default:
			s.row(&t, i, kept, p)
		}
	}
	switch {
	case t.Columns == nil:
		p.add(0, "", "it is empty: a head with the names of the columns is needed, and a row a part")
	case len(t.Rows) == 0:
		p.add(0, "", "there is no row below the head")
	case len(t.Rows) > maxRows:
		p.add(0, "", "%d rows are too many: %d is the most", len(t.Rows), maxRows)
	}
	return t
}

func trim(cells []string) {
	for i := range cells {
		cells[i] = strings.TrimFunc(cells[i], unicode.IsSpace)
	}
}

func empty(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return c != "" })
}

// head takes the names of the columns, and returns which of them are kept; nil where they are
// too many to go on.
func (s *sheet) head(t *Table, at int, p *Problems) (kept []int) {
	t.Columns = []string{}
	if n := len(s.rows[at]); n > maxColumns {
		p.add(s.numbers[at], "", "%d columns are too many: %d is the most", n, maxColumns)
		return nil
	}
	for i, name := range s.rows[at] {
		switch {
		case name == "":
			continue // a row with a cell in it will be told
		case slices.Contains(t.Columns, name):
			p.add(s.numbers[at], name, "two columns have this name")
		case !Nameable(name):
			p.add(s.numbers[at], letter(i), "a column cannot be called %q: placeholders could not name it", name)
		}
		if problem := unreadable(name); problem != "" {
			p.add(s.numbers[at], letter(i), "%s", problem)
		}
		kept = append(kept, i)
		t.Columns = append(t.Columns, name)
	}
	return kept
}

func (s *sheet) row(t *Table, at int, kept []int, p *Problems) {
	number, cells := s.numbers[at], s.rows[at]
	row := Row{Number: number, Cells: make([]string, len(kept))}
	for k, i := range kept {
		if i >= len(cells) {
			continue
		}
		row.Cells[k] = cells[i]
		if problem := unreadable(cells[i]); problem != "" {
			p.add(number, t.Columns[k], "%s", problem)
		}
	}
	for i, c := range cells {
		if _, ok := slices.BinarySearch(kept, i); !ok && c != "" {
			p.add(number, letter(i), "a cell with no column above it: %q", shortened(c))
		}
	}
	t.Rows = append(t.Rows, row)
}

// unreadable tells what of a cell cannot have been meant.
func unreadable(cell string) string {
	switch i := strings.IndexFunc(cell, func(r rune) bool { return r == utf8.RuneError || unicode.IsControl(r) }); {
	case i < 0:
		return ""
	case strings.HasPrefix(cell[i:], "\ufffd"):
		return fmt.Sprintf("%q holds a letter that was lost where the file was saved", shortened(cell))
	case cell[i] == '\n' || cell[i] == '\r':
		return fmt.Sprintf("%q holds a line break", shortened(cell))
	default:
		r, _ := utf8.DecodeRuneInString(cell[i:])
		return fmt.Sprintf("%q holds the control character U+%04X", shortened(cell), r)
	}
}

// letter names a column as a spreadsheet does.
func letter(i int) string {
	name := ""
	for ; i >= 0; i = i/26 - 1 {
		name = string(rune('A'+i%26)) + name
	}
	return name
}

func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
