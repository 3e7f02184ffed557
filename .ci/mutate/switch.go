package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"sort"
	"strings"
)

// place is where a fault can be switched on while the tests run: in the stead of the
// source from lo to hi stands before, the same source with the fault, between, the
// source as it is, after.
type place struct {
	lo, hi                         int
	before, faulty, between, after string
}

// placeOf returns the innermost expression or statement around a fault that can stand
// there twice, as the compiler sees it. Constants and what declares names have none. It
// must be one with the fault in it too: of a && b && c the || in a || b && c is not of a and b.
func (s *subject) placeOf(f *fault, id int) (p place, ok bool) {
	src := s.src[f.file]
	whole := s.extents(f.file, f.with(src))
	nodes := s.around(f)
	for i := len(nodes) - 1; i > 0; i-- {
		p.lo, p.hi = s.at(nodes[i].Pos()), s.at(nodes[i].End())
		if !whole[extent{p.lo, p.hi + len(f.text) - (f.hi - f.lo)}] || !s.twice(nodes[i], nodes[i-1], &p, id) {
			continue
		}
		p.faulty = string(src[p.lo:f.lo]) + f.text + string(src[f.hi:p.hi])
		if s.compiles(f.file, render(src, []place{p})) {
			return p, true
		}
	}
	return p, false
}

// extent is where a node begins and ends.
type extent struct{ lo, hi int }

// extents returns those of all nodes of a file with other source.
func (s *subject) extents(file string, src []byte) map[extent]bool {
	tree, err := s.parse(file, src)
	if err != nil {
		return nil // it was found to compile
	}
	all := make(map[extent]bool)
	ast.Inspect(tree, func(n ast.Node) bool {
		if n != nil {
			all[extent{s.at(n.Pos()), s.at(n.End())}] = true
		}
		return true
	})
	return all
}

func (s *subject) at(p token.Pos) int { return s.fset.Position(p).Offset }

// around returns the nodes that hold a fault, from the file to the innermost.
func (s *subject) around(f *fault) (nodes []ast.Node) {
	ast.Inspect(s.trees[f.file], func(n ast.Node) bool {
		if n == nil || s.at(n.Pos()) > f.lo || s.at(n.End()) < f.hi {
			_, file := n.(*ast.File)
			return file
		}
		nodes = append(nodes, n)
		return true
	})
	return nodes
}

// twice words the switch between a node and its like, where both can be of use.
func (s *subject) twice(n, parent ast.Node, p *place, id int) bool {
	switch n := n.(type) {
	case *ast.DeclStmt: // its names would not be seen outside
		return false
	case *ast.AssignStmt:
		p.statement(id)
		return n.Tok != token.DEFINE
	case ast.Stmt:
		p.statement(id)
		return true
	case ast.Expr:
		return p.expression(id, s.typeOf(n, parent))
	}
	return false
}

func (p *place) statement(id int) {
	p.before, p.between, p.after = fmt.Sprintf("if faultOn(%d) { ", id), " } else { ", " }"
}

func (p *place) expression(id int, of string) bool {
	p.before = fmt.Sprintf("func() %s { if faultOn(%d) { return ", of, id)
	p.between, p.after = " }; return ", " }()"
	return of != ""
}

// typeOf words the type of an expression that has one value; of a part of a constant
// it does not, since only the whole is reckoned as it runs.
func (s *subject) typeOf(e ast.Expr, parent ast.Node) string {
	if within, ok := parent.(ast.Expr); ok && s.info.Types[within].Value != nil {
		return ""
	}
	tv := s.info.Types[e]
	if _, many := tv.Type.(*types.Tuple); many || !tv.IsValue() || tv.Type == nil || tv.IsNil() {
		return ""
	}
	return types.TypeString(types.Default(tv.Type), s.qualified(e))
}

// qualified returns how the file of an expression names other packages.
func (s *subject) qualified(e ast.Expr) types.Qualifier {
	names := make(map[string]string)
	for _, im := range s.trees[s.fset.Position(e.Pos()).Filename].Imports {
		if im.Name != nil {
			names[strings.Trim(im.Path.Value, `"`)] = im.Name.Name
		}
	}
	return func(p *types.Package) string {
		if p.Path() == s.pkg.Path() {
			return ""
		}
		if name, ok := names[p.Path()]; ok {
			return name
		}
		return p.Name() // which does not compile where it is not imported
	}
}

// render returns the source with switches at the places, which may stand in each other.
func render(src []byte, places []place) []byte {
	sort.SliceStable(places, func(i, j int) bool {
		a, b := places[i], places[j]
		return a.lo < b.lo || a.lo == b.lo && a.hi > b.hi
	})
	var out strings.Builder
	renderPart(&out, src, 0, len(src), places)
	return []byte(out.String())
}

// renderPart writes the source from lo to hi, and returns how many places it holds of
// those that begin there.
func renderPart(out *strings.Builder, src []byte, lo, hi int, places []place) (used int) {
	for used < len(places) && places[used].lo < hi {
		p := places[used]
		out.Write(src[lo:p.lo])
		out.WriteString(p.before + p.faulty + p.between)
		used += 1 + renderPart(out, src, p.lo, p.hi, places[used+1:])
		out.WriteString(p.after)
		lo = p.hi
	}
	out.Write(src[lo:hi])
	return used
}
