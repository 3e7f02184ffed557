package data_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
)

// A counter of one digit counts to 9, and says so at 10.
func TestCounterOfOneDigit(t *testing.T) {
	c := data.Counter{Name: "n", Start: 1, Digits: 1}
	text, err := c.At(8)
	require.NoError(t, err)
	require.Equal(t, "9", text)
	_, err = c.At(9)
	require.EqualError(t, err, `counter "n" outgrows its 1 digits at 10`)
}

// What cannot be read is told by its row: the first where it is the separator, and that of
// the letter where it is the encoding.
func TestRowsOfWhatCannotBeRead(t *testing.T) {
	_, err := data.Read("a.csv", []byte("a,b;c\n1,2;3\n"), data.Options{})
	var p *data.Problems
	require.ErrorAs(t, err, &p)
	require.Equal(t, 1, p.List[0].Row)
	_, err = data.Read("a.csv", []byte("a\nb\nM\xfcller\n"), data.Options{})
	require.ErrorContains(t, err, "a.csv, row 3: the text is not UTF-8, and no encoding is named")
}
