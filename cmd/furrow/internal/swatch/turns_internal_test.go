package swatch

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
)

// at is a patch whose middle lies at x.
func at(name string, x float64) Patch {
	return Patch{Name: name, Box: path.Rect{Min: path.Point{X: x - 1, Y: -1}, Max: path.Point{X: x + 1, Y: 1}}}
}

func named(all []Patch) (names string) {
	for _, p := range all {
		names += p.Name
	}
	return names
}

// Of five with rising dose, two side by side: A is the coolest; C lies farther from it
// than B; D farther from C than B; then two that are warmer are marked, and B waits no
// longer.
func TestTurnsByHand(t *testing.T) {
	doses := map[string]float64{"A": 1, "B": 2, "C": 3, "D": 4, "E": 5}
	dose := func(p Patch) float64 { return doses[p.Name] }
	all := []Patch{at("E", 20), at("B", 1), at("D", 10), at("A", 0), at("C", 2)}
	require.Equal(t, "ACDBE", named(turns(all, dose, 2)))
	require.Equal(t, "ABCDE", named(turns(all, dose, 1)))
	require.Equal(t, "ABCDE", named(turns(all, dose, 0)))
	require.Equal(t, "EBDAC", named(all), "what was given stays")
	require.Empty(t, turns(nil, dose, 2))
	// As far to both: the cooler.
	require.Equal(t, "ABC", named(turns([]Patch{at("A", 0), at("C", -3), at("B", 3)}, dose, 2)))
}

// A second, plain reckoning of the rule, on random cards: the patches by dose; the one
// that has waited for as many as fit side by side, else the farthest of that many coolest.
func TestTurnsByThePlainRule(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for range 200 {
		band := 1 + r.Intn(5)
		var all []Patch
		doses := map[string]float64{}
		for i := range 1 + r.Intn(25) {
			p := at(Name(i, 0), float64(r.Intn(1000)))
			all, doses[p.Name] = append(all, p), r.Float64()
		}
		rank := func(p Patch) (n int) {
			for _, d := range doses {
				if d < doses[p.Name] {
					n++
				}
			}
			return n
		}
		coolest := map[int]Patch{}
		for _, p := range all {
			coolest[rank(p)] = p
		}
		var want []Patch
		for len(coolest) > 0 {
			best, far, seen := -1, -1.0, 0
			for i := range all {
				p, left := coolest[i]
				if !left {
					continue
				}
				if seen++; seen == 1 && (len(want) == 0 || len(want)-i >= band) {
					best = i
					break
				}
				if d := math.Abs(p.Box.Centre().X - want[len(want)-1].Box.Centre().X); seen <= band && d > far+1e-9 {
					best, far = i, d
				}
			}
			want = append(want, coolest[best])
			delete(coolest, best)
		}
		require.Equal(t, named(want), named(turns(all, func(p Patch) float64 { return doses[p.Name] }, band)))
	}
}

// Patches of one height stay together, and the machine waits before each height but not
// within one; where no height is set it never waits.
func TestHeightsStayTogether(t *testing.T) {
	c := Card{Spec: Spec{Machine: found(t, "example-co2"), Fill: plain(100, 20, 1)}}
	for i, stop := range []int{2, 1, 2, 1} {
		p := at(Name(i, 0), 10*float64(i))
		p.stop, p.Fill = stop, c.Spec.Fill
		c.Patches = append(c.Patches, p)
	}
	require.True(t, c.stops())
	var holds []bool
	var stops []int
	for _, p := range c.sequence() {
		stops, holds = append(stops, p.stop), append(holds, p.Hold)
	}
	require.Equal(t, []int{1, 1, 2, 2}, stops)
	require.Equal(t, []bool{true, false, true, false}, holds)
	for i := range c.Patches {
		c.Patches[i].stop = 0
	}
	for _, p := range c.sequence() {
		require.False(t, p.Hold)
	}
	require.False(t, c.stops())
}
