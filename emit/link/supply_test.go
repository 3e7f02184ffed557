package link_test

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/link"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// bench is a controller that keeps the machine's time: a link that carries so many bytes
// a second, a parser that answers a line when its move has found room, and a machine that
// takes each move's time. It is written from what supply says of these and shares no code
// with the clock's.
type bench struct {
	perByte time.Duration
	takes   []time.Duration // of each line of the file; 0 where it moves nothing
	in      chan []byte
	out     chan []byte
	rest    []byte // of what is being read
	moves   chan time.Duration
	starved time.Duration
	late    int // moves that came when the machine had nothing left to do
}

func newBench(bytesPerS float64, holds int, takes []time.Duration) *bench {
	b := &bench{perByte: time.Duration(float64(time.Second) / bytesPerS), takes: takes, in: make(chan []byte, 1),
		out: make(chan []byte, 1000), moves: make(chan time.Duration, holds-1)}
	lines := make(chan string, 1000)
	go b.carry(lines)
	go b.parse(lines)
	go b.machine()
	return b
}

func (b *bench) Write(p []byte) (int, error) {
	b.in <- bytes.Clone(p)
	return len(p), nil
}

func (b *bench) Read(p []byte) (int, error) {
	if len(b.rest) == 0 {
		more, open := <-b.out
		if !open {
			return 0, io.EOF
		}
		b.rest = more
	}
	n := copy(p, b.rest)
	b.rest = b.rest[n:]
	return n, nil
}

func (b *bench) carry(lines chan<- string) {
	defer close(lines)
	for chunk := range b.in {
		for line := range strings.Lines(string(chunk)) {
			time.Sleep(time.Duration(len(line)) * b.perByte)
			lines <- line
		}
	}
}

func (b *bench) parse(lines <-chan string) {
	defer close(b.moves)
	i := 0
	for range lines {
		if t := b.takes[i]; t > 0 {
			b.moves <- t
		}
		i++
		b.out <- []byte("ok\n")
	}
}

func (b *bench) machine() {
	defer close(b.out)
	first := true
	for {
		since := time.Now()
		t, open := <-b.moves
		if !open {
			return
		}
		if waited := time.Since(since); !first && waited > 0 {
			b.starved += waited
			b.late++
		}
		first = false
		time.Sleep(t)
	}
}

// encoded is the file of moves for a machine.
func encoded(t *testing.T, m emit.Moves, p machine.Profile) []byte {
	var b bytes.Buffer
	require.NoError(t, gcode.Encoder{Profile: p.Controller()}.Encode(&b, m))
	return b.Bytes()
}

// lineTimes is how long the machine alone takes for each line: by the clock, and with
// nothing to hold up what it gets.
func lineTimes(t *testing.T, data []byte, p machine.Profile) []time.Duration {
	free := *p.GCode
	free.LinkBytesPerS, free.LookaheadMoves = 0, 0
	p.GCode = &free
	j, err := link.NewJob(data, p)
	require.NoError(t, err)
	takes, before := make([]time.Duration, len(j.Lines)), time.Duration(0)
	for i, l := range j.Lines {
		takes[i], before = l.Until-before, l.Until
	}
	return takes
}

// steps is a straight mark in moves of 10 µm.
func steps(n int) emit.Moves {
	set := []path.Setting{{SpeedMMPerS: 100, Power: 0.4}}
	return emit.Moves{Settings: set, Play: func(yield func(emit.Move, error) bool) {
		for i := range n {
			to := path.Point{X: 100 + float64(i+1)/100}
			if !yield(emit.Move{Kind: emit.Mark, To: to, Speed: 100, Power: 0.4}, nil) {
				return
			}
		}
	}}
}

// Ten thousand lines, and a hundred thousand where tests are strict, reach a machine in its
// own time, and it never waits where the clock says that the link suffices; where the clock
// warns it does, and takes the time that the clock tells. The time is a fake one, and so
// exact.
func TestSupply(t *testing.T) {
	rows := 2500 // of four lines
	if outside.Strict() {
		rows *= 10
	}
	for _, tt := range []struct {
		name    string
		starves bool
		moves   func(machine.Profile) emit.Moves
	}{
		{"rows", false, func(p machine.Profile) emit.Moves {
			prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4}}}
			for i := range rows {
				y := float64(i) / 100
				prog.Append(path.Stroke{Sweep: int32(i + 1)}, path.Point{X: 1, Y: y}, path.Point{X: 3, Y: y})
			}
			m, err := emit.Plan(prog, p)
			require.NoError(t, err)
			return m
		}},
		{"steps", true, func(machine.Profile) emit.Moves { return steps(4 * rows) }},
	} {
		for _, window := range []int{0, 128} {
			p := gantry(window)
			p.GCode.LinkBytesPerS, p.GCode.LookaheadMoves = 11500, 16
			data := encoded(t, tt.moves(p), p)
			j, err := link.NewJob(data, p)
			require.NoError(t, err)
			require.GreaterOrEqual(t, len(j.Lines), 4*rows)
			warned := warns(t, data, p)
			require.Equal(t, tt.starves, warned, tt.name)
			takes := lineTimes(t, data, p)
			synctest.Test(t, func(t *testing.T) {
				b := newBench(p.GCode.LinkBytesPerS, p.GCode.LookaheadMoves, takes)
				l := link.Open(b, link.Of(p))
				began := time.Now()
				_, err := l.Run(t.Context(), j, nil, ignore)
				require.NoError(t, err)
				close(b.in)
				l.Close()
				<-b.out
				for range b.out {
				}
				took := time.Since(began)
				if tt.starves {
					require.Greater(t, b.late, 4*rows*9/10)
				} else {
					require.Zero(t, b.late, "%v in all", b.starved)
				}
				require.InDelta(t, j.Total.Seconds(), took.Seconds(), 0.1+0.01*j.Total.Seconds(), tt.name)
			})
		}
	}
}

func warns(t *testing.T, data []byte, p machine.Profile) bool {
	m, err := gcode.Read(bytes.NewReader(data), p.Controller())
	require.NoError(t, err)
	r, err := clock.Run(m, p)
	require.NoError(t, err)
	limit, _, _ := r.Warning()
	return limit != ""
}
