//go:build unix

package claim

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lock locks a file until it is closed.
func lock(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return ErrTaken
	}
	return err
}
