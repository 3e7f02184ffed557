package settings

import (
	"reflect"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// Every built-in profile and recipe reads back as it was written.
func TestSettingsRoundTrip(t *testing.T) {
	for _, p := range machine.Examples() {
		text, err := ProfileTOML(p)
		require.NoError(t, err)
		var again machine.Profile
		require.NoError(t, Decode("x.toml", text, &again))
		p.Guessed = nil // all of it stands in the file
		require.Equal(t, p, again)
	}
	for _, r := range machine.ExampleRecipes() {
		text, err := RecipeTOML(r)
		require.NoError(t, err)
		var again machine.Recipe
		require.NoError(t, Decode("x.toml", text, &again))
		require.Equal(t, r, again)
	}
}

// FuzzRecipe reads any bytes as a recipe: an error or a recipe that holds.
func FuzzRecipe(f *testing.F) {
	for _, r := range machine.ExampleRecipes() {
		text, err := RecipeTOML(r)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var r machine.Recipe
		if Decode("x.toml", data, &r) != nil || ValidateRecipe("x.toml", data, r) != nil {
			return
		}
		text, err := RecipeTOML(r)
		if err != nil {
			t.Fatal(err)
		}
		var again machine.Recipe
		if err := Decode("x.toml", text, &again); err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, text)
		}
	})
}

// FuzzProfile reads any bytes as a profile: an error or a profile that holds,
// and never a panic.
func FuzzProfile(f *testing.F) {
	for _, p := range machine.Examples() {
		text, err := ProfileTOML(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte("[gantry]\nbed_mm = [1e308, -inf]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var p machine.Profile
		if Decode("x.toml", data, &p) != nil || ValidateProfile("x.toml", data, p) != nil {
			return
		}
		text, err := ProfileTOML(p)
		if err != nil {
			t.Fatal(err)
		}
		var again machine.Profile
		if err := Decode("x.toml", text, &again); err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, text)
		}
		if again.Hash() != p.Hash() {
			t.Fatalf("another profile came back:\n%s", text)
		}
	})
}

// A name cannot change the terminal that it is shown on, nor end a line of the
// file that it is written to. Only notes may have lines.
func TestTextsHoldNoControlCharacters(t *testing.T) {
	for _, tt := range []struct{ text, problem string }{
		{`name = "CO2 \u001b[31m"`, `'\x1b' is a control character`},
		{"name = \"\"\"\ntwo\nlines\"\"\"", `'\n' is a control character`},
		{`gcode = { start_lines = ["G54", "G4\u0085"] }`, `'\u0085' is a control character`},
		{`gantry = { bed_mm = [600, 400, 50] }`, "gantry.bed_mm: 3 values, where 2 belong"},
	} {
		require.ErrorContains(t, Decode("m.toml", []byte(tt.text), &machine.Profile{}), tt.problem)
	}
	notes := "notes = \"\"\"\nmask with tape\n\tand\\r\\nwash\"\"\""
	require.NoError(t, Decode("r.toml", []byte(notes), &machine.Recipe{}))
	require.ErrorContains(t, Decode("r.toml", []byte(`notes = "\u0007"`), &machine.Recipe{}), `'\a'`)
	require.Nil(t, TypeAt(reflect.TypeFor[machine.Profile](), []string{"gantry", "nowhere"}))
	for _, key := range []string{"wake", "ask_position", "hold", "go_on", "stop"} { // controllers know bytes for these
		require.NoError(t, Decode("m.toml", []byte("[link]\n"+key+" = \"\\u0018\"\n"), &machine.Profile{}), key)
	}
	for _, key := range []string{"greeting", "acknowledge", "port"} {
		require.ErrorContains(t, Decode("m.toml", []byte("[link]\n"+key+" = \"\\u0018\"\n"),
			&machine.Profile{}), `'\x18'`, key)
	}
}
