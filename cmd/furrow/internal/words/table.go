package words

import (
	"io"
	"regexp"
	"strings"
	"unicode/utf8"
)

// Table is text in columns. Columns of numbers and times stand to the right, with their
// decimal points below each other.
type Table struct {
	Heads []string
	Units []string // a line below the heads, optional
	Rows  [][]string
}

// Add adds a row.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, cells) }

// columnGap stands between columns.
const columnGap = "  "

// Write prints the table.
func (t *Table) Write(w io.Writer) error {
	lines := make([]strings.Builder, len(t.lines()))
	for k := range t.Heads {
		for i, cell := range t.column(k) {
			if k > 0 {
				lines[i].WriteString(columnGap)
			}
			lines[i].WriteString(cell)
		}
	}
	var b strings.Builder
	for i := range lines {
		b.WriteString(strings.TrimRight(lines[i].String(), " ") + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// lines are heads, units and rows, in this sequence.
func (t *Table) lines() [][]string {
	all := [][]string{t.Heads}
	if t.Units != nil {
		all = append(all, t.Units)
	}
	return append(all, t.Rows...)
}

// column returns the cells of a column, padded to one width.
func (t *Table) column(k int) []string {
	cells := make([]string, 0, 2+len(t.Rows))
	for _, line := range t.lines() {
		cell := ""
		if k < len(line) {
			cell = line[k]
		}
		cells = append(cells, cell)
	}
	rows := cells[len(cells)-len(t.Rows):]
	right := ofNumbers(rows)
	if right {
		alignPoints(rows)
	}
	width := 0
	for _, c := range cells {
		width = max(width, utf8.RuneCountInString(c))
	}
	for i, c := range cells {
		pad := strings.Repeat(" ", width-utf8.RuneCountInString(c))
		if right {
			cells[i] = pad + c
		} else {
			cells[i] = c + pad
		}
	}
	return cells
}

// numeric is a number or a time, or two with a word between.
var numeric = regexp.MustCompile(`^[-+]?\d[\d,:.]*( to [-+]?\d[\d,:.]*)?( (s|%))?$`)

// ofNumbers reports that a column holds numbers, times and dashes, and nothing else.
func ofNumbers(cells []string) bool {
	found := false
	for _, c := range cells {
		switch {
		case numeric.MatchString(c):
			found = true
		case c != "" && c != "-":
			return false
		}
	}
	return found
}

// alignPoints adds spaces behind plain numbers, so that their decimal points stand
// below each other.
func alignPoints(cells []string) {
	most := 0
	for _, c := range cells {
		most = max(most, decimals(c))
	}
	for i, c := range cells {
		if plain.MatchString(c) {
			cells[i] = c + strings.Repeat(" ", most-decimals(c))
		}
	}
}

var plain = regexp.MustCompile(`^[-+]?[\d,]+(\.\d*)?$`)

// decimals counts what stands from the point on in a plain number.
func decimals(cell string) int {
	if i := strings.IndexByte(cell, '.'); i >= 0 && plain.MatchString(cell) {
		return len(cell) - i
	}
	return 0
}
