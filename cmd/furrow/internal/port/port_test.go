//go:build unix

package port_test

import (
	"errors"
	"net"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/port"
	"furrow/emit/machine"
	_ "furrow/path/overtime"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
)

// A serial port carries every byte as it is, both ways, and what was written before it
// is closed.
func TestSerialCarriesEveryByte(t *testing.T) {
	master, terminal, err := pty.Open()
	require.NoError(t, err)
	defer master.Close()
	defer terminal.Close()
	p, err := port.Open(machine.Link{Port: terminal.Name(), Baud: 115200})
	require.NoError(t, err)
	var all [256]byte
	for i := range all {
		all[i] = byte(i)
	}
	for _, way := range []struct {
		from, to interface {
			Read([]byte) (int, error)
			Write([]byte) (int, error)
		}
	}{{p, master}, {master, p}} {
		_, err = way.from.Write(all[:])
		require.NoError(t, err)
		got := make([]byte, 0, 256)
		for len(got) < len(all) {
			chunk := make([]byte, 256)
			n, err := way.to.Read(chunk)
			require.NoError(t, err)
			got = append(got, chunk[:n]...)
		}
		require.Equal(t, all[:], got)
	}
	require.NoError(t, p.Close())
}

// A link that cannot be opened says what may help.
func TestWhatMayHelp(t *testing.T) {
	plainFile := filepath.Join(t.TempDir(), "port")
	require.NoError(t, os.WriteFile(plainFile, nil, 0o600))
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	closed := l.Addr().String()
	require.NoError(t, l.Close())
	for _, link := range []machine.Link{
		{Port: "/dev/no-such-port", Baud: 9600}, {Port: plainFile, Baud: 9600}, {TCP: closed},
	} {
		_, err := port.Open(link)
		var f *fault.Failure
		require.True(t, errors.As(err, &f))
		require.Equal(t, fault.CodeWork, f.Code)
		require.NotEmpty(t, f.Hint)
	}
}
