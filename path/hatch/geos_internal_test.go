package hatch

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"furrow/path"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// geos runs a Python script over GEOS, through Debian's python3-shapely, with
// in as JSON on its standard input, and reads its standard output into out.
func geos(t *testing.T, script string, in, out any) {
	t.Helper()
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import shapely").Run(); err != nil {
		outside.Missing(t, "python3-shapely")
	}
	data, err := json.Marshal(in)
	require.NoError(t, err)
	cmd := exec.Command(python, "-c", script)
	cmd.Stdin = bytes.NewReader(data)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	result, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	require.NoError(t, json.Unmarshal(result, out))
}

type xyRing [][2]float64

func xyRings(rings [][]path.Point) []xyRing {
	out := make([]xyRing, len(rings))
	for i, r := range rings {
		for _, p := range r {
			out[i] = append(out[i], [2]float64{p.X, p.Y})
		}
	}
	return out
}

const geosOffset = `
import json, sys, functools
from shapely.geometry import Polygon, MultiPolygon
def region(rings):
    polygons = [Polygon(r).buffer(0) for r in rings]
    return functools.reduce(lambda a, b: a.symmetric_difference(b), polygons, MultiPolygon())
out = []
for case in json.load(sys.stdin):
    r, ours = region(case["Region"]), region(case["Offset"])
    theirs = r.buffer(case["D"], resolution=100)
    out.append({"Band": abs(theirs.area - r.area), "Wrong": ours.symmetric_difference(theirs).area})
json.dump(out, sys.stdout)
`

// Offsets against GEOS: the area by which they differ is under a thousandth of
// the strip that is added or taken away.
func TestOffsetAgainstGEOS(t *testing.T) {
	type offsetCase struct {
		Region, Offset []xyRing
		D              float64
	}
	var cases []offsetCase
	var names []string
	add := func(name string, art path.Artwork, d float64) {
		s := Settings{Groups: []Group{{Setting: path.Setting{SpacingMM: 0.1}}}}
		f, err := flatten(art, &s)
		require.NoError(t, err)
		j := job{s: &s, w: filler{f: f}}
		united, err := boundary(f, j.painter(0))
		require.NoError(t, err)
		rings := united.rings
		moved, err := offset(rings, d, 0.002)
		require.NoError(t, err)
		cases = append(cases, offsetCase{xyRings(rings), xyRings(moved), d})
		names = append(names, name)
	}
	for seed := range uint64(80) {
		r := rand.New(rand.NewPCG(seed, 9))
		d := math.Exp(r.Float64()*5 - 5)
		if seed%2 == 0 {
			d = -d
		}
		add(fmt.Sprintf("tangle %d by %v", seed, d), tangle(seed), d)
	}
	for _, d := range []float64{-0.05, 0.05, -0.4, 0.4, 2} {
		add(fmt.Sprintf("waves by %v", d), waves(20), d)
	}
	var got []struct{ Band, Wrong float64 }
	geos(t, geosOffset, cases, &got)
	require.Len(t, got, len(cases))
	for i, g := range got {
		require.LessOrEqual(t, g.Wrong, g.Band*1e-3+1e-6, names[i])
	}
}
