// Mutate puts small faults into a package and tells which of them its tests let
// through; see run. All faults stand in one binary of the tests and are switched on
// one at a time; only the tests that reach a fault are run with it.
package main

import (
	"errors"
	"flag"
	"fmt"
	"math/rand"
	"os"
)

// trial is what is asked for.
type trial struct {
	n    int
	seed int64
	file string
	skip string
	args []string // the package, and others whose tests are run too

	dir string // of what is written
}

func main() {
	t := &trial{}
	flag.IntVar(&t.n, "n", 40, "how many `FAULTS` to try")
	flag.Int64Var(&t.seed, "seed", 1, "which faults they are")
	flag.StringVar(&t.file, "file", "", "faults of this `FILE` of the package only")
	flag.StringVar(&t.skip, "skip", "", "leave out tests that match this `REGEXP`, as go test does")
	flag.Parse()
	if flag.NArg() == 0 {
		fmt.Fprintln(os.Stderr, "which package?")
		os.Exit(2)
	}
	t.args = flag.Args()
	if err := t.run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func (t *trial) run() (err error) {
	if t.dir, err = os.MkdirTemp("", "mutate-"); err != nil {
		return err
	}
	defer os.RemoveAll(t.dir)
	listed, err := list(t.args)
	if err != nil {
		return err
	}
	s, err := load(listed[0])
	if err != nil {
		return err
	}
	sample, left, err := t.sample(s)
	if err != nil {
		return err
	}
	b, err := t.bench(s, listed, sample)
	if err != nil {
		return err
	}
	v, err := b.judgeAll(sample)
	if err != nil {
		return err
	}
	v.report(t, left)
	return nil
}

// left counts the faults that were met and not tried, and all there are.
type left struct{ equivalent, invalid, possible int }

// sample takes faults in a sequence that the seed gives, until there are enough of
// those that compile and that a test could see.
func (t *trial) sample(s *subject) (sample []*fault, l left, err error) {
	equivalents, err := readEquivalents(".ci/mutate/equivalent.txt")
	if err != nil {
		return nil, l, err
	}
	all := s.faults(t.file)
	rand.New(rand.NewSource(t.seed)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	if l.possible = len(all); l.possible == 0 {
		return nil, l, errors.New("no faults can be put in there")
	}
	for i := 0; i < len(all) && len(sample) < t.n; i++ {
		f := &all[i]
		switch src := s.src[f.file]; {
		case equivalents[f.key(src)] || equivalents[f.file+"\n"]:
			l.equivalent++
		case !s.compiles(f.file, f.with(src)):
			l.invalid++
		default:
			sample = append(sample, f)
		}
	}
	return sample, l, nil
}
