package data

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Problem is something wrong with the data.
type Problem struct {
	Row     int    // of the file, from 1; 0 where it is of the whole
	Column  string // by its head, or by its letter where it has none; empty where it is of the row
	Part    int    // that is made of the row, from 1; 0 where it is of the file
	What    string
	Warning bool   // the work can be done all the same
	Way     string // out of it, where there is one
}

// Problems is everything wrong with a file.
type Problems struct {
	File string
	List []Problem
}

// maxProblems bounds the list: a file read by the wrong rule has one in every cell.
const maxProblems = 1000

func (p *Problems) add(row int, column, format string, args ...any) {
	if len(p.List) < maxProblems {
		p.List = append(p.List, Problem{Row: row, Column: column, What: fmt.Sprintf(format, args...)})
	}
}

// tooMany tells of more parts than an order may have.
func (p *Problems) tooMany(row int, column, which string) {
	p.List = append(p.List, Problem{Row: row, Column: column, What: fmt.Sprintf("%s are more than %d", which, MaxParts),
		Way: "make it as several orders, each of some of the rows and numbers"})
}

// OfParts reports that all that is wrong is of parts, and nothing of the file.
func (p *Problems) OfParts() bool {
	return !slices.ContainsFunc(p.List, func(q Problem) bool { return q.Part == 0 && !q.Warning })
}

// Err returns p, or nil where it holds nothing but warnings.
func (p *Problems) Err() error {
	if p == nil || !slices.ContainsFunc(p.List, func(q Problem) bool { return !q.Warning }) {
		return nil
	}
	return p
}

// Sorted returns the problems by row, those of the whole first.
func (p *Problems) Sorted() []Problem {
	list := slices.Clone(p.List)
	slices.SortStableFunc(list, func(a, b Problem) int { return cmp.Compare(a.Row, b.Row) })
	return list
}

// Hint returns the first way out of a problem.
func (p *Problems) Hint() string {
	for _, q := range p.Sorted() {
		if q.Way != "" && !q.Warning {
			return q.Way
		}
	}
	return ""
}

func (p *Problems) Error() string {
	var lines []string
	for _, q := range p.Sorted() {
		if !q.Warning {
			lines = append(lines, strings.TrimPrefix(p.File+": "+q.String(), ": "))
		}
	}
	return strings.Join(lines, "\n")
}

func (p Problem) String() string {
	var where []string
	if p.Row > 0 {
		where = append(where, fmt.Sprintf("row %d", p.Row))
	}
	if p.Column != "" {
		where = append(where, fmt.Sprintf("column %q", p.Column))
	}
	if p.Part > 0 {
		return strings.Join(append(where, fmt.Sprintf("part %d", p.Part)), ": ") + ", " + p.What
	}
	if len(where) == 0 {
		return p.What
	}
	return strings.Join(where, ", ") + ": " + p.What
}
