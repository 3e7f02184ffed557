package emit_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/path"
)

// A piece is planned with its own profile: strokes of one setting with two delays are two
// settings of the list, which says of itself that delays are stepped. Without these words
// they are the delays of another profile, and the audit says so.
func TestPiecesWithProfilesOfTheirOwn(t *testing.T) {
	p := byhand.Fibre()
	late := p
	galvo := *p.Galvo
	galvo.JumpDelayUS = 700
	late.Galvo = &galvo
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 500, Power: 0.3, FrequencyHz: 50000}}}
	prog.Append(path.Stroke{Kind: path.LineStroke}, path.Point{X: 1}, path.Point{X: 9})
	pieces := []emit.Piece{{Program: prog, Place: path.Identity},
		{Program: prog, Place: path.Translate(0, 5), Profile: &late}, {Program: prog, Place: path.Translate(0, 9)}}
	m, err := emit.PlanPieces(pieces, p)
	require.NoError(t, err)
	require.True(t, m.Header.Stepped)
	require.Equal(t, p.Hash(), m.Header.Hash)
	require.Len(t, m.Settings, 2)
	require.Equal(t, []int64{250, 700}, []int64{m.Scanner[0].JumpUS, m.Scanner[1].JumpUS})
	var b bytes.Buffer
	require.NoError(t, markvec.Encoder{}.Encode(&b, m))
	read, err := markvec.Read(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.True(t, read.Header.Stepped)
	found, err := markvec.Audit(bytes.NewReader(b.Bytes()), &p, 10)
	require.NoError(t, err)
	require.Empty(t, found)

	m.Header.Stepped = false
	b.Reset()
	require.NoError(t, markvec.Encoder{}.Encode(&b, m))
	found, err = markvec.Audit(bytes.NewReader(b.Bytes()), &p, 10)
	require.NoError(t, err)
	require.Len(t, found, 1)
	require.True(t, strings.Contains(found[0].Error(), "jump 700, and that of example-fibre is 250"), found[0].Error())

	for i := range pieces {
		pieces[i].Profile = nil
	}
	m, err = emit.PlanPieces(pieces, p)
	require.NoError(t, err)
	require.False(t, m.Header.Stepped)
	require.Len(t, m.Settings, 1)
}
