package simulate

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
)

// Setup is what a process of a controller is told, as JSON in the variable Variable.
type Setup struct {
	Controller
	TCP    bool   // listen, and say where on standard output; else serve file descriptor 3
	Got    string // file for every byte that came in
	Report string // file for the Report, as JSON, at the end
}

// Variable of the environment holds the Setup of a process.
const Variable = "FURROW_TEST_CONTROLLER"

// Main is a whole process; asked reports that it was meant to be one.
func Main() (asked bool) {
	text := os.Getenv(Variable)
	if text == "" {
		return false
	}
	if err := serve(text); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	return true
}

func serve(text string) error {
	var s Setup
	if err := json.Unmarshal([]byte(text), &s); err != nil {
		return err
	}
	got, err := os.Create(s.Got)
	if err != nil {
		return err
	}
	rw, err := s.open()
	if err != nil {
		return err
	}
	report, err := json.Marshal(s.Run(rw, got))
	if err != nil {
		return err
	}
	rw.Close()
	return os.WriteFile(s.Report, report, 0o644)
}

func (s Setup) open() (io.ReadWriteCloser, error) {
	if !s.TCP {
		return os.NewFile(3, "link"), nil
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	defer l.Close()
	fmt.Println(l.Addr())
	return l.Accept()
}
