package settings_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/heat"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// shop makes a settings folder of files, by their names below it.
func shop(t *testing.T, files map[string]string) string {
	t.Helper()
	home := t.TempDir()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "AppData", "home"} {
		t.Setenv(name, home)
	}
	machines, err := settings.Folder("machines")
	require.NoError(t, err)
	dir := filepath.Dir(machines)
	for name, text := range files {
		file := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	}
	return dir
}

func plate(id string) string {
	return "furrow = 1\nid = \"" + id + "\"\nsource = \"a handbook\"\ndensity_kg_m3 = 8000\n" +
		"specific_heat_j_kg_k = 400\nconductivity_w_m_k = 100\n"
}

func ids(all []settings.Machine) (ids []string) {
	for _, m := range all {
		ids = append(ids, m.ID)
	}
	return ids
}

// The user's own come first, by the names of their files; one with the id of an example
// takes its place, and of what is built in the rest follows as it stands.
func TestOwnProfilesComeFirst(t *testing.T) {
	shop(t, nil)
	builtIn, err := settings.AllMachines()
	require.NoError(t, err)
	require.Len(t, builtIn, len(machine.Examples()))
	for i, p := range machine.Examples() {
		require.Equal(t, p.ID, builtIn[i].ID)
		require.Empty(t, builtIn[i].File)
	}
	mine := builtIn[1].Profile
	replaced, err := settings.ProfileTOML(mine)
	require.NoError(t, err)
	mine.ID = "bench-two"
	own, err := settings.ProfileTOML(mine)
	require.NoError(t, err)
	dir := shop(t, map[string]string{"machines/b.toml": string(replaced), "machines/a.toml": string(own),
		"machines/notes.txt": "no profile"})
	all, err := settings.AllMachines()
	require.NoError(t, err)
	want := append([]string{"bench-two", builtIn[1].ID}, slices.Delete(ids(builtIn), 1, 2)...)
	require.Equal(t, want, ids(all))
	require.Equal(t, filepath.Join(dir, "machines", "a.toml"), all[0].File)
	require.Equal(t, filepath.Join(dir, "machines", "b.toml"), all[1].File)
	found, err := settings.FindMachine("bench-two")
	require.NoError(t, err)
	require.Equal(t, all[0], found)
}

// Two files with one id are refused, by both names; a broken one by its own.
func TestFilesOfOneID(t *testing.T) {
	own, err := settings.RecipeTOML(machine.ExampleRecipes()[0])
	require.NoError(t, err)
	dir := shop(t, map[string]string{"recipes/a.toml": string(own), "recipes/b.toml": string(own)})
	_, err = settings.AllRecipes()
	require.EqualError(t, err, filepath.Join(dir, "recipes", "a.toml")+" and "+filepath.Join(dir, "recipes", "b.toml")+
		` both have the id "`+machine.ExampleRecipes()[0].ID+`"`)
	require.Error(t, settings.IDIsFree("other", "c.toml"), "where nothing can be told apart")

	dir = shop(t, map[string]string{"recipes/a.toml": string(own)})
	id := machine.ExampleRecipes()[0].ID
	require.EqualError(t, settings.IDIsFree(id, "c.toml"), filepath.Join(dir, "recipes",
		"a.toml")+` and c.toml both have the id "`+id+`"`)
	require.NoError(t, settings.IDIsFree(id, filepath.Join(dir, "recipes", "a.toml")), "itself")
	require.NoError(t, settings.IDIsFree(machine.ExampleRecipes()[1].ID, "c.toml"), "an example is replaced")
	require.NoError(t, settings.IDIsFree("other", "c.toml"))

	shop(t, map[string]string{"materials/a.toml": plate("acrylic"), "materials/b.toml": plate("my-brass")})
	all, err := settings.AllMaterials()
	require.NoError(t, err)
	require.Equal(t, "my-brass", all[1].ID)
	require.Len(t, all, 1+len(heat.Materials()), "one replaced, one more")
	shop(t, map[string]string{"materials/a.toml": "furrow = 1\nid = 7\n"})
	_, err = settings.AllMaterials()
	require.ErrorContains(t, err, "a.toml:2")
}

// A profile that could not be is refused on reading, by its line; a material is found by
// its id, or all of them are named.
func TestWhatTheFolderHoldsIsChecked(t *testing.T) {
	text, err := settings.ProfileTOML(machine.Examples()[0])
	require.NoError(t, err)
	bad := strings.Replace(string(text), "bed_mm = [600.0, 400.0]", "bed_mm = [-600.0, 400.0]", 1)
	require.NotEqual(t, string(text), bad)
	shop(t, map[string]string{"machines/a.toml": bad})
	_, err = settings.AllMachines()
	require.ErrorContains(t, err, "gantry.bed_mm")
	require.Regexp(t, `a\.toml:\d+: `, err.Error())
	shop(t, nil)
	all, err := settings.AllMaterials()
	require.NoError(t, err)
	m, err := settings.MaterialByID(all, "slate")
	require.NoError(t, err)
	require.Equal(t, "slate", m.ID)
	_, err = settings.MaterialByID(all, "cheese")
	require.ErrorContains(t, err, `no material has the id "cheese": known are aluminium-6061, `)
	require.Nil(t, settings.MaterialOf(all, "cheese"))
	require.Equal(t, "slate", settings.MaterialOf(all, "Slate").ID)
}

// What leaves a field is told which galvo would do.
func TestHintsOfFields(t *testing.T) {
	wide := machine.Examples()[2]
	g := *wide.Galvo
	g.FieldMM, wide.Galvo, wide.ID = [2]float64{300, 300}, &g, "wide"
	text, err := settings.ProfileTOML(wide)
	require.NoError(t, err)
	hint := func(w float64) string {
		fe := &emit.FieldError{Machine: "example-fibre", Field: path.Point{X: 175, Y: 175},
			Bounds: path.Rect{Max: path.Point{X: w, Y: 10}}}
		return settings.FieldHint(fe)
	}
	shop(t, map[string]string{"machines/wide.toml": string(text)})
	require.NotContains(t, hint(100), "machines whose field", "it fits, if it is moved")
	require.Contains(t, hint(200), "; machines whose field holds it: wide (300 x 300 mm)")
	require.Contains(t, hint(400), "; no other galvo that furrow knows")
	shop(t, map[string]string{"machines/wide.toml": "broken"})
	require.NotContains(t, hint(400), "no other galvo")
}
