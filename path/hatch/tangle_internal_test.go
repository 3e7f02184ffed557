package hatch

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// tangles are rings of about 100,000 corners in all on a page of 200 mm that cross
// themselves and each other, as careless exports, scans of writing and ornaments do.
var tangles = []struct {
	name  string
	rings func() [][]path.Point
}{
	{"walk 0.3 mm", func() [][]path.Point { return one(walk(0.3)) }},
	{"walk 1 mm", func() [][]path.Point { return one(walk(1)) }},
	{"walk 3 mm", func() [][]path.Point { return one(walk(3)) }},
	{"walk 10 mm", func() [][]path.Point { return one(walk(10)) }},
	{"star 7", func() [][]path.Point { return one(star(7)) }},
	{"star 13", func() [][]path.Point { return one(star(13)) }},
	{"star 49999", func() [][]path.Point { return one(star(49_999)) }},
	{"Lissajous 101", func() [][]path.Point { return one(lissajous(101)) }},
	{"Lissajous 301", func() [][]path.Point { return one(lissajous(301)) }},
	{"Lissajous 801", func() [][]path.Point { return one(lissajous(801)) }},
	{"writing", writing},
	{"spirals", func() [][]path.Point { return [][]path.Point{spiral(85, 150), spiral(115, 150)} }},
	{"dense spirals", func() [][]path.Point { return [][]path.Point{spiral(99, 400), spiral(101, 400)} }},
	{"circles", circles},
	{"spokes", func() [][]path.Point { return one(star(50_001)) }},
	{"scribble", scribbled},
}

const tangleCorners = 100_000

func one(ring []path.Point) [][]path.Point { return [][]path.Point{ring} }

func polar(x, y, r, angle float64) path.Point {
	s, c := math.Sincos(angle)
	return path.Point{X: x + float64(r*c), Y: y + float64(r*s)}
}

func walk(step float64) []path.Point {
	r := rand.New(rand.NewPCG(1, 2))
	fold := func(x float64) float64 { return 200 - math.Abs(200-math.Abs(x)) }
	at, ring := path.Point{X: 100, Y: 100}, make([]path.Point, tangleCorners)
	for i := range ring {
		at = polar(at.X, at.Y, step, 2*math.Pi*r.Float64())
		at = path.Point{X: fold(at.X), Y: fold(at.Y)}
		ring[i] = at
	}
	return ring
}

func curve(at func(t float64) path.Point) []path.Point {
	ring := make([]path.Point, tangleCorners)
	for i := range ring {
		ring[i] = at(float64(i) / tangleCorners)
	}
	return ring
}

// star is the star polygon {n/k}.
func star(k int) []path.Point {
	return curve(func(t float64) path.Point { return polar(100, 100, 95, 2*math.Pi*t*float64(k)) })
}

func lissajous(a float64) []path.Point {
	return curve(func(t float64) path.Point {
		return path.Point{X: 100 + 95*math.Sin(2*math.Pi*a*t+0.3), Y: 100 + 95*math.Sin(2*math.Pi*(a+1)*t)}
	})
}

// thick is a stroke along a line, drawn there and back again.
func thick(line []path.Point, width float64) []path.Point {
	ring := append([]path.Point(nil), line...)
	for i := len(line) - 1; i >= 0; i-- {
		ring = append(ring, line[i].Add(path.Point{X: width, Y: width}))
	}
	return ring
}

// writing is 60 lines of loops.
func writing() [][]path.Point {
	var rings [][]path.Point
	for l := range 60 {
		line := make([]path.Point, tangleCorners/120)
		for i := range line {
			t := float64(i) / float64(len(line))
			a, more := 2*math.Pi*60*t, float64(l)
			line[i] = path.Point{
				X: 5 + 185*t + 2.2*math.Cos(a) + 0.8*math.Cos(3.3*a+more),
				Y: 3 + 3.25*more + 1.5*math.Sin(a) + 0.9*math.Sin(2.1*a+more),
			}
		}
		rings = append(rings, thick(line, 0.3))
	}
	return rings
}

func spiral(x, turns float64) []path.Point {
	line := make([]path.Point, tangleCorners/4)
	for i := range line {
		t := float64(i) / float64(len(line))
		line[i] = polar(x, 100, 1+80*t, 2*math.Pi*turns*t)
	}
	return thick(line, 20/turns)
}

func circles() [][]path.Point {
	r := rand.New(rand.NewPCG(3, 4))
	var rings [][]path.Point
	for range tangleCorners / 100 {
		x, y, radius := 40+120*r.Float64(), 40+120*r.Float64(), 5+35*r.Float64()
		ring := make([]path.Point, 100)
		for i := range ring {
			ring[i] = polar(x, y, radius, 2*math.Pi*float64(i)/100)
		}
		rings = append(rings, ring)
	}
	return rings
}

func scribbled() [][]path.Point {
	r := rand.New(rand.NewPCG(5, 6))
	return one(curve(func(float64) path.Point { return path.Point{X: 200 * r.Float64(), Y: 200 * r.Float64()} }))
}

// BenchmarkTangles does with each tangle what unites regions, or is refused. With -short
// it takes one of them.
func BenchmarkTangles(b *testing.B) {
	ways := []struct {
		name  string
		group Group
	}{
		{"outline", Group{Outline: Outline{When: Only}}},
		{"inset", Group{Inset: 0.05}},
		{"contours", Group{Contours: true}},
	}
	all := tangles
	if testing.Short() {
		all = all[4:5]
	}
	for _, t := range all {
		for _, way := range ways {
			b.Run(t.name+"/"+way.name, func(b *testing.B) {
				way.group.Setting.SpacingMM = 0.1
				art := ringArt(t.rings())
				b.ReportAllocs()
				for b.Loop() {
					m, r, err := Fill(art, Settings{Groups: []Group{way.group}, Tolerance: 0.01, Workers: 1})
					var tangle *TangleError
					if errors.As(err, &tangle) {
						b.ReportMetric(tangle.Crossings, "crossings-refused")
					} else if err != nil {
						b.Fatal(err)
					}
					points := 0
					for _, l := range m.Lines {
						points += len(l.Points)
					}
					b.ReportMetric(float64(points), "points")
					b.ReportMetric(float64(r.Spans), "spans")
				}
			})
		}
	}
}

func ringArt(rings [][]path.Point) path.Artwork {
	var p path.Path
	for _, r := range rings {
		p.MoveTo(r[0])
		for _, q := range r[1:] {
			p.LineTo(q)
		}
		p.Close()
	}
	return path.Artwork{Shapes: []path.Shape{{Path: p, Paint: path.Paint{Opacity: 1}}}}
}

// holes are so many squares of 0.2 mm, 0.4 mm apart, in a plate.
func holes(n int) [][]path.Point {
	all := [][]path.Point{{{X: -1, Y: -1}, {X: 201, Y: -1}, {X: 201, Y: 200}, {X: -1, Y: 200}}}
	for i := range n {
		x, y := float64(i%500)*0.4, float64(i/500)*0.4
		all = append(all, []path.Point{{X: x, Y: y}, {X: x, Y: y + 0.2}, {X: x + 0.2, Y: y + 0.2}, {X: x + 0.2, Y: y}})
	}
	return all
}

// A tangle that can be united, and has too many contours, is refused with the count of its
// crossings. What crosses less, as all drawings do, is never refused.
func TestContoursOfATangleAreBounded(t *testing.T) {
	require.False(t, (&enclosed{crossings: 50_000}).tangled())
	require.True(t, (&enclosed{crossings: 50_001}).tangled())
	require.False(t, (&enclosed{corners: 80_000, crossings: 80_000}).tangled())

	// Of a mesh the lines round each hole tell: they have 40 points, by a count of one.
	line, _ := parallel(holes(1)[1], 0.05, 0.002)
	require.Len(t, line, 40)
	mesh := enclosed{rings: holes(60_000), crossings: 50_001}
	rows := Group{Setting: path.Setting{SpacingMM: 0.1}}
	_, err := contours(&mesh, &rows, 0.002)
	require.EqualError(t, err, "edges cross each other about 50 thousand times, too often for contours inside "+
		"what they bound: to find those takes 2.4 million points and more")
	require.Equal(t, 4+2*40, beside([]component{holes(2)}, 0.05, 0.002))

	outside.Slow(t)
	s := Settings{Groups: []Group{{Contours: true, Setting: path.Setting{SpacingMM: 0.1}}}, Tolerance: 0.01}
	_, _, err = Fill(ringArt(one(walk(1))), s)
	var tangle *TangleError
	require.ErrorAs(t, err, &tangle)
	require.EqualError(t, tangle, "edges cross each other about 240 thousand times, too often for contours inside "+
		"what they bound: to find those takes 990 thousand points and more")
	require.Contains(t, tangle.Hint(), "rows need no contours")
}
