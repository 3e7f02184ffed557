package hatch

import (
	"math"
	"math/big"
	"slices"

	"furrow/path"
)

// spokes lists the fragments at each spot.
type spokes struct {
	start []int32 // by spot: where its list begins
	list  []int32
}

func newSpokes(spots int, frags []fragment) spokes {
	start := make([]int32, spots+1)
	for _, f := range frags {
		start[f.u+1]++
		start[f.v+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	list := make([]int32, start[spots])
	next := slices.Clone(start)
	for i, f := range frags {
		for _, s := range [...]int32{f.u, f.v} {
			list[next[s]] = int32(i)
			next[s]++
		}
	}
	return spokes{start, list}
}

func (s *spokes) of(spot int32) []int32 { return s.list[s.start[spot]:s.start[spot+1]] }

// index returns the place of a fragment in the list of a spot.
func (s *spokes) index(spot, frag int32) int32 { return int32(slices.Index(s.of(spot), frag)) }

// other returns the end of f that is not at.
func (f *fragment) other(at int32) int32 { return f.u + f.v - at }

// orient returns the sign of the turn from p to q, 1 for counter-clockwise,
// exactly: p and q are vectors between spots, which are whole numbers.
func orient(p, q path.Point) int {
	a, b := p.X*q.Y, p.Y*q.X
	if d := a - b; math.Abs(d) > 0x1p-51*(math.Abs(a)+math.Abs(b)) {
		if d > 0 {
			return 1
		}
		return -1
	}
	return product(p.X, q.Y).Cmp(product(p.Y, q.X))
}

// product returns a·b of whole numbers.
func product(a, b float64) *big.Int {
	return new(big.Int).Mul(big.NewInt(int64(a)), big.NewInt(int64(b)))
}
