package main

import (
	"fmt"
	"io"
	"runtime"
	"time"
)

// stages measures each step of the work for --timings. Its zero value measures
// nothing.
type stages struct {
	on    bool
	after func() // called behind each step, where set
	done  []stage
}

type stage struct {
	name    string
	seconds float64
	heapMB  float64 // in use at its end
}

// run does one step.
func (s *stages) run(name string, step func() error) error {
	if s.after != nil {
		defer s.after()
	}
	if !s.on {
		return step()
	}
	start := time.Now()
	err := step()
	took := time.Since(start).Seconds()
	var mem runtime.MemStats
	runtime.ReadMemStats(&mem)
	s.done = append(s.done, stage{name, took, float64(mem.HeapAlloc) / 1e6})
	return err
}

func (s *stages) print(w io.Writer) {
	for _, st := range s.done {
		fmt.Fprintf(w, "furrow: %-10s %8.3f s  %8.1f MB in use\n", st.name, st.seconds, st.heapMB)
	}
}
