package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"os"
	"strings"
)

// with returns the file with the fault in it.
func (f fault) with(src []byte) []byte {
	return bytes.Join([][]byte{src[:f.lo], []byte(f.text), src[f.hi:]}, nil)
}

// lines returns the first changed line as it is and with the fault, and its number.
func (f fault) lines(src []byte) (was, is string, number int) {
	from := bytes.LastIndexByte(src[:f.lo], '\n') + 1
	line := func(b []byte) string {
		l, _, _ := bytes.Cut(b[from:], []byte("\n"))
		return strings.TrimSpace(string(l))
	}
	return line(src), line(f.with(src)), bytes.Count(src[:from], []byte("\n")) + 1
}

// key names a fault in equivalent.txt, wherever its line moves to.
func (f fault) key(src []byte) string {
	was, is, _ := f.lines(src)
	return f.file + "\n- " + was + "\n+ " + is + "\n"
}

// show words a fault that so many tests let through.
func (s *subject) show(f *fault, tests int) string {
	was, is, line := f.lines(s.src[f.file])
	within := ""
	for _, n := range s.around(f) {
		if d, ok := n.(*ast.FuncDecl); ok {
			within = " in " + d.Name.Name
		}
	}
	return fmt.Sprintf("%s:%d%s, reached by %d tests\n- %s\n+ %s", f.file, line, within, tests, was, is)
}

// readEquivalents returns the keys of the faults that change nothing that anyone
// could see, and of the files that hold nothing else. An entry is four lines: the file,
// the line as it is, the line with the fault, and the reason, which begin with nothing,
// "- ", "+ " and "= "; or the file and the reason alone.
func readEquivalents(name string) (map[string]bool, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	keys := make(map[string]bool)
	for i, entry := range strings.Split(strings.TrimSpace(string(data)), "\n\n") {
		key, reason, ok := strings.Cut(entry, "\n= ")
		if n := strings.Count(key, "\n"); !ok || n != 0 && n != 2 || strings.TrimSpace(reason) == "" {
			return nil, fmt.Errorf("%s: entry %d is not a file, a line, the line with the fault and a reason",
				name, i+1)
		}
		keys[key+"\n"] = true
	}
	return keys, nil
}
