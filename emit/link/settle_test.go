package link_test

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"furrow/emit/link"

	"github.com/stretchr/testify/require"
)

// forgetful answers every line but one, at once.
type forgetful struct {
	line int // counted from 1
	n    int
	says chan []byte
}

func (f *forgetful) Write(p []byte) (int, error) {
	for range bytes.Count(p, []byte("\n")) {
		if f.n++; f.n != f.line {
			f.says <- []byte("ok\n")
		}
	}
	return len(p), nil
}

func (f *forgetful) Read(p []byte) (int, error) {
	b, open := <-f.says
	if !open {
		return 0, io.EOF
	}
	return copy(p, b), nil
}

// Answers are counted out where five seconds of the file have passed since the last count,
// behind a line that leaves the beam off and before one that does too; after ten, behind any
// that leaves it off; else at the end. Each line of the patterns, d dark and m marking, takes
// a second, and the answer to the third is lost. The first goes alone, and so is counted.
func TestWhereAnswersAreCounted(t *testing.T) {
	for pattern, to := range map[string]int{
		"dddddddddddd": 6, "dmmmmmdddddd": 7, "dmmmmmmdmmmdmmdmm": 12, "dmmmmdmddmmm": 8,
		"dmmmmmmmmmmmmmm": 15, "dmdm": 4, "dmmmmmmmmmdmmd": 11,
	} {
		var j link.Job
		for i, c := range pattern {
			at := time.Duration(i+1) * time.Second
			j.Lines = append(j.Lines, link.Line{End: 2 * (i + 1), Until: at, Since: at, Dark: c == 'd'})
		}
		j.Data, j.Total = []byte(strings.Repeat("x\n", len(pattern))), time.Duration(len(pattern))*time.Second
		synctest.Test(t, func(t *testing.T) {
			f := &forgetful{line: 3, says: make(chan []byte, 100)}
			l := link.Open(f, link.Protocol{Acknowledge: "ok", WindowBytes: 10, Answer: time.Second})
			_, err := l.Run(t.Context(), j, nil, ignore)
			var h *link.HaltError
			require.ErrorAs(t, err, &h)
			require.Equal(t, link.Silent, h.Why, pattern)
			require.Equal(t, [2]int{2, to}, [2]int{h.From, h.To}, pattern)
			close(f.says)
			l.Close()
		})
	}
}
