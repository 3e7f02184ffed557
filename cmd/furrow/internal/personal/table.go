package personal

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"
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

// size words that of the font, and what was done to fit.
func (t Text) size() string {
	s := fmt.Sprintf("%.2f mm", t.SizeMM)
	if t.Size < 1 {
		s += fmt.Sprintf(" (%.0f %%)", 100*t.Size)
	}
	if t.Squeeze < 1 {
		s += fmt.Sprintf(", %.0f %% wide", 100*t.Squeeze)
	}
	return s
}

// Extremes returns the indices of the parts to look at first, each once: those with
// the longest and the shortest text, and the one made smallest or narrowest.
func Extremes(parts []Part) []int {
	most := [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	var at [3]int
	for i, p := range parts {
		for _, t := range p.Texts {
			for k, v := range [3]float64{t.WidthMM, -t.WidthMM, -t.Size * t.Squeeze} {
				if v > most[k] {
					most[k], at[k] = v, i
				}
			}
		}
	}
	if math.IsInf(most[0], 0) {
		return nil
	}
	list := at[:]
	if most[2] == -1 { // none was changed
		list = at[:2]
	}
	var each []int
	for _, i := range list {
		if !slices.Contains(each, i) {
			each = append(each, i)
		}
	}
	return each
}
