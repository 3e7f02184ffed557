package work

import "furrow/cmd/furrow/internal/value"

// Rounds is how many times the bound on travel is improved; 0 goes by the size.
type Rounds int

// BySize is what leaves the number of rounds to the size.
const BySize = "auto"

func (r *Rounds) Set(s string) error {
	if s == BySize {
		*r = 0
		return nil
	}
	var n value.Count
	err := n.Set(s)
	*r = Rounds(n)
	return err
}

// For returns the rounds for so many marks: by size, those that take ten seconds
// or so, but enough to be worth it.
func (r Rounds) For(marks int) int {
	const least, most, perMark = 30, value.MaxCount, 10_000_000
	if r > 0 {
		return int(r)
	}
	return max(least, min(most, perMark/max(1, marks)))
}
