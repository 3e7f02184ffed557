package link_test

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"furrow/emit/link"

	"github.com/stretchr/testify/require"
)

// babble is a controller that takes anything and says what was thought up beforehand, a
// piece each time it has taken something.
type babble struct {
	says  []byte
	heard bytes.Buffer
	asked chan struct{}
}

func (b *babble) Write(p []byte) (int, error) {
	b.heard.Write(p)
	select {
	case b.asked <- struct{}{}:
	default:
	}
	return len(p), nil
}

func (b *babble) Read(p []byte) (int, error) {
	<-b.asked
	if len(b.says) == 0 {
		return 0, io.EOF
	}
	n := copy(p, b.says[:min(len(b.says), 7)])
	b.says = b.says[n:]
	b.asked <- struct{}{}
	return n, nil
}

// FuzzAnswers asserts that whatever a controller says, what it was sent is a start of the
// file and then the stop or nothing.
func FuzzAnswers(f *testing.F) {
	p := gantry(64)
	p.Link.AnswerS = 0.05
	j := rows(f, p, 3)
	f.Add([]byte("ok\nok\nok\nok\n"))
	f.Add([]byte("hello\nok\nerror:1\n"))
	f.Add([]byte(strings.Repeat("ok\r\n", len(j.Lines))))
	f.Add([]byte("\x00\xff\nok" + strings.Repeat("x", 2000)))
	f.Fuzz(func(t *testing.T, says []byte) {
		b := &babble{says: says, asked: make(chan struct{}, 2)}
		l := link.Open(b, link.Of(p))
		report, err := l.Run(t.Context(), j, nil, ignore)
		l.Close()
		got := b.heard.String()
		sent, _ := strings.CutSuffix(got, theStop)
		require.True(t, strings.HasPrefix(string(j.Data), sent))
		var h *link.HaltError
		require.True(t, err == nil && report.Taken == len(j.Lines) || errors.As(err, &h))
	})
}
