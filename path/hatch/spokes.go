package hatch

import (
	"math"
	"math/big"
	"slices"

	"furrow/path"
)

// spokes lists the fragments at each spot.
type spokes struct{ bundles }

func newSpokes(spots int, frags []fragment) spokes {
	ends := bundle(spots, 2*len(frags), func(i int) int32 {
		if f := &frags[i/2]; i%2 == 0 {
			return f.u
		} else {
			return f.v
		}
	})
	for i := range ends.list {
		ends.list[i] /= 2
	}
	return spokes{ends}
}

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
