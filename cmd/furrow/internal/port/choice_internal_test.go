package port

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.bug.st/serial"
)

// The library's errors begin with a capital, ours do not; others stay.
func TestErrorsAsOursAreWritten(t *testing.T) {
	busy := &serial.PortError{}
	text := busy.Error()
	require.Equal(t, "S", text[:1])
	require.EqualError(t, plain(busy), "s"+text[1:])
	other := errors.New("Other")
	require.Equal(t, other, plain(other))
}

// The ports that there are, of nine or more the first eight.
func TestChoiceOfPorts(t *testing.T) {
	const other = "; name one with --port, or in link.port of the profile"
	require.Equal(t, "there is no serial port: is the cable in, and the machine on?", choice(nil))
	require.Equal(t, "there are a"+other, choice([]string{"a"}))
	nine := strings.Split("a b c d e f g h i", " ")
	require.Equal(t, "there are a, b, c, d, e, f, g, h"+other, choice(nine[:8]))
	require.Equal(t, "there are a, b, c, d, e, f, g, h, ..."+other, choice(nine))
	require.Equal(t, "i", nine[8], "as it was")
}
