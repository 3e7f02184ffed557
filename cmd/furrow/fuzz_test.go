package main

import (
	"testing"

	"furrow/emit/machine"
)

// FuzzProfile reads any bytes as a profile: an error or a profile that holds,
// and never a panic.
func FuzzProfile(f *testing.F) {
	for _, p := range machine.Examples() {
		text, err := profileTOML(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte("[gantry]\nbed_mm = [1e308, -inf]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var p machine.Profile
		if decodeTOML("x.toml", data, &p) != nil || validate("x.toml", data, p) != nil {
			return
		}
		text, err := profileTOML(p)
		if err != nil {
			t.Fatal(err)
		}
		var again machine.Profile
		if err := decodeTOML("x.toml", text, &again); err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, text)
		}
		if again.Hash() != p.Hash() {
			t.Fatalf("another profile came back:\n%s", text)
		}
	})
}

// FuzzJob reads any bytes as a job file.
func FuzzJob(f *testing.F) {
	for _, name := range []string{"demo/tag-co2.toml", "demo/tag-fibre.toml"} {
		data, err := demoFiles.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("[[part]]\npick = \"a\"\n[fill]\nspacing = 3\ncross = true\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var j job
		if decodeTOML("x.toml", data, &j) == nil {
			_ = j.validate()
		}
		_ = lineOf(data, "fill.spacing")
	})
}
