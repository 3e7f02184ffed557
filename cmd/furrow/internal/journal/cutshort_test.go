package journal_test

import (
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/runlog"

	"github.com/stretchr/testify/require"
)

// pending is an entry of a run whose line is still to be written.
func pending(logs ...string) journal.Entry {
	return journal.Entry{File: "load-01.nc", SHA256: "aa", Taken: 12, Sent: 14, Done: 9, Pending: &journal.Pending{
		Logs: logs,
		Run: runlog.Run{Date: "2026-12-01", File: "load-01.nc", SHA256: "aa", Machine: "mine", Load: 2, Parts: "1-3",
			Predicted: runlog.Split{TotalS: 40.5, MarkS: 30}, Note: "blue, \"thin\"; line 12", What: runlog.Stopped},
	}}
}

func linesOf(t *testing.T, log string) []runlog.Run {
	t.Helper()
	runs, damaged, err := runlog.Read(log)
	require.NoError(t, err)
	require.Empty(t, damaged)
	return runs
}

// The line of a run that came to no end of its own is written once, into each of its logs,
// when the run is no longer under way. The place stays, for its rest.
func TestCutShortIsWrittenOnce(t *testing.T) {
	runs := home(t)
	one, two := filepath.Join(t.TempDir(), "runs.csv"), filepath.Join(runs, "mine.csv")
	e := pending(one, two)
	own, err := journal.Claim("mine")
	require.NoError(t, err)
	require.NoError(t, journal.Keep("mine", e))
	all, err := journal.Settle()
	require.NoError(t, err)
	require.Empty(t, all, "it is under way")
	require.NoFileExists(t, one)
	require.NoError(t, own.Close())

	all, err = journal.Settle()
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.Equal(t, []string{one, two}, all[0].Logs)
	require.Equal(t, 12, all[0].Taken)
	for range 2 {
		require.Equal(t, []runlog.Run{e.Pending.Run}, linesOf(t, one))
		require.Equal(t, []runlog.Run{e.Pending.Run}, linesOf(t, two))
		all, err = journal.Settle()
		require.NoError(t, err)
		require.Empty(t, all, "it stands there")
	}
	got, found := journal.Find("mine", "aa")
	require.True(t, found)
	require.False(t, got.Ended)
	require.Equal(t, 9, got.Done)
}

// A run that came to an end of its own, and what is no entry, have no line to come. Where an
// order's folder is gone, that is told, and the machine's log has the line; a log that cannot
// be written is tried again.
func TestCutShortWhereLogsAreGone(t *testing.T) {
	runs := home(t)
	all, err := journal.Settle()
	require.NoError(t, err)
	require.Empty(t, all)
	require.NoError(t, journal.Keep("mine", journal.Entry{SHA256: "aa", Taken: 3, Ended: true}))
	require.NoError(t, os.WriteFile(filepath.Join(runs, "torn.sent.json"), []byte("{"), 0o600))
	all, err = journal.Settle()
	require.NoError(t, err)
	require.Empty(t, all)

	gone, folder, log := filepath.Join(runs, "gone", "runs.csv"), t.TempDir(), filepath.Join(runs, "mine.csv")
	require.NoError(t, journal.Keep("mine", pending(gone, folder, log)))
	all, err = journal.Settle()
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.Equal(t, []string{log}, all[0].Logs)
	require.Len(t, all[0].Failed, 2)
	require.Len(t, linesOf(t, log), 1)
	require.NoError(t, os.Remove(folder))
	all, err = journal.Settle()
	require.NoError(t, err)
	require.Equal(t, []string{folder}, all[0].Logs)
	require.Len(t, linesOf(t, folder), 1)
	require.Len(t, linesOf(t, log), 1)
}
