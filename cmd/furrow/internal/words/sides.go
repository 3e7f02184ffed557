package words

import (
	"fmt"
	"strings"

	"furrow/path"
)

// PastSides words how far a rectangle reaches past another, to a hundredth of a
// millimetre, or returns "".
func PastSides(marks, room path.Rect) string { return Sides(marks, room, 2) }

// Sides words how far a rectangle reaches past another, or returns "".
func Sides(r, room path.Rect, digits int) string {
	var sides []string
	for _, s := range []struct {
		name string
		mm   float64
	}{
		{"left", room.Min.X - r.Min.X}, {"right", r.Max.X - room.Max.X},
		{"below", room.Min.Y - r.Min.Y}, {"above", r.Max.Y - room.Max.Y},
	} {
		if s.mm > PastSide {
			sides = append(sides, fmt.Sprintf("%.*f mm %s", digits, s.mm, s.name))
		}
	}
	return strings.Join(sides, ", ")
}

// PastSide is how far a rectangle may reach past another without a word: a tenth
// of what can be measured with a rule, mm.
const PastSide = 0.05

// Past reports that PastSides has something to say.
func Past(r, room path.Rect) bool {
	return max(room.Min.X-r.Min.X, r.Max.X-room.Max.X, room.Min.Y-r.Min.Y, r.Max.Y-room.Max.Y) > PastSide
}

// Rect words the size of a rectangle and where it lies.
func Rect(r path.Rect) string {
	return Size(r) + ", " + Place(r)
}

// Place words where a rectangle lies.
func Place(r path.Rect) string {
	return fmt.Sprintf("X %s to %s, Y %s to %s", Decimal(r.Min.X, 3), Decimal(r.Max.X, 3), Decimal(r.Min.Y, 3),
		Decimal(r.Max.Y, 3))
}
