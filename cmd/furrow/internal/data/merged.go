package data

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Bounds of merged cells: the library looks through all of them at each cell.
const (
	maxMerged = 5_000
	maxLooks  = 300_000_000
	maxNoRow  = 20_000 // rows without their number, each of which moves all behind it
)

// span is a range of cells that a sheet shows as one, with the value of its upper left.
type span struct {
	x0, y0, x1, y1 int // columns from 0, rows of the file from 1
}

// merged takes what merged cells show. One over several rows of a column stands for each of
// those rows that hold anything else, as a person reads it; one that reaches into another
// column or out of the head, or is a quantity, could be meant in two ways and is told.
func (b *book) merged(s *sheet, head int) error {
	spans, err := b.spans()
	if err != nil {
		return err
	}
	own := make([]bool, len(s.rows)) // before anything is filled in
	for i, cells := range s.rows {
		own[i] = !empty(cells)
	}
	for _, m := range spans {
		first, _ := slices.BinarySearch(s.numbers, m.y0)
		if first == len(s.rows) || s.numbers[first] != m.y0 || s.cell(first, m.x0) == "" {
			continue
		}
		for i := first; i < len(s.rows) && s.numbers[i] <= m.y1; i++ {
			if own[i] {
				b.share(s, head, m, first, i)
			}
		}
	}
	return nil
}

// share gives a row what a merged cell shows that begins in the row at first.
func (b *book) share(s *sheet, head int, m span, first, at int) {
	value := s.cell(first, m.x0)
	for x := m.x0 + 1; x <= m.x1 && x < len(s.rows[head]) && at > head; x++ {
		if name := s.cell(head, x); name != "" {
			b.problems.add(s.numbers[at], name, "the cell is merged with %s%d, which shows %q: split them, and give "+
				"each its own", letter(m.x0), m.y0, shortened(value))
			return
		}
	}
	switch {
	case at == first || s.cell(head, m.x0) == "":
	case first <= head:
		b.problems.add(s.numbers[at], value, "the cell is merged with the head above it: split them")
	case s.cell(head, m.x0) == QuantityColumn:
		b.problems.add(s.numbers[at], QuantityColumn, "the cell is merged with %s%d, which shows %s, and so many of "+
			"each row or of all of them may be meant: split them", letter(m.x0), m.y0, shortened(value))
	default:
		s.rows[at] = append(s.rows[at], make([]string, max(0, m.x0+1-len(s.rows[at])))...)
		s.rows[at][m.x0] = value
	}
}

// cell returns what a row shows in a column, without space at either end.
func (s *sheet) cell(at, x int) string {
	if x >= len(s.rows[at]) {
		return ""
	}
	return strings.TrimSpace(s.rows[at][x])
}

// spans returns the merged cells of the sheet.
func (b *book) spans() ([]span, error) {
	merges, err := b.file.GetMergeCells(b.sheet, true)
	if err != nil {
		return nil, err
	}
	var all []span
	for _, m := range merges {
		x0, y0, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		if err != nil {
			return nil, err
		}
		x1, y1, err := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err != nil {
			return nil, err
		}
		all = append(all, span{x0 - 1, y0, x1 - 1, y1})
	}
	return all, nil
}

// bounded refuses a book with more merged cells, for so many rows, or more rows without a
// number than the library can go through. It counts names in the text of the book's parts.
func (b *book) bounded(s *sheet) error {
	var merges, cells, noRow int
	b.file.Pkg.Range(func(_, part any) bool {
		if text, ok := part.([]byte); ok {
			merges += bytes.Count(text, []byte("mergeCell "))
			noRow += rowsWithoutNumber(text)
		}
		return true
	})
	for _, r := range s.rows {
		cells += len(r)
	}
	if noRow > maxNoRow {
		return fmt.Errorf("%d rows without a number are too many: save it anew with a spreadsheet program", noRow)
	}
	if merges > maxMerged || merges*cells > maxLooks {
		return fmt.Errorf("%d merged cells are too many: split them", merges)
	}
	return nil
}

// rowsWithoutNumber counts the rows of a sheet's text that have no r.
func rowsWithoutNumber(text []byte) (n int) {
	for {
		_, rest, ok := bytes.Cut(text, []byte("<row"))
		if !ok {
			return n
		}
		tag, rest, _ := bytes.Cut(rest, []byte(">"))
		if !bytes.Contains(tag, []byte(" r=")) {
			n++
		}
		text = rest
	}
}
