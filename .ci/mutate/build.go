package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
)

// added is the name of the file that is added to the package, and switches what it says.
// Which fault is on stands in a
// file, since some tests start processes without the environment of their own. Below
// 0 none is, and those that are reached are written down.
const added = "zz_faults.go"

const switches = `package %s

import (
	"os"
	"strconv"
	"sync/atomic"
)

var (
	faultNow  = faultAsked()
	faultSeen [%d]atomic.Bool
)

func faultAsked() int {
	data, err := os.ReadFile(%q)
	if err != nil {
		panic(err)
	}
	n, err := strconv.Atoi(string(data))
	if err != nil {
		panic(err)
	}
	return n
}

func faultOn(i int) bool { return i == faultNow || faultNow < 0 && faultReached(i) }

func faultReached(i int) bool {
	if faultSeen[i].Swap(true) {
		return false
	}
	f, err := os.OpenFile(%q, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	if _, err := f.WriteString(strconv.Itoa(i) + " "); err != nil {
		panic(err)
	}
	return false
}
`

// What is on, or what of it.
const (
	nothing = 0
	reached = -1
)

func (t *trial) turn(on int) error { return os.WriteFile(t.asked(), []byte(strconv.Itoa(on)), 0o644) }

func (t *trial) asked() string { return filepath.Join(t.dir, "on") }
func (t *trial) log() string   { return filepath.Join(t.dir, "reached") }

// switched returns the files of the package with all faults that can be switched on,
// whose numbers are their places in the sample and begin with 1.
func (t *trial) switched(s *subject, sample []*fault) map[string][]byte {
	places := make(map[string][]place)
	for i, f := range sample {
		if p, ok := s.placeOf(f, i+1); ok {
			f.switched = true
			places[f.file] = append(places[f.file], p)
		}
	}
	files := make(map[string][]byte)
	for name, ps := range places {
		files[name] = render(s.src[name], ps)
	}
	files[filepath.Join(s.Dir, added)] = fmt.Appendf(nil, switches, s.Name, len(sample)+1, t.asked(), t.log())
	return files
}

// build makes the binaries of the tests with other files in the place of some; a
// package without tests has none.
func (t *trial) build(name string, pkgs []listed, files map[string][]byte) (bins []*binary, err error) {
	overlay, err := t.overlay(files)
	if err != nil {
		return nil, err
	}
	for i, p := range pkgs {
		if len(p.TestGoFiles)+len(p.XTestGoFiles) == 0 {
			continue
		}
		b := &binary{pkg: p.ImportPath, dir: p.Dir, file: filepath.Join(t.dir, fmt.Sprintf("%s%d.test", name, i))}
		_, err := output("go", "test", "-c", "-vet=off", "-overlay", overlay, "-o", b.file, p.ImportPath)
		if err != nil {
			return nil, err
		}
		bins = append(bins, b)
	}
	return bins, nil
}

// overlay writes the files, and what says in the place of which they stand (`go help
// build`, -overlay).
func (t *trial) overlay(files map[string][]byte) (string, error) {
	replace := make(map[string]string)
	for name, src := range files {
		real, err := filepath.Abs(name)
		if err != nil {
			return "", err
		}
		replace[real] = filepath.Join(t.dir, filepath.Base(name))
		if err := os.WriteFile(replace[real], src, 0o644); err != nil {
			return "", err
		}
	}
	data, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return "", err
	}
	name := filepath.Join(t.dir, "overlay.json")
	return name, os.WriteFile(name, data, 0o644)
}
