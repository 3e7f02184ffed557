package inspect

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Where two edges face each other is found as a plain map finds it.
func TestPartnersAgainstAMap(t *testing.T) {
	const edges = 40
	rng := rand.New(rand.NewPCG(7, 1))
	var found []across
	plain := map[[2]int32]int{}
	for range 300 {
		e, f := rng.Int32N(edges), rng.Int32N(edges)
		if _, is := plain[[2]int32{min(e, f), max(e, f)}]; e != f && !is {
			plain[[2]int32{min(e, f), max(e, f)}] = len(found)
			found = append(found, across{e: e, f: f})
		}
	}
	p := newPartners(found, edges)
	for e := range int32(edges) {
		for f := range int32(edges) {
			want, is := plain[[2]int32{e, f}]
			if !is {
				want = -1
			}
			require.Equal(t, want, p.of(e, f))
		}
	}
}
