package hatch_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// painterly gives the shapes of a random artwork see-through paints, gradients,
// groups, blends and masks.
func (a *artist) painterly(art path.Artwork) path.Artwork {
	for i := range art.Shapes {
		a.repaint(&art.Shapes[i])
	}
	var group *path.PaintGroup
	for i := range art.Shapes {
		switch a.IntN(4) {
		case 0:
			group = a.group(group)
		case 1:
			if group != nil {
				group = group.In
			}
		}
		art.Shapes[i].In = group
	}
	return art
}

func (a *artist) colour() path.Paint {
	p := path.Paint{R: a.Float64(), G: a.Float64(), B: a.Float64(), Opacity: []float64{1, 1, a.Float64(),
		a.Float64() * 0.1, 0}[a.IntN(5)]}
	switch a.IntN(3) {
	case 0:
		p.R, p.G, p.B = 0, 0, 0
	case 1:
		p.R, p.G, p.B = 1, 1, 0.9+a.Float64()*0.1
	}
	return p
}

func (a *artist) repaint(s *path.Shape) {
	s.Paint = a.colour()
	if a.IntN(2) == 0 {
		return
	}
	g := &path.Gradient{Spread: path.Spread(a.IntN(3)), Radial: a.IntN(2) == 0}
	at := 0.0
	for range 1 + a.IntN(4) {
		at = math.Min(1, at+a.Float64()*0.6*float64(a.IntN(3)))
		g.Stops = append(g.Stops, path.Stop{Offset: at, Paint: a.colour()})
	}
	m := path.Translate(a.Float64()*10, a.Float64()*10).Mul(path.Rotate(a.Float64() * 360)).
		Mul(path.Scale(1+a.Float64()*8, 1+a.Float64()*8))
	g.Unit, _ = m.Inverse()
	if g.Radial && a.IntN(2) == 0 {
		g.Focus = path.Point{X: a.Float64() * 0.7, Y: a.Float64() * 0.6}
		g.Start = a.Float64() * (1 - g.Focus.Len())
	}
	s.Gradient = g
}

func (a *artist) group(in *path.PaintGroup) *path.PaintGroup {
	g := &path.PaintGroup{In: in, Opacity: []float64{1, a.Float64()}[a.IntN(2)]}
	if a.IntN(3) == 0 {
		g.Blend = path.Blend(a.IntN(12))
	}
	if a.IntN(4) == 0 {
		g.Mask = &path.Mask{Alpha: a.IntN(2) == 0}
		for range 1 + a.IntN(3) {
			s := path.Shape{Path: a.path(), Rule: path.FillRule(a.IntN(2))}
			a.repaint(&s)
			if a.IntN(4) == 0 {
				s.In = a.group(nil)
			}
			g.Mask.Shapes = append(g.Mask.Shapes, s)
		}
	}
	return g
}

func painterlyCase(seed uint64) (path.Artwork, *rand.Rand, int) {
	a := &artist{Rand: rand.New(rand.NewPCG(seed, 7)), groups: 1 + int(seed%3)}
	a.grid = []float64{0, 1, 0.5}[a.IntN(3)]
	return a.painterly(a.artwork()), a.Rand, a.groups
}

// settled reports that a little to all sides of a point the same is seen.
func settled(art path.Artwork, group int, p path.Point, d float64) bool {
	is := refSeen(art, group, p)
	for _, v := range []path.Point{{X: d}, {X: -d}, {Y: d}, {Y: -d}} {
		if refSeen(art, group, p.Add(v)) != is {
			return false
		}
	}
	return true
}

func TestSeenIsMarked(t *testing.T) {
	first, n := seeds(t, 1500)
	if testing.Short() {
		n = min(n, 200)
	}
	marked, asked := 0, 0
	for seed := first; seed < first+n; seed++ {
		art, r, groups := painterlyCase(seed)
		s := hatch.Settings{Workers: 1, Tolerance: 1}
		for i := range groups {
			s.Groups = append(s.Groups, hatch.Group{Setting: path.Setting{Name: fmt.Sprint(i), SpacingMM: 0.5},
				Angles: []float64{r.Float64() * 180}})
		}
		marks, _, err := hatch.Fill(art, s)
		require.NoError(t, err)
		for i := range marks.Rows {
			set := &marks.Rows[i]
			var group int
			_, err := fmt.Sscan(marks.Settings[set.Setting].Name, &group)
			require.NoError(t, err)
			for range 40 {
				k := r.IntN(set.NumRows())
				x := r.Float64()*30 - 10
				p := set.At(k, x)
				if !settled(art, group, p, 1e-4) {
					continue
				}
				asked++
				got := false
				for _, sp := range set.Row(k) {
					got = got || sp.X0 <= x && x < sp.X1
				}
				if got {
					marked++
				}
				require.Equal(t, refSeen(art, group, p), got, "FURROW_SEED=%d, group %d, row %d at %v: %v", seed,
					group, k, x, p)
			}
		}
	}
	t.Logf("%d points, %d of them marked", asked, marked)
	if n > 100 {
		require.Greater(t, marked, asked/50)
	}
}

// The boundary is that of the same region: points away from it are inside where
// they are seen. A gradient over another is cut into bands, so that a place may be
// wrong by the width of one.
func TestSeenBoundary(t *testing.T) {
	first, n := seeds(t, 60)
	if testing.Short() {
		n = min(n, 15)
	}
	asked, wrong := 0, 0
	for seed := first; seed < first+n; seed++ {
		art, r, _ := painterlyCase(seed)
		for i := range art.Shapes {
			art.Shapes[i].Group = 0
		}
		rings, err := hatch.Boundary(art, hatch.Settings{})
		require.NoError(t, err)
		all := path.Shape{Path: pathOf(rings)}
		for range 100 {
			p := path.Point{X: r.Float64() * 10, Y: r.Float64() * 10}
			if !settled(art, 0, p, 0.02) {
				continue
			}
			asked++
			if refSeen(art, 0, p) != refInside(&all, p) {
				wrong++
				if wrong < 10 {
					t.Logf("FURROW_SEED=%d at %v", seed, p)
				}
			}
		}
	}
	t.Logf("%d of %d points differ", wrong, asked)
	assert.LessOrEqual(t, wrong*500, asked)
}

func pathOf(rings [][]path.Point) (all path.Path) {
	for _, ring := range rings {
		all.MoveTo(ring[0])
		for _, p := range ring[1:] {
			all.LineTo(p)
		}
		all.Close()
	}
	return all
}

// A radial gradient whose first circle reaches out of its last paints a cone; beside it
// nothing is marked: no circle comes to what lies right of (10, 0), worked by hand.
func TestRadialGradientBesideItsCone(t *testing.T) {
	g := &path.Gradient{Radial: true, Unit: path.Scale(1, 1), Focus: path.Point{X: 0.7}, Start: 0.5,
		Stops: []path.Stop{{Paint: black}, {Offset: 1, Paint: black}}}
	s := solid(rect(10, -1, 20, 1))
	s.Gradient = g
	require.Empty(t, fill(t, art(s), rowsOf(0.1)).Rows)
	g.Focus.X = 0.4
	mm, _ := length(fill(t, art(s), rowsOf(0.1)))
	require.InDelta(t, 200, mm, 1e-6)
}
