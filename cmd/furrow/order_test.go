package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/path"
)

const orderArt = `<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="40mm" viewBox="0 0 30 40">` +
	`<rect x="5" y="5" width="20" height="8"/><circle cx="15" cy="28" r="7"/></svg>`

// orderJob writes artwork and a job of so many parts on a fixture of six.
func orderJob(t testing.TB, dir, machine string, quantity int, speed float64) string {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "tag.svg"), []byte(orderArt), 0o600))
	frequency := ""
	if machine == "example-fibre" {
		frequency = "frequency = \"50kHz\"\n"
	}
	job := fmt.Sprintf(`furrow = 1
effort = "none"
machine = %q
[order]
name = "tags"
quantity = %d
[blank]
width = "30mm"
height = "40mm"
[artwork]
file = "tag.svg"
[fill]
spacing = "0.5mm"
angle = 30
cross = 90
speed_mm_s = %g
power_percent = 40
%s[fixture]
columns = 3
rows = 2
gap = ["4mm", "3mm"]
half_turns = true
`, machine, quantity, speed, frequency)
	file := filepath.Join(dir, "tags.toml")
	require.NoError(t, os.WriteFile(file, []byte(job), 0o600))
	return file
}

// readMoves reads a controller's file.
func readMoves(t *testing.T, name string) emit.Moves {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	var m emit.Moves
	if strings.HasSuffix(name, ".mvl") {
		m, err = markvec.Read(f)
	} else {
		m, err = gcode.Read(f, machine.GCode{})
	}
	require.NoError(t, err)
	return m
}

func marksOf(t *testing.T, name string) path.Program {
	t.Helper()
	p, err := readMoves(t, name).Program()
	require.NoError(t, err)
	return p
}

// Every part of a load is the part that is made alone, moved and turned to its pocket,
// to the file's grid; the parts' times with the way to each add up to the load's.
// Pockets of 30 x 40 mm are 4 and 3 mm apart, every second one is turned by half, and
// on a galvo all 98 x 83 mm of them lie about the middle.
func TestLoadIsItsParts(t *testing.T) {
	for _, m := range []struct {
		id, ending string
		grid       float64
		corner     path.Point // of pocket 1
	}{
		{id: "example-co2", ending: "nc", grid: 0.001},
		{id: "example-fibre", ending: "mvl", grid: 0.0001, corner: path.Point{X: -49, Y: -41.5}},
	} {
		t.Run(m.id, func(t *testing.T) {
			t.Chdir(t.TempDir())
			job := orderJob(t, ".", m.id, 7, 140)
			furrow(t, "order", job, "-o", "all", "-q")
			furrow(t, "order", job, "-o", "one", "--only-parts", "1", "-q")
			one, load := marksOf(t, "one/again-01."+m.ending), marksOf(t, "all/load-01."+m.ending)
			require.Len(t, load.Strokes, 6*len(one.Strokes))
			for i := range 6 {
				corner := m.corner.Add(path.Point{X: float64(i%3) * 34, Y: float64(i/3) * 43})
				for k := range one.Strokes {
					for j, p := range one.PointsOf(k) {
						p = p.Sub(m.corner)
						if (i%3+i/3)%2 == 1 {
							p = path.Point{X: 30, Y: 40}.Sub(p)
						}
						want, got := corner.Add(p), load.PointsOf(i*len(one.Strokes) + k)[j]
						require.InDelta(t, want.X, got.X, 1.01*m.grid, "part %d stroke %d", i+1, k)
						require.InDelta(t, want.Y, got.Y, 1.01*m.grid, "part %d stroke %d", i+1, k)
					}
				}
			}
			requireTimesAddUp(t, "all", m.ending)
		})
	}
}

func requireTimesAddUp(t *testing.T, dir, ending string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "parts.csv"))
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 8)
	sum := map[string]float64{}
	for _, r := range rows[1:] {
		s, err := strconv.ParseFloat(r[5], 64)
		require.NoError(t, err)
		sum[r[3]] += s
		line, err := strconv.Atoi(r[4])
		require.NoError(t, err)
		file, err := os.ReadFile(filepath.Join(dir, r[3]))
		require.NoError(t, err)
		assert.Contains(t, strings.Split(string(file), "\n")[line-1], "pocket "+r[2])
	}
	for name, seconds := range sum {
		m := readMoves(t, filepath.Join(dir, name))
		i := 0
		if ending == "mvl" {
			i = 2
		}
		r, err := clock.Run(m, machine.Examples()[i])
		require.NoError(t, err)
		assert.InDelta(t, r.Total().Seconds(), seconds, 0.01, name)
	}
}
