package inspect

import (
	"fmt"
	"hash/maphash"
	"math"

	"furrow/path"
)

// open lists filled shapes with a subpath that does not end where it starts.
// They are closed for filling, which may not be what was drawn.
func open(art path.Artwork) []Place {
	var list []Place
	for _, s := range art.Shapes {
		if s.Width > 0 {
			continue
		}
		if at, is := openAt(s.Path); is {
			list = append(list, Place{s.Source, at})
		}
	}
	return list
}

// openAt returns the end of the first open subpath that encloses something.
func openAt(p path.Path) (path.Point, bool) {
	var start, at path.Point
	segments, i := 0, 0
	isOpen := func() bool { return segments > 1 && start.Dist(at) > 1e-6 }
	for _, v := range p.Verbs {
		n := v.NumPoints()
		switch v {
		case path.MoveTo:
			if isOpen() {
				return at, true
			}
			start, segments = p.Points[i], 0
			at = start
		case path.Close:
			segments, at = 0, start
		default:
			segments++
			at = p.Points[i+n-1]
		}
		i += n
	}
	return at, isOpen()
}

// doubled lists shapes that have the outline of an earlier one, to a
// micrometre.
func doubled(art path.Artwork) []Place {
	seed := maphash.MakeSeed()
	seen := map[uint64][]int{}
	var list []Place
	for i, s := range art.Shapes {
		if len(s.Path.Points) == 0 {
			continue
		}
		h := hash(seed, s.Path)
		for _, j := range seen[h] {
			if same(s.Path, art.Shapes[j].Path) {
				list = append(list, Place{s.Source, s.Path.Bounds().Centre()})
				break
			}
		}
		seen[h] = append(seen[h], i)
	}
	return list
}

// hash covers the verbs and the number of points, and the bounds roughly.
func hash(seed maphash.Seed, p path.Path) uint64 {
	b := p.Bounds()
	return maphash.String(seed, fmt.Sprint(len(p.Verbs), math.Round(b.W()), math.Round(b.H())))
}

func same(a, b path.Path) bool {
	if len(a.Verbs) != len(b.Verbs) || len(a.Points) != len(b.Points) {
		return false
	}
	for i := range a.Points {
		if a.Points[i].Dist(b.Points[i]) > 0.001 {
			return false
		}
	}
	for i := range a.Verbs {
		if a.Verbs[i] != b.Verbs[i] {
			return false
		}
	}
	return true
}
