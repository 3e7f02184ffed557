package product

import (
	"errors"

	"golang.org/x/sys/unix"
)

// renameSwap is RENAME_SWAP of renamex_np(2).
const renameSwap = 2

// exchange swaps two folders in one step, so that there is one at every moment.
func exchange(a, b string) error {
	err := unix.RenamexNp(a, b, renameSwap)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		return exchangeInSteps(a, b) // a file system that cannot
	}
	return err
}
