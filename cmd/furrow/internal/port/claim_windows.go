package port

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock locks a file until it is closed, and reports that another process has done so.
func lock(f *os.File) (busy bool) {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY,
		0, 1, 0, new(windows.Overlapped))
	return errors.Is(err, windows.ERROR_LOCK_VIOLATION)
}
