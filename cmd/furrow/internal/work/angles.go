package work

import (
	"furrow/cmd/furrow/internal/words"
	"furrow/path/hatch"
)

// AngleWords lists the directions of the rows of the first pass.
func AngleWords(f hatch.Group) string {
	var all []string
	for _, a := range f.Angles {
		all = append(all, words.Decimal(a, 3))
		if f.Cross != 0 {
			all = append(all, words.Decimal(a+f.Cross, 3))
		}
	}
	return words.And(all) + " degrees"
}
