package better

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"

	"github.com/stretchr/testify/require"
)

// A hundredth of the time is worth telling, and less is not.
func TestWorthAHundredth(t *testing.T) {
	var b done
	b.Clock.Mark = 200 * time.Second
	require.True(t, b.worth(2*time.Second))
	require.True(t, b.worth(3*time.Second))
	require.False(t, b.worth(1990*time.Millisecond))
	b.Clock.Mark = 400 * time.Second
	require.False(t, b.worth(3990*time.Millisecond), "of the whole time")
}

// Advice saves a hundredth of the time, and a second.
func TestWhatIsAdvised(t *testing.T) {
	var b done
	for total, tt := range map[time.Duration]struct{ least, less time.Duration }{
		200 * time.Second: {2 * time.Second, 1990 * time.Millisecond}, 10 * time.Second: {time.Second,
			990 * time.Millisecond},
	} {
		b.Clock.Mark = total
		require.True(t, b.advised(tt.least))
		require.False(t, b.advised(tt.less))
	}
}

// stripWork is a strip of 10 mm in rows across it, which along it would be fewer.
func stripWork(t *testing.T, height int) work.Work {
	t.Helper()
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	speed, power, effort := value.Number(150), value.Number(40), "quick"
	j, err := job.Resolve(job.Job{Furrow: 1, Artwork: job.Artwork{File: "strip.svg"}}, job.Request{
		Machine: m.ID, Effort: &effort,
		Fill: job.Fill{Spacing: &value.Spacing{MM: 0.5}, Speed: &speed, Power: &power},
	}, false)
	require.NoError(t, err)
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="%dmm"><rect width="100%%" `+
		`height="100%%"/></svg>`, height)
	drawing, err := work.Read(strings.NewReader(svg), j)
	require.NoError(t, err)
	w, err := work.Make(work.NewInput(j, drawing))
	require.NoError(t, err)
	return w
}

// Advice saves a second or more: of strips from short to long the first have none, and
// those that have any are told of no less.
func TestAdviceSavesASecond(t *testing.T) {
	saves := regexp.MustCompile(`saves? ([\d.]+) s$`)
	silent, closest := 0, 1e9
	for height := 11; height <= 60; height += 2 {
		advice, err := Advise(stripWork(t, height))
		require.NoError(t, err)
		if len(advice) == 0 {
			silent++
		}
		for _, a := range advice {
			m := saves.FindStringSubmatch(a)
			require.NotNil(t, m, a)
			var s float64
			_, err := fmt.Sscan(m[1], &s)
			require.NoError(t, err)
			require.GreaterOrEqual(t, s, 1.0, a)
			closest = min(closest, s)
		}
	}
	require.Positive(t, silent)
	require.Less(t, closest, 1.4, "and so much is told")
}
