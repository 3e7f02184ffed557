package main

import (
	"bytes"
	"reflect"
	"regexp"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// Every built-in profile and recipe reads back as it was written.
func TestSettingsRoundTrip(t *testing.T) {
	for _, p := range machine.Examples() {
		text, err := profileTOML(p)
		require.NoError(t, err)
		var again machine.Profile
		require.NoError(t, decodeTOML("x.toml", text, &again))
		require.Equal(t, p, again)
	}
	for _, r := range machine.ExampleRecipes() {
		text, err := recipeTOML(r)
		require.NoError(t, err)
		var again machine.Recipe
		require.NoError(t, decodeTOML("x.toml", text, &again))
		require.Equal(t, r, again)
	}
}

// A recipe is the same fill both ways.
func TestRecipeFillRoundTrip(t *testing.T) {
	for _, r := range machine.ExampleRecipes() {
		again := r
		setRecipe(&again, recipeFill(r))
		require.Equal(t, r, again)
	}
}

// What a file is written with names every key of its struct, with a comment
// where it is not a table.
func TestCommentedNamesEveryKey(t *testing.T) {
	gantry, galvo := machine.Examples()[0], machine.Examples()[2]
	gantry.Galvo = galvo.Galvo
	for _, v := range []any{gantry, machine.ExampleRecipes()[0], job{}} {
		var b bytes.Buffer
		require.NoError(t, writeCommented(&b, v))
		for _, key := range keysOf(reflect.TypeOf(v)) {
			require.Regexp(t, regexp.MustCompile(`(?m)^(#.*\n)+#?`+key+` =|^#?\[+([a-z_]+\.)*`+key+`\]+$`), b.String(), key)
		}
	}
}

// keysOf lists every key of a settings struct, tables and what is in them too.
func keysOf(t reflect.Type) []string {
	var keys []string
	for _, f := range fieldsOf(reflect.New(t).Elem()) {
		keys = append(keys, f.key)
		if isTable(f.value.Type()) {
			inner := f.value.Type()
			for inner.Kind() != reflect.Struct {
				inner = inner.Elem()
			}
			keys = append(keys, keysOf(inner)...)
		}
	}
	return keys
}

// FuzzRecipe reads any bytes as a recipe: an error or a recipe that holds.
func FuzzRecipe(f *testing.F) {
	for _, r := range machine.ExampleRecipes() {
		text, err := recipeTOML(r)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var r machine.Recipe
		if decodeTOML("x.toml", data, &r) != nil || validateRecipe("x.toml", data, r) != nil {
			return
		}
		text, err := recipeTOML(r)
		if err != nil {
			t.Fatal(err)
		}
		var again machine.Recipe
		if err := decodeTOML("x.toml", text, &again); err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, text)
		}
	})
}
