package product

import (
	"errors"
	"os"
)

// earlier ends the name of a folder that another is about to replace.
const earlier = ".earlier"

// exchangeInSteps swaps two folders where the system has no one step for it. A
// stop between the two leaves the earlier folder beside its place, under a's name
// with an ending that says so.
func exchangeInSteps(a, b string) error {
	aside := a + earlier
	if err := os.Rename(b, aside); err != nil {
		return err
	}
	if err := os.Rename(a, b); err != nil {
		return errors.Join(err, os.Rename(aside, b))
	}
	return os.Rename(aside, a)
}
