package proof_test

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	codeplayer "furrow/emit/gcode/minimal"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	listplayer "furrow/emit/markvec/minimal"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// sample is a small file for an example machine, as the program writes it.
func sample(t testing.TB, p machine.Profile) string {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4, FrequencyHz: 50000},
		{SpeedMMPerS: 50, Power: 0.2, FrequencyHz: 40000}}}
	if p.IsGantry() {
		prog.Settings[0].FrequencyHz, prog.Settings[1].FrequencyHz = 0, 0
	}
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: 1, Y: 1}, path.Point{X: 7, Y: 1})
	prog.Append(path.Stroke{Sweep: 2}, path.Point{X: 7, Y: 2}, path.Point{X: 1, Y: 2})
	prog.Append(path.Stroke{Kind: path.LineStroke, Setting: 1}, path.Point{}, path.Point{X: 8},
		path.Point{X: 8, Y: 3}, path.Point{})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	var b strings.Builder
	if p.IsGalvo() {
		err = markvec.Encoder{Comments: []string{"furrow 1"}}.Encode(&b, m)
	} else {
		err = gcode.Encoder{Profile: p.Controller(), Comments: []string{"furrow 1"}}.Encode(&b, m)
	}
	require.NoError(t, err)
	return b.String()
}

// closedAnew makes the check sum of a file right, whatever was changed in it.
func closedAnew(file string) string {
	if i := strings.LastIndex(file, "\nend "); i >= 0 {
		body := file[:i+1]
		n := func(word string) int { return strings.Count(body, "\n"+word+" ") }
		return fmt.Sprintf("%send %d %d %d %08x\n", body, n("J"), n("M"), n("D"), crc32.ChecksumIEEE([]byte(body)))
	}
	if i := strings.LastIndex(file, "\n(whole "); i >= 0 {
		body := file[:i+1]
		return fmt.Sprintf("%s(whole %d lines crc %08x)\nM2\n", body, strings.Count(body, "\n")+2,
			crc32.ChecksumIEEE([]byte(body)))
	}
	return file
}

// FuzzCheck asserts of the whole of check that a file which passes never has the beam on
// where it must not be, by players written from the rules alone.
func FuzzCheck(f *testing.F) {
	for _, p := range machine.Examples() {
		f.Add([]byte(sample(f, p)))
	}
	f.Add([]byte("G21 G17 G90 G94\nM5 S0\nM3 S0\nG0 X0 Y0\nG1 X5 F600 S500\nX6 S0\nM5 S0\nM2\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, file := range []string{string(b), closedAnew(string(b))} {
			c, err := proof.Prove("fuzzed", bytes.NewReader([]byte(file)), nil)
			if err != nil {
				require.Less(t, len(err.Error()), 100_000)
				continue
			}
			if c.Format == figures.GCode {
				_, err := codeplayer.Play(file)
				require.NoError(t, err)
				continue
			}
			totals, err := listplayer.Play(file)
			require.NoError(t, err)
			require.Zero(t, totals.Lit)
		}
	})
}

// A file of each example passes, and one with a changed digit does not, nor one for a
// machine of another name, which is named.
func TestProve(t *testing.T) {
	for _, p := range machine.Examples() {
		file := sample(t, p)
		c, err := proof.Prove("made", strings.NewReader(file), nil)
		require.NoError(t, err, p.ID)
		require.Equal(t, p.ID, c.Machine.ID)
		var r *proof.Refusal
		_, err = proof.Prove("made", strings.NewReader(strings.Replace(file, "7", "6", 1)), nil)
		require.ErrorAs(t, err, &r)
		require.NotEmpty(t, r.Problems)
		other := settings.Machine{Profile: p}
		other.ID = "other"
		_, err = proof.Prove("made", strings.NewReader(file), &other)
		require.ErrorAs(t, err, &r)
		require.Equal(t, "machine", r.Problems[0].Rule)
		require.Contains(t, err.Error(), "made for another machine: "+p.ID)
		require.NotContains(t, r.Hint(), "anew")
	}
}
