package product

import (
	"bufio"
	"io"
)

func writeBuffered(w io.Writer, fn func(w io.Writer) error) error {
	b := bufio.NewWriterSize(w, 1<<16)
	if err := fn(b); err != nil {
		return err
	}
	return b.Flush()
}
