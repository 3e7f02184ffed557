package machine_test

import (
	"testing"

	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// 35 percent of an output from 0 to 1 with two decimals is 0.35; 35.4 percent rounds to
// it, by 1.1 percent of what was asked for (arithmetic). The note names the word.
func TestRoundingNotesNameThePowerWord(t *testing.T) {
	p := machine.Examples()[0]
	g := *p.GCode
	g.PowerWord, g.PowerWordMax, g.PowerDecimals = "M67 E0 Q", 1, 2
	p.GCode = &g
	require.Empty(t, p.RoundingNotes(path.Setting{SpeedMMPerS: 100, Power: 0.35}))
	notes := p.RoundingNotes(path.Setting{SpeedMMPerS: 100, Power: 0.354})
	require.Len(t, notes, 1)
	require.Contains(t, notes[0], "35.4 percent becomes 35 percent: the file holds M67 E0 Q from 0 to 1 with 2 "+
		"decimals")
}
