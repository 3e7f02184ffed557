// Mutate puts small faults into a package, one at a time, and runs its tests on
// each; see run.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// trial is what is asked for.
type trial struct {
	n       int
	seed    int64
	jobs    int
	file    string
	timeout time.Duration
	pkg     string
	tests   []string

	dir         string // of what is written
	equivalents map[string]bool
}

// verdict is what the tests make of a fault.
type verdict int

const (
	invalid verdict = iota // the compiler sees it
	caught
	survived
	equivalent
)

func main() {
	t := &trial{}
	flag.IntVar(&t.n, "n", 40, "how many `FAULTS` to try")
	flag.Int64Var(&t.seed, "seed", 1, "which faults they are")
	flag.IntVar(&t.jobs, "j", 1, "how many at once")
	flag.StringVar(&t.file, "file", "", "faults of this `FILE` of the package only")
	flag.DurationVar(&t.timeout, "timeout", 0, "for the tests of one fault; three times what they need by default")
	flag.Parse()
	if flag.NArg() == 0 {
		fmt.Fprintln(os.Stderr, "which package?")
		os.Exit(2)
	}
	t.pkg, t.tests = flag.Arg(0), flag.Args()
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
	if t.equivalents, err = readEquivalents(".ci/mutate/equivalent.txt"); err != nil {
		return err
	}
	faults, err := t.faults()
	if err != nil {
		return err
	}
	if err := t.wholeFirst(); err != nil {
		return err
	}
	counts := t.tryAll(faults)
	judged := counts[caught] + counts[survived]
	fmt.Printf("%s: %d of %d faults caught, %.0f %% (%d equivalent left out, %d possible, seed %d)\n",
		t.pkg, counts[caught], judged, 100*float64(counts[caught])/float64(max(1, judged)), counts[equivalent],
		len(faults), t.seed)
	return nil
}

// faults returns those of the package, shuffled.
func (t *trial) faults() (all []fault, err error) {
	out, err := exec.Command("go", "list", "-f", `{{.Dir}}{{range .GoFiles}}|{{.}}{{end}}`, t.pkg).Output()
	if err != nil {
		return nil, fmt.Errorf("go list %s: %w", t.pkg, err)
	}
	here, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	files := strings.Split(strings.TrimSpace(string(out)), "|")
	dir, err := filepath.Rel(here, files[0])
	if err != nil {
		return nil, err
	}
	for _, name := range files[1:] {
		if t.file != "" && t.file != name {
			continue
		}
		found, err := faultsOf(filepath.Join(dir, name))
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	rand.New(rand.NewSource(t.seed)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all, nil
}

// wholeFirst runs the tests without a fault, which must pass, and takes their time.
func (t *trial) wholeFirst() error {
	if out, err := t.test("").CombinedOutput(); err != nil { // builds what is needed
		return fmt.Errorf("the tests fail without a fault:\n%s", out)
	}
	if t.timeout > 0 {
		return nil
	}
	start := time.Now()
	if err := t.test("").Run(); err != nil {
		return fmt.Errorf("the tests fail without a fault, sometimes: %w", err)
	}
	t.timeout = 3*time.Since(start) + 20*time.Second
	return nil
}

// test returns the run of the tests with files replaced as the overlay says.
func (t *trial) test(overlay string) *exec.Cmd {
	args := []string{"test", "-short", "-failfast", "-count=1", "-vet=off"}
	if t.timeout > 0 {
		args = append(args, "-timeout", t.timeout.String())
	}
	if overlay != "" {
		args = append(args, "-overlay", overlay)
	}
	return exec.Command("go", append(args, t.tests...)...)
}

// tryAll tries faults until n are judged, and prints those that survive.
func (t *trial) tryAll(faults []fault) map[verdict]int {
	var mu sync.Mutex
	var wg sync.WaitGroup
	counts, next := make(map[verdict]int), 0
	for job := range t.jobs {
		wg.Go(func() {
			for {
				mu.Lock()
				if next == len(faults) || counts[caught]+counts[survived] >= t.n {
					mu.Unlock()
					return
				}
				f := faults[next]
				next++
				mu.Unlock()
				v, show := t.try(f, job)
				mu.Lock()
				counts[v]++
				if v == survived {
					fmt.Println(show)
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	return counts
}

// try puts one fault in, and words it.
func (t *trial) try(f fault, job int) (v verdict, show string) {
	src, err := os.ReadFile(f.file)
	if err != nil {
		return invalid, ""
	}
	if t.equivalents[f.key(src)] || t.equivalents[f.file+"\n"] {
		return equivalent, ""
	}
	was, is, number := f.lines(src)
	show = fmt.Sprintf("%s:%d\n- %s\n+ %s", f.file, number, was, is)
	overlay, err := t.overlay(f, src, job)
	if err != nil {
		return invalid, show
	}
	out, err := t.test(overlay).CombinedOutput()
	switch text := string(out); {
	case err == nil:
		return survived, show
	case strings.Contains(text, "[build failed]") || strings.Contains(text, "[setup failed]"):
		return invalid, show
	}
	return caught, show
}

// overlay writes the file with the fault, and what says that it stands in the
// place of the other (`go help build`, -overlay).
func (t *trial) overlay(f fault, src []byte, job int) (string, error) {
	changed := filepath.Join(t.dir, fmt.Sprintf("%d-%s", job, filepath.Base(f.file)))
	if err := os.WriteFile(changed, f.with(src), 0o644); err != nil {
		return "", err
	}
	real, err := filepath.Abs(f.file)
	if err != nil {
		return "", err
	}
	data, err := json.Marshal(map[string]map[string]string{"Replace": {real: changed}})
	if err != nil {
		return "", err
	}
	name := filepath.Join(t.dir, fmt.Sprintf("%d.json", job))
	return name, os.WriteFile(name, data, 0o644)
}
