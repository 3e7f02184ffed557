package port

import (
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"

	"furrow/cmd/furrow/internal/claim"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"
)

// claimOf keeps a link for this process until it is closed, or the process ends: the lines of
// two files, one between the other's, are no file that was proved. Systems keep serial ports
// from others, but not from all, and connections from nobody. Where no claim can be laid, since
// the settings folder cannot be written, there is none.
func claimOf(l machine.Link) (io.Closer, error) {
	to := l.TCP
	if to == "" {
		to = l.Port
		if real, err := filepath.EvalSymlinks(to); err == nil {
			to = real
		}
	}
	dir, err := settings.Folder("runs")
	if err != nil || os.MkdirAll(dir, 0o755) != nil {
		return nobody{}, nil
	}
	name := filepath.Join(dir, fmt.Sprintf("link-%08x.lock", crc32.ChecksumIEEE([]byte(to))))
	c, err := claim.Lay(name)
	switch {
	case errors.Is(err, claim.ErrTaken):
		return nil, fault.Workf("%s: another furrow send has it", to).
			Hintf("let that one come to its end, or end it with q where it runs")
	case err != nil:
		return nobody{}, nil
	}
	return c, nil
}

// claimed gives the claim up behind the link.
type claimed struct {
	io.ReadWriteCloser
	claim io.Closer
}

func (c claimed) Close() error {
	err := c.ReadWriteCloser.Close()
	c.claim.Close()
	return err
}

// nobody is a claim that could not be laid.
type nobody struct{}

func (nobody) Close() error { return nil }
