package order_test

import (
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/raster/paper"

	"github.com/stretchr/testify/require"
)

// square is 10 mm wide and high, in the lower left of a page of 20 x 20 mm.
const square = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="2" y="6" width="10" height="10"/></svg>`

// of changes the artwork of an order.
func of(t *testing.T, in order.Input, art string) order.Input {
	t.Helper()
	d, err := work.Read(strings.NewReader(art), in.Resolved)
	require.NoError(t, err)
	in.Source = order.Alike(len(in.Source.Parts), d)
	return in
}

func length(v float64) *value.Length { l := value.Length(v); return &l }

// input is an order of squares on blanks of 20 x 20 mm, in two columns and rows 5 mm
// apart, at 100 mm/s in rows 1 mm apart.
func input(t *testing.T, machine string, parts int, change func(*job.Job)) order.Input {
	t.Helper()
	speed, power, effort, name, two, quantity := value.Number(100), value.Number(40), "quick", "tree tags",
		value.Count(2), value.Quantity(parts)
	j := job.Job{
		Furrow: 1, Machine: machine, Effort: &effort, Artwork: job.Artwork{File: "art.svg"},
		Fill:    job.Fill{Spacing: &value.Spacing{MM: 1}, Speed: &speed, Power: &power},
		Blank:   job.Blank{Width: length(20), Height: length(20)},
		Fixture: job.Fixture{Columns: &two, Rows: &two, Gap: []value.Length{5, 5}},
		Order:   job.Order{Name: &name, Quantity: &quantity},
	}
	if machine == "example-fibre" {
		j.Fill.Frequency = &value.Frequency{Hz: 50_000}
	}
	if change != nil {
		change(&j)
	}
	resolved, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	drawing, err := work.Read(strings.NewReader(square), resolved)
	require.NoError(t, err)
	in := order.Input{Resolved: resolved, Source: order.Alike(parts, drawing), Name: "load", Version: "0.1.0"}
	for n := range parts {
		in.Numbers = append(in.Numbers, n+1)
	}
	return in
}

func plan(t *testing.T, in order.Input) *order.Order {
	t.Helper()
	o, err := order.Plan(in)
	require.NoError(t, err)
	return o
}

// made writes an order and returns what it says of that.
func made(t *testing.T, in order.Input, dir string) (*order.Order, order.Written) {
	t.Helper()
	o := plan(t, in)
	w, err := o.Write(dir, paper.A4, []order.Kept{{Role: order.JobFile, Name: "order.toml",
		Data: []byte("furrow = 1\n")}})
	require.NoError(t, err)
	return o, w
}

// bounds are those of each sweep's marks in a file, joined by parts of ten rows.
func bounds(t *testing.T, prog path.Program) (all []path.Rect) {
	t.Helper()
	require.Zero(t, len(prog.Strokes)%10, "ten rows a part")
	for i := 0; i < len(prog.Strokes); i += 10 {
		b := path.EmptyRect()
		for k := range 10 {
			b = b.Union(path.BoundsOf(prog.PointsOf(i + k)))
		}
		all = append(all, b)
	}
	return all
}

// lies wants marks of a part whose blank's lower-left corner is at x, y: 2 to 12 mm in
// X, and rows from 4.5 to 13.5 mm in Y.
func lies(t *testing.T, b path.Rect, x, y float64) {
	t.Helper()
	for i, d := range []float64{b.Min.X - x - 2, b.Min.Y - y - 4.5, b.Max.X - x - 12, b.Max.Y - y - 13.5} {
		require.InDelta(t, 0, d, 1e-3, "side %d of %v", i, b)
	}
}
