package personal

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode"
)

// WriteTable writes a line for each part: its texts as they came out, with the size of
// those that were made smaller, narrower or broken, and its codes.
func WriteTable(w io.Writer, parts []Part) error {
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for i, p := range parts {
		if i == 0 {
			fmt.Fprintln(tab, strings.Join(p.heads(), "\t"))
		}
		row := fmt.Sprint(p.Row)
		if p.Row == 0 {
			row = "-"
		}
		cells := []string{fmt.Sprint(i + 1), row}
		for _, t := range p.Texts {
			cells = append(cells, strings.Join(t.Lines, " / "), t.size())
		}
		for _, c := range p.Codes {
			cells = append(cells, c.Symbol.Value, fmt.Sprintf("%.3g mm", c.Placed.ModuleMM))
		}
		fmt.Fprintln(tab, strings.Join(cells, "\t"))
	}
	return tab.Flush()
}

func (p Part) heads() []string {
	heads := []string{"PART", "ROW"}
	for _, t := range p.Texts {
		heads = append(heads, t.Pick, "SIZE")
	}
	for _, c := range p.Codes {
		heads = append(heads, c.Pick, "MODULE")
	}
	return heads
}

// told is the size or width below which it is not worded as 100 %.
const told = 0.995

// size words that of the font, and what was done to fit.
func (t Text) size() string {
	s := fmt.Sprintf("%.2f mm", t.SizeMM)
	if t.Size < told {
		s += fmt.Sprintf(" (%.0f %%)", 100*t.Size)
	}
	if t.Squeeze < told {
		s += fmt.Sprintf(", %.0f %% wide", 100*t.Squeeze)
	}
	return s
}

// Extremes returns the indices of the parts to look at first, each once: for each text of the
// job those with its longest and its shortest words, where they differ by more than a digit's
// width, as those of a counter do, and the one that is set smallest or narrowest, if any is.
func Extremes(parts []Part) (each []int) {
	add := func(i int) {
		if !slices.Contains(each, i) {
			each = append(each, i)
		}
	}
	for _, pick := range picks(parts) {
		longest, shortest, smallest := extremesOf(parts, pick)
		if differ(parts, pick) && longest.value > -shortest.value {
			add(longest.part)
			add(shortest.part)
		}
		if smallest.value > -1 {
			add(smallest.part)
		}
	}
	return each
}

// picks lists the texts that parts have.
func picks(parts []Part) (all []string) {
	for _, p := range parts {
		for _, t := range p.Texts {
			if !slices.Contains(all, t.Pick) {
				all = append(all, t.Pick)
			}
		}
	}
	return all
}

// differ reports that the words of a text are not the same in all parts but for its digits.
func differ(parts []Part, pick string) bool {
	digits := func(r rune) rune {
		if unicode.IsDigit(r) {
			return '0'
		}
		return r
	}
	var first *string
	for _, p := range parts {
		for _, t := range p.Texts {
			words := strings.Map(digits, t.Words)
			if t.Pick == pick && first == nil {
				first = &words
			}
			if t.Pick == pick && words != *first {
				return true
			}
		}
	}
	return false
}

// most is the greatest of values, and the first part that has it.
type most struct {
	value float64
	part  int
}

func (m *most) of(value float64, part int) {
	if value > m.value {
		*m = most{value, part}
	}
}

// extremesOf finds those of one text: its longest words, the shortest, with their width below 0,
// and the smallest, with its size and squeeze below 0.
func extremesOf(parts []Part, pick string) (longest, shortest, smallest most) {
	none := most{value: math.Inf(-1)}
	longest, shortest, smallest = none, none, none
	for i, p := range parts {
		for _, t := range p.Texts {
			if t.Pick != pick {
				continue
			}
			longest.of(t.WidthMM, i)
			shortest.of(-t.WidthMM, i)
			smallest.of(-t.Size*t.Squeeze, i)
		}
	}
	return longest, shortest, smallest
}
