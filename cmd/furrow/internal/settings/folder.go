package settings

import (
	"os"
	"path/filepath"
	"slices"

	"furrow/cmd/furrow/internal/fault"
)

// sourced is what a file of the settings folder holds, or what is built in, which has no
// file.
type sourced interface{ source() (id, file string) }

// own returns what the user's own files of a kind hold, then the built-in ones that none
// of them replaces.
func own[T sourced](kind string, read func(file string) (T, error), builtIn []T) ([]T, error) {
	var all []T
	find := func(id string) int {
		return slices.IndexFunc(all, func(o T) bool { other, _ := o.source(); return other == id })
	}
	for _, file := range files(kind) {
		v, err := read(file)
		if err != nil {
			return nil, err
		}
		id, _ := v.source()
		if i := find(id); i >= 0 {
			_, other := all[i].source()
			return nil, sameID(id, other, file)
		}
		all = append(all, v)
	}
	for _, v := range builtIn {
		if id, _ := v.source(); find(id) < 0 {
			all = append(all, v)
		}
	}
	return all, nil
}

// sameID refuses two files of settings of which an id would pick the first. The newer is
// most likely meant to take the place of the other.
func sameID(id, file, other string) error {
	newer, older := other, file
	a, errA := os.Stat(file)
	b, errB := os.Stat(other)
	if errA == nil && errB == nil && a.ModTime().After(b.ModTime()) {
		newer, older = file, other
	}
	return fault.Usagef("%s and %s both have the id %q", file, other, id).
		Hintf("%s is the newer: if it is to be used, give %s a name that does not end in .toml, as %s.old, which "+
			"keeps it; "+
			"else give one of them an id of its own", newer, filepath.Base(older), filepath.Base(older))
}

// files lists furrow/KIND/*.toml in the platform's folder for settings.
func files(kind string) []string {
	dir, err := Folder(kind)
	if err != nil {
		return nil // no home: there are only the examples
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.toml"))
	return files
}

// Folder returns furrow/KIND in the platform's folder for settings.
func Folder(kind string) (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fault.Usagef("no folder for settings: %w", err)
	}
	return filepath.Join(dir, "furrow", kind), nil
}
