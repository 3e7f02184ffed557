//go:build unix

package port

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lock locks a file until it is closed, and reports that another process has done so.
func lock(f *os.File) (busy bool) {
	return errors.Is(unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB), unix.EWOULDBLOCK)
}
