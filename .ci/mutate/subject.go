package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// listed is what `go list` tells of a package.
type listed struct {
	ImportPath, Name, Dir              string
	GoFiles, TestGoFiles, XTestGoFiles []string
}

// list returns the packages that match any of the arguments, in their sequence.
func list(args []string) (pkgs []listed, err error) {
	fields := "-json=ImportPath,Name,Dir,GoFiles,TestGoFiles,XTestGoFiles"
	for _, arg := range args {
		out, err := output("go", "list", fields, arg)
		if err != nil {
			return nil, err
		}
		for d := json.NewDecoder(bytes.NewReader(out)); d.More(); {
			var p listed
			if err := d.Decode(&p); err != nil {
				return nil, fmt.Errorf("go list %s: %w", arg, err)
			}
			pkgs = append(pkgs, p)
		}
	}
	if len(pkgs) == 0 {
		return nil, errors.New("no such package")
	}
	return pkgs, nil
}

// output runs a command, with what it complains of in the error.
func output(name string, args ...string) ([]byte, error) {
	cmd := exec.Command(name, args...)
	var complaint strings.Builder
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", strings.Join(cmd.Args, " "), err, complaint.String())
	}
	return out, nil
}

// subject is the package that faults are put into, with its types.
type subject struct {
	listed
	fset    *token.FileSet
	files   []string // relative, as faults name them
	trees   map[string]*ast.File
	src     map[string][]byte
	imports types.Importer
	info    *types.Info
	pkg     *types.Package
}

func load(l listed) (*subject, error) {
	here, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	dir, err := filepath.Rel(here, l.Dir)
	if err != nil {
		return nil, err
	}
	s := &subject{listed: l, fset: token.NewFileSet(), trees: make(map[string]*ast.File), src: make(map[string][]byte)}
	for _, base := range l.GoFiles {
		name := filepath.Join(dir, base)
		s.files = append(s.files, name)
		if s.src[name], err = os.ReadFile(name); err != nil {
			return nil, err
		}
		if s.trees[name], err = s.parse(name, s.src[name]); err != nil {
			return nil, err
		}
	}
	if s.imports, err = exported(s.fset, l.ImportPath); err != nil {
		return nil, err
	}
	name := filepath.Join(dir, added)
	if s.trees[name], err = s.parse(name, fmt.Appendf(nil, "package %s\nfunc faultOn(int) bool", l.Name)); err != nil {
		return nil, err
	}
	s.info = &types.Info{Types: make(map[ast.Expr]types.TypeAndValue)}
	s.pkg, err = s.check(s.trees, s.info)
	return s, err
}

func (s *subject) parse(name string, src []byte) (*ast.File, error) {
	return parser.ParseFile(s.fset, name, src, parser.SkipObjectResolution)
}

// exported returns what reads the compiled packages that one imports.
func exported(fset *token.FileSet, pkg string) (types.Importer, error) {
	out, err := output("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}|{{.Export}}", pkg)
	if err != nil {
		return nil, err
	}
	files := make(map[string]string)
	for _, line := range strings.Fields(string(out)) {
		path, file, _ := strings.Cut(line, "|")
		files[path] = file
	}
	return importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) {
		return os.Open(files[path])
	}), nil
}

func (s *subject) check(trees map[string]*ast.File, info *types.Info) (*types.Package, error) {
	c := types.Config{Importer: s.imports}
	return c.Check(s.ImportPath, s.fset, slices.Collect(maps.Values(trees)), info)
}

// compiles tells whether the package does with other source in the place of a file.
func (s *subject) compiles(file string, src []byte) bool {
	tree, err := s.parse(file, src)
	if err != nil {
		return false
	}
	trees := maps.Clone(s.trees)
	trees[file] = tree
	_, err = s.check(trees, nil)
	return err == nil
}

// faults returns those of all files, or of the one that is named.
func (s *subject) faults(only string) (all []fault) {
	for _, name := range s.files {
		if only == "" || only == filepath.Base(name) {
			all = append(all, faultsOf(s.fset, name, s.src[name], s.trees[name])...)
		}
	}
	return all
}
