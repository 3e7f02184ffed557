package job_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/job"
)

// A counter that says nothing but its name counts 1, 2, 3 with as many digits as it takes.
func TestCounterThatSaysNothing(t *testing.T) {
	d := job.Differing{Counters: []job.Counter{{Name: "n"}}}
	require.Equal(t, []data.Counter{{Name: "n", Start: 1, Step: 1}}, d.Count())
}

// What is asked for besides fills goes over the job's own, which stays where nothing is.
func TestSpreadAndPausesThatAreAskedFor(t *testing.T) {
	yes, no := true, false
	j := job.Job{Furrow: 1, Name: "job.toml", Machine: "example-co2", Fill: full(100), Spread: &no, PauseAt: number(40)}
	for _, asked := range []job.Request{{}, {Spread: &yes, PauseAt: number(20)}} {
		r, err := job.Resolve(j, asked, false)
		require.NoError(t, err)
		if asked.Spread == nil {
			require.Equal(t, []any{&no, number(40)}, []any{r.Job.Spread, r.Job.PauseAt})
		} else {
			require.Equal(t, []any{&yes, number(20)}, []any{r.Job.Spread, r.Job.PauseAt})
		}
	}
}

// Pockets of a file lie beside the job that names it; no file stays none.
func TestPocketsLieBesideTheJob(t *testing.T) {
	const head = "furrow = 1\n[artwork]\nfile = \"a.svg\"\n"
	name := filepath.Join("orders", "job.toml")
	j, err := job.Parse(name, []byte(head+"[fixture]\npockets = \"p.csv\"\n"))
	require.NoError(t, err)
	require.Equal(t, filepath.Join("orders", "p.csv"), j.Fixture.Pockets)
	j, err = job.Parse(name, []byte(head))
	require.NoError(t, err)
	require.Empty(t, j.Fixture.Pockets)
}
