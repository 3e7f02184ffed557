package text

import (
	"slices"
	"unicode"

	"github.com/benoitkugler/textprocessing/fribidi"
)

// levelsOf returns the level of embedding of each letter (Unicode Standard Annex
// 9). A text without any letter of a right-to-left script is level throughout.
func levelsOf(letters []rune, rightToLeft bool) []int8 {
	levels := make([]int8, len(letters))
	if !rightToLeft && !slices.ContainsFunc(letters, RunsBack) {
		return levels
	}
	base := fribidi.CharType(fribidi.LTR)
	if rightToLeft {
		base = fribidi.RTL
	}
	visual, _ := fribidi.LogicalToVisual(0, letters, &base)
	for i := range min(len(levels), len(visual.EmbeddingLevels)) {
		levels[i] = int8(visual.EmbeddingLevels[i])
	}
	return levels
}

// RunsBack reports a letter that runs right to left, or a mark that says so.
func RunsBack(r rune) bool {
	return r >= 0x590 && (r < 0x900 || r >= 0xfb1d && r < 0xff00 && unicode.IsLetter(r) || r >= 0x10800 &&
		r < 0x11000 ||
		r >= 0x1e800 && r < 0x1f000 || r == 0x200f || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069)
}

// reorder puts pieces into the sequence in which they are seen from left to right
// (Unicode Standard Annex 9, rule L2).
func reorder(list []piece) {
	highest, lowestOdd := int8(0), int8(127)
	for _, p := range list {
		highest = max(highest, p.level)
		if p.level%2 == 1 {
			lowestOdd = min(lowestOdd, p.level)
		}
	}
	for level := highest; level >= lowestOdd; level-- {
		for i := 0; i < len(list); {
			k := i
			for k < len(list) && list[k].level >= level {
				k++
			}
			slices.Reverse(list[i:k])
			i = max(k, i+1)
		}
	}
}
