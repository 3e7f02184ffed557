// Package port opens the way to a controller: a serial port, or a connection in the
// network. It is the door to the library for serial ports.
package port

import (
	"errors"
	"io"
	"net"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/emit/machine"

	"go.bug.st/serial"
)

// dialTakes is the longest that a connection may take.
const dialTakes = 5 * time.Second

// Open opens the link of a profile, which no other process of this program has then. Bytes
// of it have eight bits, no parity and one stop bit. Closing it lets what was written go out.
func Open(l machine.Link) (io.ReadWriteCloser, error) {
	own, err := claimOf(l)
	if err != nil {
		return nil, err
	}
	rw, err := open(l)
	if err != nil {
		own.Close()
		return nil, err
	}
	return claimed{rw, own}, nil
}

func open(l machine.Link) (io.ReadWriteCloser, error) {
	if l.TCP != "" {
		c, err := net.DialTimeout("tcp", l.TCP, dialTakes)
		if err != nil {
			return nil, fault.Workf("%s: %w", l.TCP, err).Hintf("is the machine on, and link.tcp of its profile right?")
		}
		return connection{c.(*net.TCPConn)}, nil
	}
	p, err := serial.Open(l.Port, &serial.Mode{BaudRate: l.Baud, DataBits: 8})
	if err != nil {
		return nil, fault.Workf("%s: %w", l.Port, plain(err)).Hintf("%s", remedy(err))
	}
	return serialPort{p}, nil
}

// plain is the library's error as ours are written.
func plain(err error) error {
	var e *serial.PortError
	if text := err.Error(); errors.As(err, &e) {
		return errors.New(strings.ToLower(text[:1]) + text[1:])
	}
	return err
}

// remedy says which ports there are, or what else may help.
func remedy(err error) string {
	var e *serial.PortError
	if errors.As(err, &e) {
		switch e.Code() {
		case serial.PortBusy:
			return "another program has it open: end that one"
		case serial.PermissionDenied:
			return "you may not use it: join the group that may, as its owner tells (ls -l)"
		}
	}
	ports, _ := serial.GetPortsList() // none where they cannot be listed
	return choice(ports)
}

// choice says which ports there are, of many the first eight.
func choice(ports []string) string {
	switch {
	case len(ports) == 0:
		return "there is no serial port: is the cable in, and the machine on?"
	case len(ports) > 8:
		ports = append(ports[:8:8], "...")
	}
	return "there are " + strings.Join(ports, ", ") + "; name one with --port, or in link.port of the profile"
}

// closeTakes is how long what was written may take to go out.
const closeTakes = 500 * time.Millisecond

// serialPort lets what was written go out when it is closed.
type serialPort struct{ serial.Port }

func (p serialPort) Close() error {
	drained := make(chan error, 1)
	go func() { drained <- p.Drain() }()
	select {
	case <-drained: // closing tells what is wrong
	case <-time.After(closeTakes):
	}
	return p.Port.Close()
}

// connection ends its own side first, and waits for the other, so that nothing that is
// under way is lost.
type connection struct{ *net.TCPConn }

func (c connection) Close() error {
	if c.CloseWrite() == nil && c.SetReadDeadline(time.Now().Add(closeTakes)) == nil {
		io.Copy(io.Discard, c.TCPConn) // it ends at the latest then
	}
	return c.TCPConn.Close()
}
