package settings

import (
	"strings"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

const handWritten = `# My laser.   Bought 2019.
furrow = 1
id = "mine"
name = "mine"   # the old one
kind = "gantry"

[gantry]
bed_mm = [600, 400]
zero = "by-hand"
max_speed_mm_s = [ 500,
   300 ]   # by the manual
# jerk is not known
#jerk_mm_s3 = [20, 40]

#[[gantry.reversal]]
# sample
#speed_mm_s = 0.0
#offset_mm = 0.0

# The tube was changed.
[laser]
wavelength_nm = 10600
rated_power_w = 40
  spot_mm = [0.15, 0.15]  # loupe
`

// What is set is set, and every other line stays as it was.
func TestEditKeepsTheRest(t *testing.T) {
	for _, tt := range []struct{ key, value, old, now string }{
		{"name", `"new"`, `name = "mine"   # the old one`, `name = "new"   # the old one`},
		{"gantry.max_speed_mm_s", "[400, 200]", "max_speed_mm_s = [ 500,\n   300 ]   # by the manual",
			"max_speed_mm_s = [400, 200]   # by the manual"},
		{"laser.spot_mm", "[0.1, 0.1]", "  spot_mm = [0.15, 0.15]  # loupe", "  spot_mm = [0.1, 0.1]  # loupe"},
		{"gantry.jerk_mm_s3", "[1000, 1000]", "#jerk_mm_s3 = [20, 40]\n", "jerk_mm_s3 = [1000, 1000]\n"},
	} {
		got, err := Edit([]byte(handWritten), profileType, tt.key, tt.value)
		require.NoError(t, err)
		require.Equal(t, strings.Replace(handWritten, tt.old, tt.now, 1), string(got), tt.key)
	}
}

// A key that is not there comes last in its table, with what it means; a table that is
// not there comes last in the file.
func TestEditAddsAKey(t *testing.T) {
	got, err := Edit([]byte(handWritten), profileType, "gantry.rapid_mm_s", "400")
	require.NoError(t, err)
	require.Contains(t, string(got), "300 ]   # by the manual\n# speed of a travel move (G0), mm/s (controller "+
		"setting)\n"+
		"rapid_mm_s = 400\n# jerk is not known")
	got, err = Edit([]byte(handWritten), profileType, "gcode.arcs", "true")
	require.NoError(t, err)
	require.Equal(t, handWritten+"\n[gcode]\narcs = true\n", string(got))
	got, err = Edit([]byte(strings.ReplaceAll(handWritten, "\n", "\r\n")), profileType, "laser.m2", "1.2")
	require.NoError(t, err)
	require.NotRegexp(t, `[^\r]\n`, string(got))
	_, err = Edit([]byte("gantry = { zero = \"bed\" }"), profileType, "gantry.rapid_mm_s", "1")
	require.ErrorContains(t, err, "in one line")
}

// Tables of a list stand in their sequence, the first in place of the sample.
func TestAddAndRemoveTable(t *testing.T) {
	data := []byte(handWritten)
	var err error
	for i, r := range []struct {
		machine.Reversal
		before int
	}{
		{machine.Reversal{SpeedMMPerS: 150, OffsetMM: 0.3}, 0},
		{machine.Reversal{SpeedMMPerS: 300, OffsetMM: 0.5}, 1},
		{machine.Reversal{SpeedMMPerS: 50, OffsetMM: 0.1}, 0},
		{machine.Reversal{SpeedMMPerS: 200, OffsetMM: 0.4}, 2},
	} {
		data, err = AddTable(data, "gantry.reversal", r.Reversal, r.before)
		require.NoError(t, err)
		var p machine.Profile
		require.NoError(t, Decode("m.toml", data, &p), string(data))
		require.Len(t, p.Gantry.Reversal, i+1)
	}
	var p machine.Profile
	require.NoError(t, Decode("m.toml", data, &p))
	require.Equal(t, []machine.Reversal{{SpeedMMPerS: 50, OffsetMM: 0.1}, {SpeedMMPerS: 150, OffsetMM: 0.3},
		{SpeedMMPerS: 200, OffsetMM: 0.4}, {SpeedMMPerS: 300, OffsetMM: 0.5}}, p.Gantry.Reversal)
	require.Contains(t, string(data), "\n# The tube was changed.\n[laser]\n")
	require.NotContains(t, string(data), "# sample")
	data = RemoveTable(data, "gantry.reversal", 1)
	p = machine.Profile{}
	require.NoError(t, Decode("m.toml", data, &p))
	require.Len(t, p.Gantry.Reversal, 3)
	require.Equal(t, 200.0, p.Gantry.Reversal[1].SpeedMMPerS)
	require.Contains(t, string(data), "\n# The tube was changed.\n[laser]\n")
}

// FuzzEdit sets a key in any file: an error, or a file in which no other key has moved.
func FuzzEdit(f *testing.F) {
	f.Add([]byte(handWritten), "gantry.rapid_mm_s")
	f.Add([]byte("gantry.zero = \"bed\"\n[laser]\n#m2 ="), "laser.m2")
	f.Add([]byte("[[gantry.reversal]]\r\nspeed_mm_s=1"), "gantry.reversal[0].speed_mm_s")
	f.Fuzz(func(t *testing.T, data []byte, key string) {
		var before machine.Profile
		if Decode("m.toml", data, &before) != nil {
			return
		}
		got, err := Edit(data, profileType, key, "7")
		if err != nil {
			return
		}
		AddTable(data, "gantry.reversal", machine.Reversal{}, 0)
		RemoveTable(data, "measured", 0)
		var after machine.Profile
		if Decode("m.toml", got, &after) == nil && before.Name != after.Name && !strings.HasSuffix(key, "name") {
			t.Fatalf("the name has changed: %q", got)
		}
	})
}
