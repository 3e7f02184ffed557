// Package claim lays claims on what one process alone may have at a time. The system takes
// them back when the process ends, however it ends.
package claim

import (
	"errors"
	"io"
	"os"
)

// ErrTaken is returned where another process has the claim.
var ErrTaken = errors.New("another process has it")

// Lay lays the claim for which a file stands, which is made where it is not there and stays.
// What it returns gives the claim up. Any error but ErrTaken says that no claim can be laid
// there.
func Lay(name string) (io.Closer, error) {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return nil, err
	}
	if err := lock(f); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}
