package hatch

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// pixel is the pitch of the grid that the corners of united regions lie on,
// mm: near the greatest gap that counts as none, and a power of two, so that
// grid numbers and millimetres convert exactly.
const pixel = 1.0 / (1 << 23)

// spot is a point of the grid, in pixels.
type spot struct{ x, y int64 }

func spotOf(p path.Point) spot {
	return spot{int64(math.Round(p.X / pixel)), int64(math.Round(p.Y / pixel))}
}

func (s spot) point() path.Point {
	return path.Point{X: float64(s.x) * pixel, Y: float64(s.y) * pixel}
}

// to returns the vector from s to t, in pixels, exactly.
func (s spot) to(t spot) path.Point {
	return path.Point{X: float64(t.x - s.x), Y: float64(t.y - s.y)}
}

// side is a side of a ring of some region, between two spots, or a piece of one.
type side struct {
	a, b, region int32
	point        int32 // at which it ends, numbered over all rings
}

// split says that a side is to run through a spot.
type split struct{ side, spot int32 }

// arrangement is sides that meet nowhere but at their ends, after snap: the
// method is snap rounding (Hobby, "Practical segment intersection with finite
// precision output", 1999). Every end and every crossing is moved to the
// centre of its pixel, and every side that passes through such a pixel is led
// through that centre. No side moves by more than a pixel, and what comes out
// crosses nothing, which his paper proves.
type arrangement struct {
	spots   []spot
	sides   []side
	splits  []split
	points  int32 // of all rings
	corners int32 // spots below this number are corners of rings, the others crossings

	changes    []change // of all fragments
	fragmentOf []int32  // by side: its fragment, or -1 where sides cancel out
}

// maxCrossings bounds how many crossings one region may have, and with it time
// and memory: of a mesh of thin lines, which has a hole for each, an outline takes 8 s and
// inspect 500 MB. Drawings have thousands of crossings at most.
const maxCrossings = 700_000

// maxSplits bounds the places where sides meet others, of which those that lie on
// each other have many without a crossing.
const maxSplits = 8 * maxCrossings

// arrange snaps the rings of f.
func arrange(f *flat) (*arrangement, error) {
	a := &arrangement{}
	a.place(f)
	if len(a.sides) == 0 {
		return a, nil
	}
	twin := a.twins()
	if err := a.meet(firsts(twin)); err != nil {
		return nil, err
	}
	a.cut(twin)
	return a, nil
}

// full reports that there are too many crossings.
func (a *arrangement) full() bool {
	return a.crossings() > maxCrossings || len(a.splits) > maxSplits
}

func (a *arrangement) crossings() int { return len(a.spots) - int(a.corners) }

// place gives the corners of all rings their spots, and the sides between them.
func (a *arrangement) place(f *flat) {
	n := f.points()
	ids := newPlaces(n)
	a.sides = make([]side, 0, n)
	for _, r := range f.rings {
		prev := ids.of(spotOf(r.points[len(r.points)-1]))
		for _, p := range r.points {
			id := ids.of(spotOf(p))
			if id != prev {
				a.sides = append(a.sides, side{a: prev, b: id, region: r.region, point: a.points})
			}
			prev = id
			a.points++
		}
	}
	a.spots, a.corners = ids.spots, int32(len(ids.spots))
}

// places numbers spots in the sequence in which they come: a hash table of their
// numbers, which takes a quarter of the memory of a map.
type places struct {
	spots []spot
	table []int32 // number+1 of a spot, from the place of its hash on; 0 is free
	shift uint
}

func newPlaces(most int) *places {
	p := &places{spots: make([]spot, 0, most), shift: 60}
	for n := 16; n < most+most/2; n *= 2 {
		p.shift--
	}
	p.table = make([]int32, 1<<(64-p.shift))
	return p
}

// of returns the number of a spot.
func (p *places) of(s spot) int32 {
	// Fibonacci hashing (Knuth, The Art of Computer Programming 3, 6.4), of both numbers.
	h := (uint64(s.x)*0x9E3779B97F4A7C15 ^ uint64(s.y)) * 0x9E3779B97F4A7C15 >> p.shift
	for p.table[h] != 0 {
		if id := p.table[h] - 1; p.spots[id] == s {
			return id
		}
		h = (h + 1) & uint64(len(p.table)-1)
	}
	p.spots = append(p.spots, s)
	p.table[h] = int32(len(p.spots))
	return int32(len(p.spots)) - 1
}

// twins returns for each side the first of those that have the same ends. Of many
// shapes that share an edge, or of copies, only one is looked at.
func (a *arrangement) twins() []int32 {
	from := bundle(len(a.spots), len(a.sides), func(i int) int32 { return min(a.sides[i].a, a.sides[i].b) })
	first := make([]int32, len(a.sides))
	far := func(i int32) int32 { return max(a.sides[i].a, a.sides[i].b) }
	for u := range a.spots {
		list := from.of(int32(u))
		slices.SortFunc(list, func(i, k int32) int { return cmp.Or(cmp.Compare(far(i), far(k)), cmp.Compare(i, k)) })
		for n, i := range list {
			if first[i] = i; n > 0 && far(list[n-1]) == far(i) {
				first[i] = first[list[n-1]]
			}
		}
	}
	return first
}

// cut replaces the sides by their pieces between the spots they run through; twins
// run through the same.
func (a *arrangement) cut(twin []int32) {
	through := bundle(len(a.sides), len(a.splits), func(i int) int32 { return a.splits[i].side })
	out := make([]side, 0, len(a.sides)+len(a.splits))
	for i, s := range a.sides {
		list := through.of(twin[i])
		a.alongside(s, list)
		for _, k := range list {
			if id := a.splits[k].spot; id != s.a {
				out = append(out, side{a: s.a, b: id, region: s.region, point: s.point})
				s.a = id
			}
		}
		if s.a != s.b {
			out = append(out, s)
		}
	}
	a.sides, a.splits = out, nil
}

// alongside sorts splits of a side from its start to its end.
func (a *arrangement) alongside(s side, list []int32) {
	if len(list) < 2 {
		return
	}
	p := a.spots[s.a]
	d := p.to(a.spots[s.b])
	slices.SortFunc(list, func(i, k int32) int {
		x, y := a.splits[i].spot, a.splits[k].spot
		switch u, v := d.Dot(p.to(a.spots[x])), d.Dot(p.to(a.spots[y])); {
		case u < v:
			return -1
		case u > v:
			return 1
		}
		return int(x - y)
	})
}

// bundles are numbers put together by what they belong to.
type bundles struct{ start, list []int32 }

// bundle puts the numbers below n together by which of the first m numbers each
// belongs to, those of a bundle in their sequence.
func bundle(m, n int, to func(i int) int32) bundles {
	b := bundles{make([]int32, m+1), make([]int32, n)}
	for i := range n {
		b.start[to(i)]++
	}
	sum := int32(0)
	for i, c := range b.start {
		sum += c
		b.start[i] = sum
	}
	for i := n - 1; i >= 0; i-- {
		k := to(i)
		b.start[k]--
		b.list[b.start[k]] = int32(i)
	}
	return b
}

func (b *bundles) of(i int32) []int32 { return b.list[b.start[i]:b.start[i+1]] }
