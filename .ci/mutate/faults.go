package main

import (
	"go/ast"
	"go/token"
	"sort"
	"strconv"
	"strings"
)

// fault is a small change of a file: text in place of its bytes from lo to hi.
type fault struct {
	file   string
	lo, hi int
	text   string

	switched bool // rather than built alone
}

// swapped is what stands in the place of an operator.
var swapped = map[token.Token]token.Token{
	token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL, token.REM: token.MUL,
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
	token.EQL: token.NEQ, token.NEQ: token.EQL, token.LAND: token.LOR, token.LOR: token.LAND,
	token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN,
	token.MUL_ASSIGN: token.QUO_ASSIGN, token.QUO_ASSIGN: token.MUL_ASSIGN,
	token.INC: token.DEC, token.DEC: token.INC,
}

// mistaken is what stands in the place of a name.
var mistaken = map[string]string{
	"X": "Y", "Y": "X", "Min": "Max", "Max": "Min", "min": "max", "max": "min", "true": "false", "false": "true",
	"Floor": "Ceil", "Ceil": "Floor", "W": "H", "H": "W", "Sin": "Cos", "Cos": "Sin",
}

// finder collects the faults of a file.
type finder struct {
	fset  *token.FileSet
	name  string
	src   []byte
	found []fault
}

// faultsOf returns all faults that can be put into a file, in their sequence
// there.
func faultsOf(fset *token.FileSet, name string, src []byte, tree *ast.File) []fault {
	f := finder{fset: fset, name: name, src: src}
	for _, d := range tree.Decls {
		if g, ok := d.(*ast.GenDecl); !ok || g.Tok != token.IMPORT && g.Tok != token.TYPE {
			ast.Inspect(d, f.visit)
		}
	}
	sort.SliceStable(f.found, func(i, j int) bool { return f.found[i].lo < f.found[j].lo })
	return f.found
}

func (f *finder) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		f.operator(n.OpPos, n.Op)
	case *ast.IncDecStmt:
		f.operator(n.TokPos, n.Tok)
		f.drop(n)
	case *ast.AssignStmt:
		f.operator(n.TokPos, n.Tok)
		if n.Tok != token.DEFINE {
			f.drop(n)
		}
	case *ast.ExprStmt:
		f.drop(n)
	case *ast.CallExpr:
		if f.text(n.Fun) == "math.Inf" { // of what it is given only the sign counts
			f.replace(n.Args[0], "-("+f.text(n.Args[0])+")")
			return false
		}
	case *ast.IfStmt:
		f.replace(n.Cond, "!("+f.text(n.Cond)+")")
	case *ast.UnaryExpr:
		if n.Op == token.SUB || n.Op == token.NOT {
			f.put(f.at(n.Pos()), f.at(n.X.Pos()), "")
		}
	case *ast.BasicLit:
		f.literal(n)
	case *ast.KeyValueExpr: // a key is no use of a name
		ast.Inspect(n.Value, f.visit)
		return false
	case *ast.Ident:
		if m := mistaken[n.Name]; m != "" {
			f.replace(n, m)
		}
	case *ast.FuncDecl:
		if n.Body != nil {
			ast.Inspect(n.Body, f.visit)
		}
		return false
	}
	return true
}

func (f *finder) at(p token.Pos) int { return f.fset.Position(p).Offset }

func (f *finder) text(n ast.Node) string { return string(f.src[f.at(n.Pos()):f.at(n.End())]) }

func (f *finder) put(lo, hi int, text string) {
	f.found = append(f.found, fault{file: f.name, lo: lo, hi: hi, text: text})
}

func (f *finder) replace(n ast.Node, text string) { f.put(f.at(n.Pos()), f.at(n.End()), text) }

func (f *finder) operator(p token.Pos, t token.Token) {
	if s, ok := swapped[t]; ok {
		at := f.at(p)
		f.put(at, at+len(t.String()), s.String())
	}
}

// drop leaves a statement out; its lines stay, so that others keep their numbers.
func (f *finder) drop(n ast.Node) {
	f.replace(n, "{"+strings.Repeat("\n", strings.Count(f.text(n), "\n"))+"}")
}

// literal makes a number one larger.
func (f *finder) literal(n *ast.BasicLit) {
	switch n.Kind {
	case token.INT:
		if v, err := strconv.ParseInt(n.Value, 0, 64); err == nil {
			f.replace(n, strconv.FormatInt(v+1, 10))
		}
	case token.FLOAT:
		if v, err := strconv.ParseFloat(n.Value, 64); err == nil && v != 0 {
			f.replace(n, strconv.FormatFloat(v*1.5, 'g', -1, 64))
		}
	}
}
