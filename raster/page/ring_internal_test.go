package page

import (
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
)

// Numbers stand beside their rings and clear of one another; a ring outside of
// the picture is left out.
func TestRings(t *testing.T) {
	s := spec(400, 300, 10)
	middle := s.Grid.Rect().Centre()
	for i := range 8 {
		s.Rings = append(s.Rings, Ring{At: middle.Add(path.Point{X: 2 * float64(i-4)}),
			Number: strings.Repeat("8", 1+i%3), Pattern: DashedCircle, Label: "gap"})
	}
	s.Rings = append(s.Rings, Ring{At: path.Point{X: 900, Y: 15}, Number: "1", Pattern: Circle, Label: "far away"})
	p := New(s)
	checkApart(t, p, "rings")
	assert.Contains(t, p.keys, Key{Pattern: DashedCircle, Label: "gap"})
	assert.NotContains(t, p.keys, Key{Pattern: Circle, Label: "far away"})
	without := s
	without.Rings = nil
	assert.Len(t, p.sheet.texts, len(New(without).sheet.texts)+8+1) // and the key
}
