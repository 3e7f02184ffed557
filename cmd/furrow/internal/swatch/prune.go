package swatch

import (
	"fmt"
)

// prune takes out the columns and rows of which the machine can mark nothing, and
// reports that there were some.
func (g *grid) prune() bool {
	before := len(g.out)
	g.Columns.Values = g.kept(g.Columns, "column", len(g.rws()), func(i, k int) (int, int) { return i, k })
	if !g.none(g.Columns) {
		g.Rows.Values = g.kept(g.Rows, "row", len(g.cols()), func(i, k int) (int, int) { return k, i })
	}
	return len(g.out) > before
}

func (g *grid) none(a Axis) bool { return a.Given() && len(a.Values) == 0 }

// kept returns the values of an axis with which some patch can be marked.
func (g *grid) kept(a Axis, what string, others int, at func(i, k int) (c, r int)) (all []float64) {
	for i, v := range a.Values {
		why := ""
		for k := range others {
			p := g.patch(at(i, k))
			if why = unfit(g.Machine.Profile, p, settingOf(p.Fill, g.Machine)); why == "" {
				break
			}
		}
		if why == "" {
			all = append(all, v)
		} else {
			g.out = append(g.out, Left{fmt.Sprintf("%s of %s", what, a.Kind.Words(v)), why})
		}
	}
	return all
}
