package journal_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/journal"
	_ "furrow/path/overtime"

	"github.com/stretchr/testify/require"
)

// An entry that was cut short, or says what cannot be, is none: a wrong place to go on from
// is worse than none.
func TestDamagedEntries(t *testing.T) {
	name := filepath.Join(home(t), "mine.sent.json")
	require.NoError(t, journal.Keep("mine", journal.Entry{File: "tag.nc", SHA256: "ab", Taken: 120, Done: 96}))
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	text := strings.TrimRight(string(whole), "\n")
	for cut := range len(text) {
		require.NoError(t, os.WriteFile(name, []byte(text[:cut]), 0o600))
		_, found := journal.Find("mine", "ab")
		require.False(t, found, "cut at %d", cut)
	}
	for _, wrong := range []string{
		strings.Replace(text, "96", "-1", 1), strings.Replace(text, "96", "121", 1),
		strings.Replace(text, "96", `"96"`, 1),
		strings.Replace(text, "96", "9.5", 1), text + text, "\x00\x00\x00", "null",
	} {
		require.NoError(t, os.WriteFile(name, []byte(wrong), 0o600))
		_, found := journal.Find("mine", "ab")
		require.False(t, found, wrong)
	}
	require.NoError(t, journal.Keep("mine", journal.Entry{SHA256: "ab", Taken: 1}), "and it is written over")
}

// Whoever is killed while they keep a place, at any moment, leaves one that they kept: the
// last that they said was kept, or the next.
func TestKilledWhileKeeping(t *testing.T) {
	if os.Getenv("FURROW_TEST_KEEP") != "" {
		for i := 1; ; i++ {
			if err := journal.Keep("mine", journal.Entry{File: "tag.nc", SHA256: "ab", Taken: 2 * i,
				Done: i}); err != nil {
				t.Fatal(err)
			}
			fmt.Println("kept", i)
		}
	}
	home(t)
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	kept := 0
	for n := 0; n < 20 || kept == 0 && n < 500; n++ { // on a busy machine the first may die before they keep one
		var out strings.Builder
		c := exec.Command(os.Args[0], "-test.run=^TestKilledWhileKeeping$")
		c.Env = append(os.Environ(), "FURROW_TEST_KEEP=1")
		c.Stdout = &out
		require.NoError(t, c.Start())
		time.Sleep(time.Duration(r.IntN(30_000)) * time.Microsecond)
		require.NoError(t, c.Process.Kill())
		c.Wait()
		said := strings.Count(out.String(), "kept ")
		e, found := journal.Find("mine", "ab")
		if said == 0 && kept == 0 {
			continue // it died before its first
		}
		require.True(t, found, "seed %d", seed)
		require.Equal(t, 2*e.Done, e.Taken, "seed %d", seed)
		if said > 0 {
			require.Contains(t, []int{said, said + 1}, e.Done, "seed %d", seed)
		}
		kept += said
	}
	require.Positive(t, kept)
}

// FuzzFind asserts that whatever stands in an entry, what is found is a place that can be.
func FuzzFind(f *testing.F) {
	f.Add([]byte(`{"file":"a","sha256":"ab","acknowledged_line":3,"done_line":2}`))
	f.Add([]byte(`{"sha256":"ab","acknowledged_line":-3,"done_line":-4}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		runs := home(t)
		require.NoError(t, os.MkdirAll(runs, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(runs, "mine.sent.json"), text, 0o600))
		if e, found := journal.Find("mine", "ab"); found && (e.Done < 0 || e.Taken < e.Done) {
			t.Fatalf("%+v", e)
		}
	})
}
