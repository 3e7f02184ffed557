package journal_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/settings"
)

// home is a settings folder of its own, and where its runs stand.
func home(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "AppData", "home"} {
		t.Setenv(name, dir)
	}
	runs, err := settings.Folder("runs")
	require.NoError(t, err)
	return runs
}

// An entry is found by its machine and the sum of its file, until it is forgotten or
// another takes its place.
func TestEntriesOfMachines(t *testing.T) {
	runs := home(t)
	_, ok := journal.Find("mine", "aa")
	require.False(t, ok, "there is none")
	require.NoError(t, journal.Forget("mine"), "nor to be forgotten")
	e := journal.Entry{File: "load-01.nc", SHA256: "aa", Taken: 12, Done: 9}
	require.NoError(t, journal.Keep("mine", e))
	got, ok := journal.Find("mine", "aa")
	require.True(t, ok)
	require.Equal(t, e, got)
	_, ok = journal.Find("mine", "bb")
	require.False(t, ok, "another file")
	_, ok = journal.Find("other", "aa")
	require.False(t, ok, "another machine")
	e.Done, e.Taken, e.Sent, e.Ended = 12, 12, 14, true
	require.NoError(t, journal.Keep("mine", e))
	got, ok = journal.Find("mine", "aa")
	require.True(t, ok)
	require.Equal(t, 12, got.Done)
	text, err := os.ReadFile(filepath.Join(runs, "mine.sent.json"))
	require.NoError(t, err)
	require.Equal(t, "{\n  \"file\": \"load-01.nc\",\n"+
		"  \"sha256\": \"aa\",\n  \"acknowledged_line\": 12,\n  \"sent_line\": 14,\n"+
		"  \"done_line\": 12,\n  \"ended\": true\n}\n", string(text))
	left, err := os.ReadDir(runs)
	require.NoError(t, err)
	require.Len(t, left, 1, "nothing is left beside it")
	require.NoError(t, journal.Forget("mine"))
	_, ok = journal.Find("mine", "aa")
	require.False(t, ok)
}

// What cannot be is no entry: more done than was taken, less than nothing, broken text. A
// machine's name leads nowhere else.
func TestEntriesThatCannotBe(t *testing.T) {
	runs := home(t)
	for _, e := range []journal.Entry{{SHA256: "aa", Taken: 3, Done: 4}, {SHA256: "aa", Taken: 3, Done: -1}} {
		require.NoError(t, journal.Keep("mine", e))
		_, ok := journal.Find("mine", "aa")
		require.False(t, ok, "%+v", e)
	}
	require.NoError(t, journal.Keep("mine", journal.Entry{SHA256: "aa"}))
	_, ok := journal.Find("mine", "aa")
	require.True(t, ok, "before the first line")
	require.NoError(t, os.WriteFile(filepath.Join(runs, "mine.sent.json"), []byte(`{"sha256":"aa",`), 0o600))
	got, ok := journal.Find("mine", "aa")
	require.False(t, ok)
	require.Equal(t, journal.Entry{}, got)
	require.NoError(t, journal.Keep("../../mine", journal.Entry{SHA256: "bb"}))
	_, ok = journal.Find("mine", "bb")
	require.True(t, ok)
	require.NoError(t, os.RemoveAll(runs))
	require.NoError(t, os.WriteFile(runs, nil, 0o600))
	err := journal.Keep("mine", journal.Entry{})
	require.Error(t, err)
	require.False(t, strings.Contains(err.Error(), ".new"))
	require.Error(t, journal.Forget("mine"))
}
