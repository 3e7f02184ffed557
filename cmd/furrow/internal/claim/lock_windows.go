package claim

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock locks a file until it is closed.
func lock(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY,
		0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return ErrTaken
	}
	return err
}
