package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// Every built-in profile and recipe comes back the same from the file that the
// program saves, shows, exports and imports.
func TestSavedSettingsLoad(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	dir := t.TempDir()
	for _, p := range machine.Examples() {
		file := filepath.Join(dir, p.ID+".toml")
		text, err := settings.ProfileTOML(p)
		require.NoError(t, err)
		p.Guessed = nil // all of it stands in the file
		var again machine.Profile
		require.NoError(t, settings.Decode(file, text, &again))
		require.Equal(t, p, again)
	}
	for _, r := range machine.ExampleRecipes() {
		file := filepath.Join(dir, r.ID+".toml")
		furrow(t, "recipes", "export", r.ID, "-o", file)
		kept := strings.TrimPrefix(strings.TrimSpace(furrow(t, "recipes", "import", file)), "kept as ")
		found, err := settings.FindRecipe(r.ID)
		require.NoError(t, err)
		require.Equal(t, kept, found.File, "the user's own takes the place of the example")
		require.Equal(t, r, found.Recipe)
		require.Equal(t, furrow(t, "recipes", "show", r.ID), string(read(t, file)))

		furrow(t, "recipes", "save", r.ID+"-mine", "--recipe", r.ID, "--notes", r.Notes)
		mine, err := settings.FindRecipe(r.ID + "-mine")
		require.NoError(t, err)
		mine.ID, mine.Name = r.ID, r.Name
		require.Equal(t, r, mine.Recipe)
	}
}

func read(t *testing.T, file string) []byte {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	return data
}
