package hatch_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"testing"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

func readSVG(t testing.TB, file string) path.Artwork {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	doc, err := svg.Read(f, svg.Options{})
	require.NoError(t, err)
	return doc.Artwork
}

// icons lays the first n of bootstrap-icons (npm, MIT) out in rows of ten, 8 mm
// each in cells of 10 mm, and tells the pitch of the sheet.
func icons(t testing.TB, n int) path.Artwork {
	t.Helper()
	files := outside.Files(t, "bootstrap-icons/icons/*.svg", 2000)
	var sheet path.Artwork
	for i := range n {
		icon := readSVG(t, files[i*7%len(files)])
		m := path.Translate(float64(i%10)*10, float64(i/10)*10).Mul(path.Scale(8/icon.Page.W(), 8/icon.Page.H()))
		sheet.Shapes = append(sheet.Shapes, icon.Transform(m).Shapes...)
	}
	return sheet
}

// countries draws Natural Earth's countries, 1:50 million, from npm's
// world-atlas (ISC; public-domain data), a degree a millimetre, sixty
// marked and sixty bare in turns.
func countries(t testing.TB) path.Artwork {
	t.Helper()
	var topo struct {
		Transform struct{ Scale, Translate [2]float64 }
		Arcs      [][][2]float64
		Objects   struct {
			Countries struct {
				Geometries []struct {
					Type string
					Arcs json.RawMessage
				}
			}
		}
	}
	raw, err := os.ReadFile(outside.Files(t, "world-atlas/countries-50m.json", 1)[0])
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &topo))
	arcs := make([][]path.Point, len(topo.Arcs))
	for i, deltas := range topo.Arcs {
		x, y := 0.0, 0.0
		for _, d := range deltas {
			x, y = x+d[0], y+d[1]
			arcs[i] = append(arcs[i], path.Point{
				X: x*topo.Transform.Scale[0] + topo.Transform.Translate[0],
				Y: y*topo.Transform.Scale[1] + topo.Transform.Translate[1],
			})
		}
	}
	ring := func(p *path.Path, ids []int) {
		start := true
		for _, id := range ids {
			pts := arcs[max(id, ^id)]
			if id < 0 {
				pts = slices.Clone(pts)
				slices.Reverse(pts)
			}
			for _, q := range pts {
				if start {
					p.MoveTo(q)
				} else {
					p.LineTo(q)
				}
				start = false
			}
		}
		p.Close()
	}
	var art path.Artwork
	for i, g := range topo.Objects.Countries.Geometries {
		var polygons [][][]int
		if g.Type == "Polygon" {
			polygons = make([][][]int, 1)
			require.NoError(t, json.Unmarshal(g.Arcs, &polygons[0]))
		} else {
			require.NoError(t, json.Unmarshal(g.Arcs, &polygons))
		}
		var p path.Path
		for _, polygon := range polygons {
			for _, ids := range polygon {
				ring(&p, ids)
			}
		}
		s := evenOdd(p)
		if i/60%2 == 1 {
			s = knock(p)
			s.Rule = path.EvenOdd
		}
		art.Shapes = append(art.Shapes, s)
	}
	return art
}

type geosShape struct {
	Rings   [][][2]float64
	EvenOdd bool
	Bare    bool
	Clips   [][]geosShape
}

func geosShapes(shapes []path.Shape, tolerance float64) []geosShape {
	out := []geosShape{}
	for _, s := range shapes {
		g := geosShape{EvenOdd: s.Rule == path.EvenOdd, Bare: s.Paint.Bare(0.96)}
		s.Path.Flatten(tolerance, func(pts []path.Point, _ bool) {
			var ring [][2]float64
			for _, p := range pts {
				ring = append(ring, [2]float64{p.X, p.Y})
			}
			if len(ring) > 2 {
				g.Rings = append(g.Rings, ring)
			}
		})
		for _, c := range s.Clips {
			g.Clips = append(g.Clips, geosShapes(c.Shapes, tolerance))
		}
		out = append(out, g)
	}
	return out
}

// The made-valid polygon of a shape: its rings cut where they cross, the faces
// between kept by winding number or parity.
const geosRows = `
import json, sys
from itertools import groupby
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Polygon
from shapely.ops import polygonize, unary_union
def winding(x, y, rings):
    w = 0
    for lo, hi, r in rings:
        if y < lo or y > hi:
            continue
        px, py = r[-1]
        for qx, qy in r:
            if (py <= y) != (qy <= y) and px + (qx - px) * (y - py) / (qy - py) > x:
                w += 1 if qy > py else -1
            px, py = qx, qy
    return w
def filled(s):
    if not s["Rings"]:
        return MultiPolygon()
    lines = unary_union([LineString(r + r[:1]) for r in s["Rings"]])
    keep, rings = [], [(min(y for _, y in r), max(y for _, y in r), r) for r in s["Rings"]]
    for face in polygonize(lines):
        p = face.representative_point()
        w = winding(p.x, p.y, rings)
        if w % 2 if s["EvenOdd"] else w:
            keep.append(face)
    region = unary_union(keep)
    for clip in s["Clips"] or []:
        region = region.intersection(unary_union([filled(c) for c in clip]))
    return region
out = []
for case in json.load(sys.stdin):
    region = MultiPolygon()
    for bare, run in groupby(case["Shapes"], lambda s: s["Bare"]):
        run = unary_union([filled(s) for s in run])
        region = region.difference(run) if bare else region.union(run)
    if case["Inset"]:
        region = region.buffer(-case["Inset"], resolution=64)
    out.append(sum(region.intersection(MultiLineString(case["Rows"][i:i+16])).length for i in range(0, ` +
	`len(case["Rows"]), 16)))
json.dump(out, sys.stdout)
`

// The marked length against GEOS: the same rows, cut by the same flattened
// shapes, laid over each other in paint order, and shrunk where there is an
// inset.
func TestRowsAgainstGEOS(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import shapely").Run() != nil {
		outside.Missing(t, "python3-shapely")
	}
	type geosCase struct {
		Shapes []geosShape
		Rows   [][2][2]float64
		Inset  float64
	}
	var cases []geosCase
	var lengths []float64
	var names []string
	for _, tt := range []struct {
		name    string
		art     path.Artwork
		spacing float64
		inset   float64
	}{
		{"demo", readSVG(t, "../../cmd/furrow/demo/tag.svg"), 0.2973, 0},
		{"100 icons", icons(t, 100), 0.1973, 0},
		{"countries", countries(t), 1, 0},
		{"demo inset", readSVG(t, "../../cmd/furrow/demo/tag.svg"), 0.2973, 0.1},
		{"100 icons inset", icons(t, 100), 0.1973, 0.07},
	} {
		for _, angle := range []float64{0, 28.5} {
			group := rowsOf(tt.spacing, angle)
			group.Inset = tt.inset
			m := fill(t, tt.art, group)
			require.Len(t, m.Rows, 1, tt.name)
			set := &m.Rows[0]
			c := geosCase{Shapes: geosShapes(tt.art.Shapes, 0.002), Inset: tt.inset}
			for k := range set.NumRows() {
				a, b := set.At(k, -1000), set.At(k, 1000)
				c.Rows = append(c.Rows, [2][2]float64{{a.X, a.Y}, {b.X, b.Y}})
			}
			cases, lengths = append(cases, c), append(lengths, set.Length())
			names = append(names, fmt.Sprintf("%s at %v degrees", tt.name, angle))
		}
	}
	in, err := json.Marshal(cases)
	require.NoError(t, err)
	cmd := exec.Command(python, "-c", geosRows)
	cmd.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	var want []float64
	require.NoError(t, json.Unmarshal(out, &want))
	for i := range want {
		exact := 1e-10
		if cases[i].Inset > 0 { // two ways of cutting arcs into chords
			exact = 1e-5
		}
		require.InEpsilon(t, want[i], lengths[i], exact, names[i])
		t.Logf("%s: %.6f mm, GEOS %.6f mm, apart by %.1e", names[i], lengths[i], want[i], lengths[i]/want[i]-1)
	}
}
