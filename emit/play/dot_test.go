package play_test

import (
	"fmt"
	"hash/crc32"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/emit/play"
)

// A dot, a wait and the guide by hand, from the list's contract. A jump of 2 mm at 4,000
// mm/s is 0.5 ms and waits 250 us; the dot burns from 0.75 to 1.75 ms where it stands, with
// no gate shift; the wait ends at 2.25 ms; the guide goes back at jump speed, dark.
func TestDotsWaitsAndGuide(t *testing.T) {
	body := "markvec 1\nfield 1000000 1000000\ncorrected 0\n" +
		"setting 0 speed 1000 jumpspeed 4000 power 5000 frequency 0 pulse 0 on 100 off 120 " +
		"jump 250 jumpmin 60 jumpfull 20000 mark 120 corner 40\nuse 0\nJ 20000 0\nP 1000\nW 500\nG 0 0\n"
	list := fmt.Sprintf("%send 1 0 0 %08x\n", body, crc32.ChecksumIEEE([]byte(body)))
	m, err := markvec.Read(strings.NewReader(list))
	require.NoError(t, err)
	all := samples(t, m, byhand.Fibre(), 100_000)
	require.GreaterOrEqual(t, len(all), 276)
	for i, s := range all {
		assert.Equal(t, i >= 75 && i < 175, s.Gate, "sample %d", i)
	}
	assert.Equal(t, play.Sample{X: 2, Power: 0.5, Gate: true}, all[100])
	assert.Equal(t, play.Sample{X: 2}, all[224])
	assert.InDelta(t, 1, all[250].X, 0.02)
	assert.Equal(t, play.Sample{}, all[275])
}
