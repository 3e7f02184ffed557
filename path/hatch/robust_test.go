package hatch_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// Rows over vertices and edges that lie exactly on them: of two edges on rows,
// that nearer to the middle counts as inside and the other as outside, so that
// a square is as high in rows as in spacings.
func TestEdgesExactlyOnRows(t *testing.T) {
	frame := solid(rect(0, 0, 10, 10)) // rows at 0.5, 1.5 ... 9.5
	count := func(p path.Path, turn float64) (n int) {
		group := rowsOf(1, turn)
		f := frame
		f.Group = 0
		s := solid(p)
		s.Group = 1
		other := rowsOf(1, turn)
		other.Setting.Name = "frame"
		a := art(f, s).Transform(path.Rotate(turn))
		a.Shapes[0].Group, a.Shapes[1].Group = 0, 0
		a.Shapes[0].Paint = white // the square alone is marked, on the grid of both
		a.Shapes = append([]path.Shape{{Path: a.Shapes[0].Path, Paint: black}}, a.Shapes...)
		m := fill(t, a, group)
		for _, set := range m.Rows {
			n += len(set.Spans)
		}
		return n
	}
	for _, turn := range []float64{0, 90, 45, 180, 17} {
		require.Equal(t, 3, count(rect(2, 1.5, 4, 4.5), turn), "edges on rows, turned by %v", turn)
		require.Equal(t, 2, count(rect(2, 3, 4, 5), turn))
		require.Equal(t, 1, count(polygon(2, 1.5, 3, 2.5, 2, 3.5, 1, 2.5), turn),
			"vertices on rows, turned by %v", turn)
		require.Equal(t, 3, count(rect(2, 5.5, 4, 8.5), turn))
		require.Zero(t, count(polygon(2, 1.5, 4, 1.5), turn))
	}
}

func TestDegenerateRings(t *testing.T) {
	square := length2(t, rect(0, 0, 10, 10))
	require.InDelta(t, 100, square, 1e-9)
	for name, tt := range map[string]struct {
		path path.Path
		want float64
	}{
		"repeated points":  {polygon(0, 0, 0, 0, 10, 0, 10, 0, 10, 10, 0, 10, 0, 10), 100},
		"spike":            {polygon(0, 0, 10, 0, 10, 10, 15, 10, 10, 10, 0, 10), 100},
		"there and back":   {polygon(0, 0, 10, 0, 0, 0, 10, 0), 0},
		"one point":        {polygon(1, 1, 1, 1, 1, 1), 0},
		"bow tie":          {polygon(0, 0, 10, 10, 10, 0, 0, 10), 50},
		"twice round":      {polygon(0, 0, 10, 0, 10, 10, 0, 10, 0, 0, 10, 0, 10, 10, 0, 10), 100},
		"wound and back":   {both(rect(0, 0, 10, 10), polygon(0, 0, 0, 10, 10, 10, 10, 0)), 0},
		"sliver of 1 nm":   {rect(0, 0, 1e-6, 10), 1e-5},
		"flat sliver":      {polygon(0, 0.5, 10, 0.5, 10, 0.5000001, 0, 0.5000001), 10},
		"at the far end":   {rect(99990, 99990, 1e5, 1e5), 100},
		"at the other end": {rect(-1e5, -1e5, -99990, -99990), 100},
	} {
		require.InDelta(t, tt.want, length2(t, tt.path), 1e-9, name)
	}
}

func both(p, q path.Path) path.Path {
	return path.Path{Verbs: append(p.Verbs, q.Verbs...), Points: append(p.Points, q.Points...)}
}

// length2 returns the length of the rows 1 mm apart in one shape.
func length2(t *testing.T, p path.Path) float64 {
	mm, _ := length(fill(t, art(solid(p)), rowsOf(1)))
	return mm
}

func TestSharedEdges(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		// Tiles of a torn square, laid side by side in any sequence, some twice.
		at := func(x, y int) path.Point {
			q := rand.New(rand.NewPCG(uint64(x), uint64(y)))
			if x%5 == 0 || y%5 == 0 {
				return path.Point{X: float64(x) * 2, Y: float64(y) * 2}
			}
			return path.Point{X: float64(x)*2 + q.Float64(), Y: float64(y)*2 + q.Float64()}
		}
		var shapes []path.Shape
		for i := range 25 {
			x, y := i%5, i/5
			a, b, c, d := at(x, y), at(x+1, y), at(x+1, y+1), at(x, y+1)
			shapes = append(shapes, solid(polygon(a.X, a.Y, b.X, b.Y, c.X, c.Y, d.X, d.Y)))
		}
		r.Shuffle(len(shapes), func(i, j int) { shapes[i], shapes[j] = shapes[j], shapes[i] })
		angle := r.Float64() * 360
		tiles := fill(t, art(shapes...), rowsOf(0.21, angle)).Rows[0]
		whole := fill(t, art(solid(rect(0, 0, 10, 10))), rowsOf(0.21, angle)).Rows[0]
		require.Equal(t, whole.Start, tiles.Start)
		for i, s := range whole.Spans {
			require.InDelta(t, s.X0, tiles.Spans[i].X0, 1e-7)
			require.InDelta(t, s.X1, tiles.Spans[i].X1, 1e-7)
		}
	}
}

func TestTinyGapsMerge(t *testing.T) {
	spans := func(gap float64) int {
		return len(fill(t, art(solid(rect(0, 0, 1, 1)), solid(rect(1+gap, 0, 2, 1))), rowsOf(1)).Rows[0].Spans)
	}
	require.Equal(t, 1, spans(0.9e-7))
	require.Equal(t, 2, spans(1e-6))
}

// Turning the artwork and the rows alike changes no length.
func TestTurnedArtwork(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	check := func(name string, a path.Artwork, theta, phi, spacing float64) {
		want, _ := length(fill(t, a, rowsOf(spacing, theta)))
		got, _ := length(fill(t, a.Transform(path.Rotate(phi)), rowsOf(spacing, theta+phi)))
		require.InDelta(t, want, got, 1e-9*want+1e-9, "%s at %v turned by %v", name, theta, phi)
	}
	for seed := range uint64(300) {
		a, _, _ := randomCase(seed)
		for i := range a.Shapes {
			a.Shapes[i].Group = 0
		}
		check(fmt.Sprint("seed ", seed), a, r.Float64()*360, r.Float64()*360, 0.0973)
	}
	discs := art(solid(disc(3, 4, 10)), knock(disc(3, 4, 6)), solid(disc(3, 4, 5)))
	for _, phi := range []float64{30, 45, 90, 123.4, 180, 270, -11} {
		check("discs", discs, 0, phi, 0.05)
		check("squares on rows", art(solid(rect(0, 0, 10, 10)), knock(rect(2, 2.5, 4, 4.5)),
			solid(rect(2, 3, 4, 4))), 0, phi, 1)
	}
}

// A ring of a million vertices, area by the shoelace formula.
func TestRingOfAMillionVertices(t *testing.T) {
	const n = 1_000_000
	var p path.Path
	pts := make([]path.Point, n)
	for i := range pts {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		d := 50 + 0.4*math.Sin(5000*math.Pi*2*float64(i)/n)
		pts[i] = path.Point{X: d * c, Y: d * s}
		if i == 0 {
			p.MoveTo(pts[0])
		} else {
			p.LineTo(pts[i])
		}
	}
	p.Close()
	area := 0.0
	for i, q := range pts {
		area += q.Cross(pts[(i+1)%n]) / 2
	}
	_, got := length(fill(t, art(solid(p)), rowsOf(0.05, 30)))
	require.InEpsilon(t, area, got, 1e-4)
}

// A star of long edges in any sequence: the order of crossings is lost from row
// to row, and sorting must not become quadratic.
func TestTangleOfAHundredThousandVertices(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	var p path.Path
	p.MoveTo(path.Point{})
	for range 100_000 {
		p.LineTo(path.Point{X: r.Float64(), Y: r.Float64() * 100})
	}
	p.Close()
	m := fill(t, art(solid(p)), rowsOf(5))
	require.Equal(t, 20, m.Rows[0].NumRows())
	mm, _ := length(m)
	require.InDelta(t, 20, mm, 1.5)
}

// FuzzFill takes bytes for coordinates: nothing may panic, spans stay sorted,
// apart and within the rows' shapes, and a half turn marks the same.
func FuzzFill(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 255, 255, 0, 0, 0, 0, 255, 255}, 45.0, uint8(3))
	f.Add([]byte("a ring that crosses itself, and again"), 0.0, uint8(0))
	f.Fuzz(func(t *testing.T, raw []byte, angle float64, kind uint8) {
		a := fuzzArt(raw, kind)
		group := rowsOf(1, angle)
		if b := a.Bounds(); kind&8 != 0 && b.W() < 1000 && b.H() < 1000 { // thin parts are looked for piece by piece
			group.Inset = 0.3
		}
		if kind&16 != 0 {
			group.Outline = hatch.Outline{When: hatch.After, Offset: 0.2, Overlap: 0.1}
		}
		m, _, err := hatch.Fill(a, hatch.Settings{Groups: []hatch.Group{group}})
		if err != nil {
			return
		}
		for i := range m.Rows {
			set := &m.Rows[i]
			for k := range set.NumRows() {
				last := math.Inf(-1)
				for _, s := range set.Row(k) {
					if !(s.X0 > last && s.X1 > s.X0 && set.At(k, s.X1).Finite()) {
						t.Fatalf("row %d: %v", k, set.Row(k))
					}
					last = s.X1
				}
			}
		}
		for _, l := range m.Lines {
			for _, p := range l.Points {
				if !p.Finite() {
					t.Fatalf("line %v", l)
				}
			}
		}
	})
}

// fuzzArt makes rings of the bytes: small whole numbers, which meet in every
// way, or the bits of any floating-point number.
func fuzzArt(raw []byte, kind uint8) path.Artwork {
	var a path.Artwork
	var p path.Path
	next := func() float64 {
		size := 1
		if kind&1 != 0 {
			size = 8
		}
		if len(raw) < size {
			raw = nil
			return 0
		}
		defer func() { raw = raw[size:] }()
		if size == 8 {
			return math.Float64frombits(binary.LittleEndian.Uint64(raw))
		}
		return float64(raw[0]) / 8
	}
	for n := 0; len(raw) > 0; n++ {
		q := path.Point{X: next(), Y: next()}
		if n%7 == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
		if n%21 == 20 || len(raw) == 0 {
			s := path.Shape{Path: p, Rule: path.FillRule(kind >> 1 & 1), Paint: black, Invert: kind&32 != 0}
			if n%2 == 1 && kind&4 != 0 {
				s.Paint = white
			}
			if len(a.Shapes) > 0 && kind&64 != 0 {
				s.Clips = []*path.Clip{{Shapes: a.Shapes[len(a.Shapes)-1:]}}
			}
			a.Shapes = append(a.Shapes, s)
			p = path.Path{}
		}
	}
	return a
}
