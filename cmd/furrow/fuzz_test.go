package main

import (
	"testing"

	"furrow/cmd/furrow/internal/settings"
)

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
		if settings.Decode("x.toml", data, &j) == nil {
			_ = j.validate()
		}
		_ = settings.LineOf(data, "fill.spacing")
	})
}
