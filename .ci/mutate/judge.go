package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"
)

// bench is where faults are judged.
type bench struct {
	*trial
	s    *subject
	pkgs []listed
	bins []*binary
}

// bench builds the tests with all faults and runs each without, which must pass, to
// see how long it takes and what it reaches.
func (t *trial) bench(s *subject, pkgs []listed, sample []*fault) (*bench, error) {
	b := &bench{trial: t, s: s, pkgs: pkgs}
	var err error
	if b.bins, err = t.build("all", pkgs, t.switched(s, sample)); err != nil {
		return nil, err
	}
	for _, bin := range b.bins {
		if err := b.measure(bin); err != nil {
			return nil, err
		}
	}
	return b, nil
}

func (b *bench) measure(bin *binary) error {
	if err := b.turn(reached); err != nil {
		return err
	}
	names, err := bin.list()
	if err != nil {
		return err
	}
	reach := 0
	for _, name := range names {
		t := test{name: name}
		if t.took, t.reaches, err = b.alone(bin, name); err != nil {
			return err
		}
		if len(t.reaches) > 0 {
			reach++
		}
		bin.tests = append(bin.tests, t)
	}
	bin.sort()
	fmt.Printf("%s: %d of %d tests reach a fault\n", bin.pkg, reach, len(names))
	return nil
}

// alone runs one test without a fault.
func (b *bench) alone(bin *binary, name string) (took time.Duration, reaches map[int]bool, err error) {
	if err := os.WriteFile(b.log(), nil, 0o644); err != nil {
		return 0, nil, err
	}
	begun := time.Now()
	r, said, err := bin.run([]string{name}, b.skip, longest)
	if err != nil {
		return 0, nil, err
	}
	if r != passed {
		return 0, nil, fmt.Errorf("without a fault %s of %s fails:\n%s", name, bin.pkg, said)
	}
	took = time.Since(begun)
	reaches, err = b.logged()
	return took, reaches, err
}

// logged returns the faults that were reached since the log was emptied.
func (b *bench) logged() (map[int]bool, error) {
	data, err := os.ReadFile(b.log())
	if err != nil {
		return nil, err
	}
	reaches := make(map[int]bool)
	for _, number := range strings.Fields(string(data)) {
		i, err := strconv.Atoi(number)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", b.log(), err)
		}
		reaches[i] = true
	}
	return reaches, nil
}

// verdicts counts results.
type verdicts struct {
	judged, caught, slow, rebuilt int
}

// judgeAll judges the faults, and prints those that nothing sees.
func (b *bench) judgeAll(sample []*fault) (v verdicts, err error) {
	for i, f := range sample {
		r, tests, err := b.judge(f, i+1)
		if err != nil {
			return v, err
		}
		v.judged++
		switch r {
		case passed:
			fmt.Println(b.s.show(f, tests))
		case outOfTime:
			v.slow++
			v.caught++
		case failed:
			v.caught++
		}
		if !f.switched {
			v.rebuilt++
		}
	}
	return v, nil
}

// judge runs the tests that reach a fault, until some do not pass.
func (b *bench) judge(f *fault, number int) (r result, tests int, err error) {
	if !f.switched {
		return b.rebuilt(f)
	}
	if err := b.turn(number); err != nil {
		return passed, 0, err
	}
	for _, bin := range b.bins {
		reaching := bin.reaching(number)
		tests += len(reaching)
		if r, err = bin.judge(reaching, b.skip); r != passed || err != nil {
			return r, tests, err
		}
	}
	return passed, tests, nil
}

// rebuilt builds the tests with one fault that cannot be switched on, and runs all.
func (b *bench) rebuilt(f *fault) (r result, tests int, err error) {
	bins, err := b.build("rebuilt", b.pkgs, map[string][]byte{f.file: f.with(b.s.src[f.file])})
	if err != nil {
		return passed, 0, err
	}
	for i, bin := range bins {
		all := b.bins[i].tests
		tests += len(all)
		if r, err = bin.judge(all, b.skip); r != passed || err != nil {
			return r, tests, err
		}
	}
	return passed, tests, nil
}

func (v verdicts) report(t *trial, l left) {
	fmt.Printf("%s: %d of %d faults caught, %.0f %%, seed %d\n",
		t.args[0], v.caught, v.judged, 100*float64(v.caught)/float64(max(1, v.judged)), t.seed)
	fmt.Printf("  %d of those ran out of time, %d were built alone; of %d possible, %d equivalent and %d that do not "+
		"compile were left out\n", v.slow, v.rebuilt, l.possible, l.equivalent, l.invalid)
}
