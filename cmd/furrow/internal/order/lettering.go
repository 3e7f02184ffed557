package order

import (
	"slices"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

// How wide a line is drawn that must be read on paper, and what a page's width holds at
// true size, mm.
const (
	readableMM = 0.25
	paperWide  = 180
)

// readable is how wide a line is drawn in a picture of so many mm.
func readable(mm float64) float64 { return readableMM * max(1, mm/paperWide) }

// lettering are the strokes of letters without width.
func lettering(s work.Strokes) (letters path.Program) {
	var texts []path.Rect
	for _, sh := range s.Art.Shapes {
		if sh.Width > 0 && sh.Width < path.MinSpacing && !sh.Centre.Empty() {
			texts = append(texts, sh.Centre.Bounds().Grow(path.MinSpacing))
		}
	}
	for i, st := range s.Program.Strokes {
		pts := s.Program.PointsOf(i)
		inside := func(text path.Rect) bool { return text.Union(path.BoundsOf(pts)) == text }
		if st.Kind == path.LineStroke && slices.ContainsFunc(texts, inside) {
			letters.Append(st, pts...)
		}
	}
	return letters
}

// joined is a program with the strokes of another behind its own.
func joined(p, q path.Program) path.Program {
	for i, s := range q.Strokes {
		p.Append(s, q.PointsOf(i)...)
	}
	return p
}

// lettersIn are the strokes of letters of the part that lies in a seat.
func (o *Order) lettersIn(s fixture.Seat) path.Program {
	letters := o.letters[o.parts[s.Part].Look]
	return letters.Transform(s.Pocket.Place(o.Blank))
}
