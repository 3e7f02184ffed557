package hatch_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// The reference: slow and obvious. Every row is a line at one height; where
// all edges cross it cuts it into pieces; at the middle of each piece every
// path is asked whether it covers that point, every shape whether its clips
// let it through, and the shapes are scanned for the topmost.

type refEdges [][2]path.Point

func refPath(p path.Path, turn func(path.Point) path.Point) refEdges {
	var es refEdges
	p.Flatten(1, func(pts []path.Point, _ bool) {
		for i := range pts {
			es = append(es, [2]path.Point{turn(pts[i]), turn(pts[(i+1)%len(pts)])})
		}
	})
	return es
}

// cuts returns where the edges cross the height y, and which way. What lies on
// the row, to a millionth of a micrometre, is taken to lie beyond it as seen
// from the middle: below where up is true, above where it is not.
func (es refEdges) cuts(y float64, up bool) (xs []float64, winds []int) {
	decide := y - 1e-9
	if up {
		decide = y + 1e-9
	}
	for _, e := range es {
		a, b := e[0], e[1]
		w := 1
		if a.Y > b.Y {
			a, b, w = b, a, -1
		}
		if a.Y < decide && decide <= b.Y {
			x := a.X + (b.X-a.X)*((y-a.Y)/(b.Y-a.Y))
			xs = append(xs, min(max(x, min(a.X, b.X)), max(a.X, b.X)))
			winds = append(winds, w)
		}
	}
	return xs, winds
}

type refArt struct {
	art   path.Artwork
	turn  func(path.Point) path.Point
	edges map[*path.Path]refEdges
	cutX  map[*path.Path][]float64
	cutW  map[*path.Path][]int
}

func (r *refArt) each(shapes []path.Shape, do func(p *path.Path)) {
	for i := range shapes {
		do(&shapes[i].Path)
		for _, c := range shapes[i].Clips {
			r.each(c.Shapes, do)
		}
	}
}

func (r *refArt) covers(s *path.Shape, x float64) bool {
	sum := 0
	for i, cx := range r.cutX[&s.Path] {
		if cx < x {
			sum += r.cutW[&s.Path][i]
		}
	}
	if s.Rule == path.NonZero && sum == 0 || s.Rule == path.EvenOdd && sum%2 == 0 {
		return false
	}
	for _, c := range s.Clips {
		through := false
		for i := range c.Shapes {
			through = through || r.covers(&c.Shapes[i], x)
		}
		if !through {
			return false
		}
	}
	return true
}

func (r *refArt) marked(x float64, group int) bool {
	top, swaps := -1, false
	for i := range r.art.Shapes {
		s := &r.art.Shapes[i]
		if r.covers(s, x) {
			top = i
			swaps = swaps != s.Invert
		}
	}
	return top >= 0 && r.art.Shapes[top].Group == group && r.art.Shapes[top].Paint.Bare(0.96) == swaps
}

// row returns the marked pieces at one height, joined where they touch.
func (r *refArt) row(y float64, up bool, group int) []path.Span {
	var xs []float64
	r.each(r.art.Shapes, func(p *path.Path) {
		r.cutX[p], r.cutW[p] = r.edges[p].cuts(y, up)
		xs = append(xs, r.cutX[p]...)
	})
	slices.Sort(xs)
	var out []path.Span
	for i := 1; i < len(xs); i++ {
		if xs[i]-xs[i-1] < 1e-11 || !r.marked((xs[i]+xs[i-1])/2, group) {
			continue
		}
		if n := len(out); n > 0 && xs[i-1]-out[n-1].X1 <= 1e-7 {
			out[n-1].X1 = xs[i]
		} else {
			out = append(out, path.Span{X0: xs[i-1], X1: xs[i]})
		}
	}
	return slices.DeleteFunc(out, func(s path.Span) bool { return s.X1-s.X0 <= 1e-7 })
}

func newRef(art path.Artwork, degrees float64) *refArt {
	m := path.Rotate(-degrees)
	r := &refArt{art: art, turn: m.Apply, edges: map[*path.Path]refEdges{},
		cutX: map[*path.Path][]float64{}, cutW: map[*path.Path][]int{}}
	r.each(art.Shapes, func(p *path.Path) { r.edges[p] = refPath(*p, r.turn) })
	return r
}

// compare checks one set of rows against the reference.
func compare(art path.Artwork, set *path.RowSet, degrees float64, group int) error {
	ref := newRef(art, degrees)
	for k := range set.NumRows() {
		y := ref.turn(set.At(k, 0)).Y
		want, got := withoutSlivers(ref.row(y, 2*k < set.NumRows()-1, group)), withoutSlivers(set.Row(k))
		if len(want) != len(got) {
			return fmt.Errorf("row %d at %v: want %v, got %v", k, y, want, got)
		}
		for i := range want {
			if math.Abs(want[i].X0-got[i].X0) > 1e-5 || math.Abs(want[i].X1-got[i].X1) > 1e-5 {
				return fmt.Errorf("row %d at %v: want %v, got %v", k, y, want, got)
			}
		}
	}
	return nil
}

// withoutSlivers leaves out gaps and spans so short that rounding may decide on
// them: where an edge rises by a billionth, x is no better than that.
func withoutSlivers(row []path.Span) []path.Span {
	var out []path.Span
	for _, s := range row {
		if n := len(out); n > 0 && s.X0-out[n-1].X1 < 2e-6 {
			out[n-1].X1 = s.X1
		} else {
			out = append(out, s)
		}
	}
	return slices.DeleteFunc(out, func(s path.Span) bool { return s.X1-s.X0 < 2e-6 })
}

// artist draws random artworks: on a coarse grid, so that vertices, edges and
// whole shapes meet and fall on rows, or anywhere.
type artist struct {
	*rand.Rand
	grid   float64
	groups int
	clips  []*path.Clip
}

func (a *artist) point() path.Point {
	p := path.Point{X: a.Float64() * 10, Y: a.Float64() * 10}
	if a.grid > 0 {
		p.X, p.Y = math.Round(p.X/a.grid)*a.grid, math.Round(p.Y/a.grid)*a.grid
	}
	return p
}

func (a *artist) path() path.Path {
	var p path.Path
	for range 1 + a.IntN(2) {
		first := a.point()
		p.MoveTo(first)
		prev := first
		for range 1 + a.IntN(6) {
			q := a.point()
			switch a.IntN(8) {
			case 0:
				q = prev
			case 1:
				q.X = prev.X
			case 2:
				q.Y = prev.Y
			}
			p.LineTo(q)
			prev = q
		}
		if a.IntN(3) > 0 {
			p.Close()
		}
	}
	return p
}

func (a *artist) shape(depth int) path.Shape {
	s := path.Shape{
		Path: a.path(), Rule: path.FillRule(a.IntN(2)), Group: a.IntN(a.groups),
		Paint: path.Paint{Opacity: 1}, Invert: a.IntN(8) == 0,
	}
	if a.IntN(4) == 0 {
		s.Paint = path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
	}
	for depth < 2 && a.IntN(3) == 0 {
		s.Clips = append(s.Clips, a.clip(depth+1))
	}
	return s
}

func (a *artist) clip(depth int) *path.Clip {
	if len(a.clips) > 0 && a.IntN(3) == 0 {
		return a.clips[a.IntN(len(a.clips))]
	}
	c := &path.Clip{}
	for range a.IntN(4) {
		c.Shapes = append(c.Shapes, a.shape(depth))
	}
	a.clips = append(a.clips, c)
	return c
}

func (a *artist) artwork() path.Artwork {
	art := path.Artwork{Page: path.Rect{Max: path.Point{X: 10, Y: 10}}}
	for range 1 + a.IntN(6) {
		art.Shapes = append(art.Shapes, a.shape(0))
		if a.IntN(6) == 0 { // the same again on top, as drawings are copied
			art.Shapes = append(art.Shapes, art.Shapes[a.IntN(len(art.Shapes))])
		}
	}
	if a.IntN(5) == 0 {
		art = hatch.InvertPage(art)
	}
	return art
}

func randomCase(seed uint64) (path.Artwork, hatch.Settings, float64) {
	a := &artist{Rand: rand.New(rand.NewPCG(seed, 1)), groups: 1 + int(seed%3)}
	a.grid = []float64{0, 1, 0.5, 0.25}[a.IntN(4)]
	angle := []float64{0, 45, 90, 135, 30, 1e-12, 89.9999999, 720, -45, 200, a.Float64() * 360}[a.IntN(11)]
	s := hatch.Settings{Tolerance: 1, Workers: 1}
	for i := range a.groups {
		s.Groups = append(s.Groups, hatch.Group{
			Setting: path.Setting{Name: fmt.Sprint(i), SpacingMM: []float64{0.1, 0.25, 0.5, 0.237}[a.IntN(4)]},
			Angles:  []float64{angle},
		})
	}
	return a.artwork(), s, angle
}

// seeds are those of so many random cases, of a quarter as many where FURROW_STRICT is not set,
// or the one that FURROW_SEED names.
func seeds(t testing.TB, n int) (first, count uint64) {
	if s := os.Getenv("FURROW_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		require.NoError(t, err)
		return v, 1
	}
	if !outside.Strict() {
		n /= 4
	}
	return 0, uint64(n)
}

func TestAgainstReference(t *testing.T) {
	first, n := seeds(t, 3000)
	if testing.Short() {
		n = min(n, 300)
	}
	spans := 0
	for seed := first; seed < first+n; seed++ {
		art, s, angle := randomCase(seed)
		marks, report, err := hatch.Fill(art, s)
		require.NoError(t, err)
		spans += report.Spans
		found := map[string]bool{}
		for i := range marks.Rows {
			name := marks.Settings[marks.Rows[i].Setting].Name
			found[name] = true
			group, _ := strconv.Atoi(name)
			half := math.Mod(math.Mod(angle, 180)+180, 180)
			if err := compare(art, &marks.Rows[i], half, group); err != nil {
				t.Fatalf("FURROW_SEED=%d, angle %v, group %d: %v", seed, angle, group, err)
			}
		}
	}
	require.Greater(t, spans, 1000)
}
