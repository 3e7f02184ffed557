package svg

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"github.com/tdewolff/parse/v2"
	"github.com/tdewolff/parse/v2/css"
)

// declaration is one property of a style, as written.
type declaration struct {
	name, value string
	important   bool
}

// rule is one selector with its declarations.
type rule struct {
	selector
	declarations []declaration
	order        int
}

// sheet holds the rules of all style elements, found by what an element must
// have.
type sheet struct {
	rules map[string][]*rule // by selector.key
	count int
	tests int // selectors tried so far
}

// sheetProblem is something in a style sheet that was not used.
type sheetProblem struct {
	offset int // bytes into the sheet
	text   string
}

// parse adds the rules of one style element.
func (s *sheet) parse(text string) []sheetProblem {
	p := sheetParser{sheet: s, css: css.NewParser(parse.NewInputString(text), false)}
	p.all(len(text))
	return p.problems
}

type sheetParser struct {
	sheet     *sheet
	css       *css.Parser
	problems  []sheetProblem
	selectors []css.Token
	body      []declaration
	skip      int // depth of at-rules that are left out
}

// problem notes one; of very many not all are told.
func (p *sheetParser) problem(text string) {
	if len(p.problems) > maxWarnings {
		return
	}
	p.problems = append(p.problems, sheetProblem{p.css.Offset(), text})
}

// all runs over the grammar; the count of steps is a guard against a parser
// that stands still.
func (p *sheetParser) all(size int) {
	for range 2*size + 16 {
		gt, _, data := p.css.Next()
		switch gt {
		case css.ErrorGrammar:
			if !p.css.HasParseError() {
				return
			}
			p.problem("style sheet: " + firstLine(p.css.Err().Error()))
		case css.AtRuleGrammar:
			if name := string(data); name != "@charset" && name != "@namespace" {
				p.problem(clip(name) + " is ignored")
			}
		case css.BeginAtRuleGrammar:
			p.skip++
			p.problem(clip(string(data)) + " and the rules inside it are ignored")
		case css.EndAtRuleGrammar:
			p.skip--
		case css.QualifiedRuleGrammar:
			p.selectors = append(copyTokens(p.selectors, p.css.Values()), css.Token{TokenType: css.CommaToken, Data: []byte(",")})
		case css.BeginRulesetGrammar:
			p.selectors = copyTokens(p.selectors, p.css.Values())
		case css.DeclarationGrammar:
			p.body = append(p.body, newDeclaration(data, p.css.Values()))
		case css.EndRulesetGrammar:
			p.ruleset()
		}
	}
}

func firstLine(s string) string {
	s, _, _ = strings.Cut(s, "\n")
	return clip(s)
}

func copyTokens(dst, src []css.Token) []css.Token {
	for _, t := range src {
		dst = append(dst, css.Token{TokenType: t.TokenType, Data: bytes.Clone(t.Data)})
	}
	return dst
}

func (p *sheetParser) ruleset() {
	selectors, body := p.selectors, p.body
	p.selectors, p.body = nil, nil
	if p.skip > 0 {
		return
	}
	for _, tokens := range splitList(selectors) {
		sel, err := parseSelector(tokens)
		switch {
		case err != nil:
			if !dynamic(tokens) {
				p.problem("selector is ignored: " + firstLine(err.Error()))
			}
		case p.sheet.count >= maxRules:
			p.problem("more rules than can be used; this one is ignored")
			return
		default:
			p.sheet.add(&rule{selector: sel, declarations: body})
		}
	}
}

// dynamic reports a selector for something that a still picture never has,
// such as :hover, which is ignored without a word.
func dynamic(tokens []css.Token) bool {
	for _, t := range tokens {
		switch strings.ToLower(string(t.Data)) {
		case "hover", "active", "focus", "focus-within", "focus-visible", "visited", "target", "selection":
			return true
		}
	}
	return false
}

func (s *sheet) add(r *rule) {
	if s.rules == nil {
		s.rules = map[string][]*rule{}
	}
	r.order = s.count
	s.count++
	s.rules[r.key] = append(s.rules[r.key], r)
}

// newDeclaration joins the tokens of a value, without its !important.
func newDeclaration(name []byte, tokens []css.Token) declaration {
	var b strings.Builder
	for _, t := range tokens {
		b.Write(t.Data)
	}
	d := declaration{name: strings.ToLower(string(name)), value: strings.TrimSpace(b.String())}
	if i := strings.LastIndexByte(d.value, '!'); i >= 0 && strings.EqualFold(strings.TrimSpace(d.value[i+1:]), "important") {
		d.value, d.important = strings.TrimSpace(d.value[:i]), true
	}
	return d
}

// parseInline reads the declarations of a style attribute.
func parseInline(text string) []declaration {
	if !strings.ContainsAny(text, "(\"'\\/!@{") {
		return splitInline(text)
	}
	var list []declaration
	p := css.NewParser(parse.NewInputString(text), true)
	for range 2*len(text) + 16 {
		gt, _, data := p.Next()
		switch {
		case gt == css.ErrorGrammar && !p.HasParseError():
			return list
		case gt == css.DeclarationGrammar:
			list = append(list, newDeclaration(data, p.Values()))
		}
	}
	return list
}

// splitInline is parseInline for text without anything special, which most
// is: a tenth of the time.
func splitInline(text string) []declaration {
	var list []declaration
	for text != "" {
		var one string
		one, text, _ = strings.Cut(text, ";")
		if name, value, ok := strings.Cut(one, ":"); ok {
			list = append(list, declaration{name: strings.ToLower(strings.TrimSpace(name)), value: strings.TrimSpace(value)})
		}
	}
	return list
}

// matching returns the rules that pick n, the weakest first.
func (s *sheet) matching(n *node) []*rule {
	var found []*rule
	try := func(key string) {
		for _, r := range s.rules[key] {
			s.tests++
			if r.siblings || bytes.ContainsRune(r.combinators, '~') {
				s.tests += siblingCount(n)
			}
			if r.match(n) {
				s.tests += 8 * len(r.declarations)
				found = append(found, r)
			}
		}
	}
	try("")
	try(n.Data)
	if id := n.attr("id"); id != "" {
		try("#" + id)
	}
	for class := range strings.FieldsSeq(n.attr("class")) {
		try("." + class)
	}
	slices.SortFunc(found, func(a, b *rule) int {
		for i := range a.specificity {
			if c := cmp.Compare(a.specificity[i], b.specificity[i]); c != 0 {
				return c
			}
		}
		return cmp.Compare(a.order, b.order)
	})
	return slices.Compact(found) // a class may be named twice
}

// siblingCount is what a test among siblings may cost.
func siblingCount(n *node) int {
	if n.parent == nil {
		return 1
	}
	return len(n.parent.children)
}
