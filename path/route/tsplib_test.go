package route_test

import (
	"bufio"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

// rounded is the distance of TSPLIB's EUC_2D instances: int(d + 0.5).
type rounded struct{ route.Length }

func (r rounded) Travel(from, to route.End) float64 { return r.Least(from.At.Dist(to.At)) }
func (rounded) Least(mm float64) float64            { return float64(int(mm + 0.5)) }

// Published instances and their optima: G. Reinelt, TSPLIB, bestSolutions.txt.
// A city is a stroke of no length, and the tour is closed.
func TestPublishedInstances(t *testing.T) {
	for _, tt := range []struct {
		name    string
		optimum float64
		within  float64 // of the optimum
	}{
		{"berlin52", 7542, 0}, {"eil51", 426, 0}, {"kroA100", 21282, 0},
		{"pcb442", 50778, 0.01}, {"d493", 35002, 0.01},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m := path.Marks{Settings: []path.Setting{{}}, Lines: cities(t, tt.name)}
			_, r := sequence(t, m, rounded{}, route.Options{Effort: route.Best, Return: true, Bound: 200})
			t.Logf("%g, optimum %g, bound %.1f", r.Cost, tt.optimum, r.Bound)
			require.GreaterOrEqual(t, r.Cost, tt.optimum)
			require.LessOrEqual(t, r.Cost, tt.optimum*(1+tt.within))
			require.LessOrEqual(t, r.Bound, tt.optimum)
			require.Greater(t, r.Bound, 0.9*tt.optimum)
		})
	}
}

// cities reads an instance from the folder that FURROW_TSPLIB names, or d493
// from where Debian's r-cran-tsp puts it.
func cities(t *testing.T, name string) []path.Line {
	t.Helper()
	file, err := openInstance(name)
	if err != nil {
		outside.Missing(t, name+".tsp in the folder that FURROW_TSPLIB names")
	}
	defer file.Close()
	var lines []path.Line
	in := false
	for s := bufio.NewScanner(file); s.Scan(); {
		f := strings.Fields(s.Text())
		switch {
		case len(f) == 1 && f[0] == "NODE_COORD_SECTION":
			in = true
		case in && len(f) == 3:
			x, err := strconv.ParseFloat(f[1], 64)
			require.NoError(t, err)
			y, err := strconv.ParseFloat(f[2], 64)
			require.NoError(t, err)
			lines = append(lines, path.Line{Before: -1, Points: []path.Point{{X: x, Y: y}}})
		}
	}
	require.NotEmpty(t, lines)
	return lines
}

func openInstance(name string) (*os.File, error) {
	const debian = "/usr/lib/R/site-library/TSP/examples"
	f, err := os.Open(filepath.Join(os.Getenv("FURROW_TSPLIB"), name+".tsp"))
	if err != nil {
		if g, err := os.Open(filepath.Join(debian, name+".tsp")); err == nil {
			return g, nil
		}
	}
	return f, err
}
