package data

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Counter counts the parts of an order.
type Counter struct {
	Name   string
	Start  int
	Step   int // 0 means 1
	Digits int // at least so many, with zeros in front
}

// At returns the counter's value for part i, from 0.
func (c Counter) At(i int) (string, error) {
	step := c.Step
	if step == 0 {
		step = 1
	}
	n := int64(c.Start) + int64(i)*int64(step)
	text := fmt.Sprintf("%0*d", c.Digits, n)
	switch {
	case n < 0:
		return "", fmt.Errorf("counter %q falls below 0", c.Name)
	case c.Digits > 0 && len(text) > c.Digits:
		return "", fmt.Errorf("counter %q outgrows its %d digits at %s", c.Name, c.Digits, text)
	}
	return text, nil
}

// Meets reports that a number of the first n parts is one that another counter gives to its
// first m.
func (c Counter) Meets(n int, other Counter, m int) bool {
	given := map[int]bool{}
	for i := range m {
		given[other.Start+i*cmp.Or(other.Step, 1)] = true
	}
	for i := range n {
		if given[c.Start+i*cmp.Or(c.Step, 1)] {
			return true
		}
	}
	return false
}

// QuantityColumn is the column that says how often a row is made.
const QuantityColumn = "quantity"

// MaxParts bounds the parts of an order that may differ, each of which takes some 45 kB until
// the papers are made.
const MaxParts = 20_000

// Part is one part of an order.
type Part struct {
	Row    int // of the file; 0 where there is none
	Values map[string]string
}

// Rules says what holds for a table.
type Rules struct {
	Unique   []string // columns that may not hold a value twice
	Used     []string // names that the order's placeholders have
	Quantity int      // parts without a table
}

// Parts makes the parts of a table, or as many as the rules say without one, with
// their counters. Problems holds what is wrong, and its Err is nil where parts are
// whole.
func Parts(t Table, counters []Counter, r Rules) ([]Part, *Problems) {
	p := &Problems{File: t.File}
	t.columns(counters, r, p)
	t.cells(r.Used, p)
	for _, name := range r.Unique {
		t.doubles(name, p)
	}
	parts := t.repeat(p)
	if len(t.Columns) == 0 {
		if len(counters) > 0 && r.Quantity > MaxParts {
			p.tooMany(0, "", "the parts with a number of their own")
			r.Quantity = MaxParts
		}
		parts = make([]Part, max(r.Quantity, 0))
		for i := range parts {
			parts[i].Values = map[string]string{}
		}
	}
	for _, c := range counters {
		count(parts, c, p)
	}
	return parts, p
}

// columns compares the columns with what is used.
func (t Table) columns(counters []Counter, r Rules, p *Problems) {
	known := slices.Clone(t.Columns)
	for _, c := range counters {
		if slices.Contains(known, c.Name) {
			p.add(0, c.Name, "a counter has the name of a column or of another counter")
		}
		known = append(known, c.Name)
	}
	for _, name := range r.Used {
		if !slices.Contains(known, name) {
			p.add(0, "", "{%s} is neither a column nor a counter: there are %s", name, list(known))
		}
	}
	for _, name := range r.Unique {
		if !slices.Contains(t.Columns, name) {
			p.add(0, "", "there is no column %q to be unique: there are %s", name, list(t.Columns))
		}
	}
	for _, name := range t.Columns {
		if name != QuantityColumn && !slices.Contains(r.Used, name) {
			p.List = append(p.List, Problem{Column: name, What: "no placeholder uses it", Warning: true})
		}
	}
}

func list(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// cells tells the empty ones of columns that are used.
func (t Table) cells(used []string, p *Problems) {
	for i, name := range t.Columns {
		if !slices.Contains(used, name) {
			continue
		}
		for _, row := range t.Rows {
			if row.Cells[i] == "" {
				p.add(row.Number, name, "the cell is empty")
			}
		}
	}
}

func (t Table) doubles(name string, p *Problems) {
	column := slices.Index(t.Columns, name)
	if column < 0 {
		return
	}
	first := map[string]int{}
	for _, row := range t.Rows {
		v := row.Cells[column]
		if before, ok := first[v]; ok && v != "" {
			p.add(row.Number, name, "%q is in row %d already, and must be unique", shortened(v), before)
		} else {
			first[v] = row.Number
		}
		if n, _ := t.quantity(row); n > 1 {
			p.add(row.Number, name, "it must be unique, and the row is made %d times", n)
		}
	}
}

// quantity returns how often a row is made.
func (t Table) quantity(row Row) (int, error) {
	column := slices.Index(t.Columns, QuantityColumn)
	if column < 0 {
		return 1, nil
	}
	n, err := strconv.Atoi(row.Cells[column])
	if err != nil || n < 1 || n > MaxParts {
		return 0, fmt.Errorf("%q is not a whole number from 1 to %d", shortened(row.Cells[column]), MaxParts)
	}
	return n, nil
}

// repeat makes each row as often as it says.
func (t Table) repeat(p *Problems) (parts []Part) {
	for _, row := range t.Rows {
		n, err := t.quantity(row)
		if err != nil {
			p.add(row.Number, QuantityColumn, "%v", err)
			n = 1
		}
		if len(parts)+n > MaxParts {
			p.tooMany(row.Number, QuantityColumn, "the parts up to here")
			return parts
		}
		for range n {
			values := make(map[string]string, len(t.Columns))
			for i, name := range t.Columns {
				values[name] = row.Cells[i]
			}
			parts = append(parts, Part{row.Number, values})
		}
	}
	return parts
}

// count gives every part its number, up to the first that has none.
func count(parts []Part, c Counter, p *Problems) {
	for i := range parts {
		text, err := c.At(i)
		if err != nil {
			p.add(parts[i].Row, "", "part %d: %v", i+1, err)
			return
		}
		parts[i].Values[c.Name] = text
	}
}
