package link

import (
	"bytes"
	"cmp"
	"fmt"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
)

// Job is a file to send, which was proved before.
type Job struct {
	Data  []byte
	Lines []Line
	Total time.Duration // of the file, by the clock
}

// Line is what is known of a line of the file, times by the clock.
type Line struct {
	End   int           // where it ends in Data
	Until time.Duration // when the machine is done with all up to its end
	Since time.Duration // the earliest time at which the machine may be when it takes the line
	Dark  bool          // the beam is off behind it
	Waits bool          // it waits for the operator
}

// NewJob times the lines of a file for a machine. data is what gcode.Read takes for it.
func NewJob(data []byte, p machine.Profile) (Job, error) {
	controller, file := p.Controller(), bytes.NewReader(data)
	m, err := gcode.Read(file, controller)
	if err == nil {
		m, err = emit.OfGCode(m, p)
	}
	if err != nil {
		return Job{}, err
	}
	var ends []time.Duration
	report, err := clock.Each(m, p, func(t clock.Timed) { ends = append(ends, t.End) })
	if err != nil {
		return Job{}, err
	}
	j := Job{Data: data, Total: report.Total()}
	until := func(moves int) time.Duration {
		if moves <= 0 {
			return 0
		}
		return ends[moves-1]
	}
	err = gcode.Lines(file, controller, func(l gcode.Line) {
		j.Lines = append(j.Lines, Line{
			End: int(l.End), Until: until(l.Moves), Since: until(l.Moves - ahead(controller)), Dark: l.Dark,
			Waits: l.Waits,
		})
	})
	return j, err
}

// defaultAhead is how many moves a controller may hold where the profile does not say:
// more than most do, so that no run is stopped that only takes its time (from memory).
const defaultAhead = 128

// ahead returns how many moves a controller may hold that it has acknowledged.
func ahead(g machine.GCode) int { return cmp.Or(g.LookaheadMoves, defaultAhead) }

// DoneAt returns the last line (1-based) that the machine was done with when it had taken
// so many lines and had run for so long: by the clock, and within what it may hold.
func (j Job) DoneAt(taken int, ran time.Duration) int {
	if taken <= 0 {
		return 0
	}
	since := j.Lines[taken-1].Since
	n := taken
	for n > 0 && j.Lines[n-1].Until > max(ran, since) {
		n--
	}
	return n
}

// Text returns a line (1-based) without its end.
func (j Job) Text(line int) string { return string(bytes.TrimRight(j.bytes(line-1, line), "\r\n")) }

// bytes returns lines from, counted from 0, up to another and without it.
func (j Job) bytes(from, to int) []byte {
	start := 0
	if from > 0 {
		start = j.Lines[from-1].End
	}
	return j.Data[start:j.Lines[to-1].End]
}

func (j Job) length(line int) int { return len(j.bytes(line, line+1)) }

// Fits refuses a file with a line that is longer than the window.
func (j Job) Fits(window int) error {
	for i := range j.Lines {
		if n := j.length(i); window > 0 && n > window {
			return fmt.Errorf("line %d has %d bytes, which is more than the %d that the controller takes",
				i+1, n, window)
		}
	}
	return nil
}
