//go:build unix

package product

import (
	"errors"

	"golang.org/x/sys/unix"
)

// running reports that there is a process of a number.
func running(pid int) bool {
	err := unix.Kill(pid, 0)
	return err == nil || errors.Is(err, unix.EPERM)
}
