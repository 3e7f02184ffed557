package work

import (
	"cmp"
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// How many lines of warnings a screen shows, of them at least so many of what the
// artwork loses; what concerns machine and settings is never left out.
const (
	mostLines    = 10
	leastArtwork = 3
)

// toldAlone is how many warnings of a kind are told one by one.
const toldAlone = 2

// Told words warnings for a screen: what the artwork loses summed by kind, the largest
// loss first, and after it all others.
func Told(all []Warning) []string {
	var artwork, others []Warning
	for _, w := range all {
		if w.Kind != "" {
			artwork = append(artwork, w)
		} else {
			others = append(others, w)
		}
	}
	var lines []string
	room, left := max(mostLines-len(others), leastArtwork), len(artwork)
	entries := summed(artwork)
	for i, e := range entries {
		if room == 1 && i+1 < len(entries) {
			lines = append(lines, fmt.Sprintf("and %d more of the artwork; furrow inspect --json tells all of them",
				left))
			break
		}
		lines, left, room = append(lines, e.String()), left-len(e), room-1
	}
	for _, w := range others {
		lines = append(lines, w.String())
	}
	return lines
}

// entry is warnings of a kind, the largest loss first.
type entry []Warning

func (e entry) String() string {
	if len(e) == 1 {
		return e[0].String()
	}
	area, prefix := e.area(), ""
	if e[0].File != "" {
		prefix = e[0].File + ": "
	}
	in, first := "", "the first"
	if area > 0 {
		in, first = fmt.Sprintf(" within %s mm2", words.Decimal(area, 0)), "the largest"
	}
	return fmt.Sprintf("%s%s: %d elements%s; %s: %s", prefix, e[0].Kind, len(e), in, first, e[0].inFile())
}

func (e entry) area() (sum float64) {
	for _, w := range e {
		sum += w.AreaMM2
	}
	return sum
}

// summed joins warnings of a kind, those of fonts where they say the same, and sorts
// by loss; what has no known size comes last, as it stands in the file.
func summed(all []Warning) []entry {
	type key struct {
		kind          path.Kind
		file, message string
	}
	index := map[key]int{}
	var list []entry
	for _, w := range all {
		k := key{w.Kind, w.File, ""}
		if w.Kind == path.MissingFont {
			k.message = w.Message
		}
		i, ok := index[k]
		if !ok {
			i = len(list)
			index[k], list = i, append(list, nil)
		}
		list[i] = append(list[i], w)
	}
	var out []entry
	for _, e := range list {
		slices.SortStableFunc(e, func(a, b Warning) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
		if len(e) > toldAlone {
			out = append(out, e)
			continue
		}
		for i := range e {
			out = append(out, e[i:i+1])
		}
	}
	slices.SortStableFunc(out, func(a, b entry) int { return cmp.Compare(b.area(), a.area()) })
	return out
}
