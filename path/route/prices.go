package route

import "math/bits"

// prices remembers the travel between ends of a tour: the search asks for the same ones
// again and again, and a machine's Cost takes longer than to look them up.
type prices struct {
	known []price // its length a power of two
	shift int
}

type price struct {
	ends uint64 // both, and the variants of their cells; 0 for none
	cost float64
}

// mostPrices bounds what is remembered, to what the caches of a processor hold.
const mostPrices = 1 << 16

func newPrices(items int) prices {
	n := min(mostPrices, 1<<bits.Len(uint(16*items)))
	return prices{make([]price, n), 64 - bits.TrailingZeros(uint(n))}
}

// priced returns the travel between two ends, as remembered if it is.
func (t *tour) priced(e, f int32) float64 {
	if e > f {
		e, f = f, e
	}
	a, b := t.variantOf(e), t.variantOf(f)
	if max(a, b) > 1 {
		return t.travel(&t.ends[e], &t.ends[f])
	}
	t.looks++
	key := uint64(2*e+a+1)<<32 | uint64(2*f+b+1)
	p := &t.prices.known[key*0x9E3779B97F4A7C15>>t.prices.shift]
	if p.ends != key {
		p.ends, p.cost = key, t.cost.Travel(t.ends[e], t.ends[f].reversed())
	}
	return p.cost
}

// variantOf returns the variant of the cell that an end belongs to, 0 for the depot.
func (t *tour) variantOf(e int32) int32 {
	if e >= t.depot {
		return 0
	}
	return t.variant[e>>1]
}
