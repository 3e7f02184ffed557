//go:build unix

package link_test

import (
	"bufio"
	"encoding/json"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"furrow/emit/link/simulate"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

func TestMain(m *testing.M) {
	if simulate.Main() {
		return
	}
	os.Exit(m.Run())
}

// process is a controller that runs on its own.
type process struct {
	t     *testing.T
	setup simulate.Setup
	cmd   *exec.Cmd
	sent  atomic.Int64 // bytes
	io.ReadWriteCloser
}

func (p *process) Write(data []byte) (int, error) {
	n, err := p.ReadWriteCloser.Write(data)
	p.sent.Add(int64(n))
	return n, err
}

// begin starts a controller as a process, on a pseudo-terminal or on TCP.
func begin(t *testing.T, c simulate.Controller, tcp bool) *process {
	dir := t.TempDir()
	p := &process{t: t, setup: simulate.Setup{
		Controller: c, TCP: tcp, Got: filepath.Join(dir, "got"), Report: filepath.Join(dir, "report"),
	}}
	text, err := json.Marshal(p.setup)
	require.NoError(t, err)
	p.cmd = exec.Command(os.Args[0])
	p.cmd.Env = append(os.Environ(), simulate.Variable+"="+string(text))
	p.cmd.Stderr = os.Stderr
	if tcp {
		p.overTCP()
	} else {
		p.overTerminal()
	}
	t.Cleanup(func() { p.Close() })
	return p
}

func (p *process) overTCP() {
	out, err := p.cmd.StdoutPipe()
	require.NoError(p.t, err)
	require.NoError(p.t, p.cmd.Start())
	address, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(p.t, err)
	p.ReadWriteCloser, err = net.Dial("tcp", strings.TrimSpace(address))
	require.NoError(p.t, err)
}

func (p *process) overTerminal() {
	master, terminal, err := pty.Open()
	require.NoError(p.t, err)
	_, err = term.MakeRaw(int(terminal.Fd())) // as a serial port is opened
	require.NoError(p.t, err)
	p.cmd.ExtraFiles = []*os.File{master}
	require.NoError(p.t, p.cmd.Start())
	require.NoError(p.t, master.Close())
	// Anew, since Fd lets a read that waits hold up a close.
	p.ReadWriteCloser, err = os.OpenFile(terminal.Name(), os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(p.t, err)
	require.NoError(p.t, terminal.Close())
}

// end closes the link, waits for the controller and returns what it got. On a busy machine
// a terminal may close before what was sent last has come out of it.
func (p *process) end() (got string, r simulate.Report) {
	for began := time.Now(); time.Since(began) < time.Second; time.Sleep(time.Millisecond) {
		if info, err := os.Stat(p.setup.Got); err == nil && info.Size() >= p.sent.Load() {
			break
		}
	}
	p.Close()
	require.NoError(p.t, p.cmd.Wait())
	data, err := os.ReadFile(p.setup.Got)
	require.NoError(p.t, err)
	text, err := os.ReadFile(p.setup.Report)
	require.NoError(p.t, err)
	require.NoError(p.t, json.Unmarshal(text, &r))
	return string(data), r
}
