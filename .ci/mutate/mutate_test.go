package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// module is a package whose faults are known, with tests of it, in a folder of its own.
var module = map[string]string{
	"go.mod": "module trial\ngo 1.25\n",
	"a.go": `package trial

import "math"

const most = 3

type P struct{ X, Y float64 }

// Sum stops at the most.
func Sum(list []int) (sum int) {
	for i, v := range list {
		if i == most {
			break
		}
		sum += v
	}
	return sum
}

func (p *P) Move(by float64) { p.X = p.X + by }

func Unseen(a, b int) bool { return a < b }

func All(a, b, c bool) bool {
	return a && b && c
}

func Far(most bool) float64 {
	if far := 0.0; !most {
		return far
	}
	return math.Inf(1)
}

func Waits(n int) {
	for n > 0 {
		n--
	}
}
`,
	"a_test.go": `package trial

import "testing"

func TestSum(t *testing.T) {
	if Sum([]int{1, 2, 3, 4}) != 6 || Sum([]int{5}) != 5 {
		t.Fatal()
	}
}

func TestMove(t *testing.T) {
	p := P{X: 1, Y: 7}
	if p.Move(2); p != (P{X: 3, Y: 7}) {
		t.Fatal()
	}
}

func TestAll(t *testing.T) {
	if All(true, false, false) || All(false, false, true) {
		t.Fatal()
	}
}

func TestFar(t *testing.T) {
	if Far(false) != 0 || Far(true) < 9 {
		t.Fatal()
	}
}

func TestNothing(t *testing.T) {}
`,
	".ci/mutate/equivalent.txt": "a.go\n- for n > 0 {\n+ for n > 1 {\n= nothing is done there\n",
}

// laidOut writes the module, and works there.
func laidOut(t *testing.T) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range module {
		full := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(full), 0o755))
		require.NoError(t, os.WriteFile(full, []byte(text), 0o600))
	}
	t.Chdir(dir)
	t.Setenv("GOFLAGS", "-mod=mod")
}

// Every fault of the module is judged as one would by reading it: what nobody calls gets
// through, a constant is built alone, and what the compiler refuses is left out.
func TestFaultsAreJudged(t *testing.T) {
	laidOut(t)
	tr := &trial{n: 1000, seed: 1, dir: t.TempDir()}
	listed, err := list([]string{"."})
	require.NoError(t, err)
	s, err := load(listed[0])
	require.NoError(t, err)
	sample, left, err := tr.sample(s)
	require.NoError(t, err)
	b, err := tr.bench(s, listed, sample)
	require.NoError(t, err)
	var through, alone []string
	for i, f := range sample {
		r, tests, err := b.judge(f, i+1)
		require.NoError(t, err)
		_, is, _ := f.lines(s.src[f.file])
		if r == passed {
			require.Zero(t, tests, is)
			through = append(through, is)
		}
		if !f.switched {
			alone = append(alone, is)
		}
	}
	require.ElementsMatch(t, []string{"func Unseen(a, b int) bool { return a <= b }", "for n >= 0 {", "n++",
		"{}"}, through)
	require.Equal(t, []string{"const most = 4"}, alone)
	require.Equal(t, 1, left.equivalent)
	require.Equal(t, left.possible, len(sample)+left.equivalent+left.invalid)
	require.Positive(t, left.invalid, "a name that is declared and not used")
	names := map[string]int{}
	for _, test := range b.bins[0].tests {
		names[test.name] = len(test.reaches)
	}
	require.Zero(t, names["TestNothing"])
	require.Equal(t, 4, names["TestMove"], "the plus, either name, and nothing at all")
}
