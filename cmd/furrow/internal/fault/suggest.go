package fault

import (
	"fmt"
	"strings"
)

// Suggest words the nearest of the known names, or lists them.
func Suggest(name string, known []string) string {
	if near := Nearest(name, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) == 0 {
		return ""
	}
	list := strings.Join(known[:min(len(known), mostSuggested)], ", ")
	if more := len(known) - mostSuggested; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return "known are " + list
}

// mostSuggested is how many names a hint lists.
const mostSuggested = 24

// Nearest returns the known name at most two edits (of a short one: one edit) away
// from name, else the first that starts with it, or "".
func Nearest(name string, known []string) string {
	best, bestDist := "", 3
	if len(name) < 5 {
		bestDist = 2 // of a short word too little would be left
	}
	for _, k := range known {
		if d := editDistance(name, k); d < bestDist {
			best, bestDist = k, d
		}
	}
	for _, k := range known {
		if best == "" && len(name) > 1 && strings.HasPrefix(k, name) {
			best = k
		}
	}
	return best
}

// editDistance counts the insertions, deletions and replacements between two
// words (Levenshtein).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
