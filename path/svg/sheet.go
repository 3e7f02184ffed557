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
	tests int             // selectors tried so far
	faces [][]declaration // of @font-face

	variables bool // some rule sets one
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
	blocks    []block // at-rules that we are inside of
}

// block is what an at-rule does with what is inside it.
type block uint8

const (
	used block = iota
	leftOut
	fontFace
)

// in returns what holds for a rule here.
func (p *sheetParser) in() block {
	for _, b := range p.blocks {
		if b != used {
			return b
		}
	}
	return used
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
		if gt == css.ErrorGrammar && !p.css.HasParseError() {
			return
		}
		p.grammar(gt, data)
	}
}

func (p *sheetParser) grammar(gt css.GrammarType, data []byte) {
	switch gt {
	case css.ErrorGrammar:
		p.problem("style sheet: " + firstLine(p.css.Err().Error()))
	case css.AtRuleGrammar:
		p.statement(strings.ToLower(string(data)))
	case css.BeginAtRuleGrammar:
		p.blocks = append(p.blocks, p.begin(strings.ToLower(string(data)), p.css.Values()))
	case css.EndAtRuleGrammar:
		p.end()
	case css.QualifiedRuleGrammar:
		p.selectors = append(copyTokens(p.selectors, p.css.Values()), css.Token{TokenType: css.CommaToken,
			Data: []byte(",")})
	case css.BeginRulesetGrammar:
		p.body = nil // of an at-rule before it
		p.selectors = copyTokens(p.selectors, p.css.Values())
	case css.DeclarationGrammar, css.CustomPropertyGrammar:
		p.body = append(p.body, newDeclaration(data, p.css.Values()))
	case css.EndRulesetGrammar:
		p.ruleset()
	}
}

// statement is an at-rule without a block.
func (p *sheetParser) statement(name string) {
	switch name {
	case "@charset", "@namespace", "@layer":
	case "@import":
		p.problem("@import: style sheets in other files are not read")
	default:
		p.problem(clip(name) + " is ignored")
	}
}

// begin judges an at-rule by its name and what stands behind that.
func (p *sheetParser) begin(name string, prelude []css.Token) block {
	switch name {
	case "@media":
		ok, known := mediaHolds(writeTokens(prelude))
		if !known && p.in() == used {
			p.problem("@media " + clip(writeTokens(prelude)) + " is taken not to hold")
		}
		if ok {
			return used
		}
		return leftOut
	case "@supports":
		return used
	case "@font-face":
		p.body = nil
		return fontFace
	case "@keyframes", "@-webkit-keyframes", "@page", "@property", "@counter-style", "@view-transition":
		return leftOut // of no effect on a still picture; an animation says so itself
	}
	p.problem(clip(name) + " and the rules inside it are ignored")
	return leftOut
}

func (p *sheetParser) end() {
	last := len(p.blocks) - 1
	if last < 0 {
		return
	}
	if p.blocks[last] == fontFace {
		p.sheet.faces = append(p.sheet.faces, p.body)
	}
	p.blocks = p.blocks[:last]
}

func writeTokens(tokens []css.Token) string {
	var b strings.Builder
	for _, t := range tokens {
		b.Write(t.Data)
	}
	return strings.TrimSpace(b.String())
}

// mediaHolds judges a list of media queries (Media Queries 4, 2 and 3) for a screen
// in its usual state; known is false where part of it is not understood.
func mediaHolds(list string) (holds, known bool) {
	known = true
	for query := range strings.SplitSeq(strings.ToLower(list), ",") {
		one, ok := mediaQuery(strings.TrimSpace(query))
		holds, known = holds || one, known && ok
	}
	return holds, known
}

func mediaQuery(query string) (holds, known bool) {
	words := strings.Fields(strings.ReplaceAll(query, ")", ") "))
	holds, not := true, false
	if len(words) > 0 && (words[0] == "not" || words[0] == "only") {
		not, words = words[0] == "not", words[1:]
	}
	for _, part := range strings.Split(strings.Join(words, " "), " and ") {
		switch part = strings.ReplaceAll(part, " ", ""); part {
		case "", "all", "screen", "(prefers-color-scheme:light)", "(prefers-reduced-motion:no-preference)", "(color)":
		case "print", "(prefers-color-scheme:dark)", "(prefers-reduced-motion:reduce)", "(forced-colors:active)",
			"(inverted-colors:inverted)", "(monochrome)", "speech", "tv", "handheld", "projection", "tty":
			holds = false
		default:
			return false, false
		}
	}
	return holds != not, true
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
	p.selectors = nil
	if p.in() != used {
		return
	}
	for _, tokens := range splitList(selectors) {
		if dynamic(tokens) {
			continue
		}
		p.rule(tokens, body)
	}
}

// rule adds the rules that a selector stands for.
func (p *sheetParser) rule(tokens []css.Token, body []declaration) {
	list, err := expandSelector(tokens)
	if err != nil {
		p.problem("selector is ignored: " + firstLine(err.Error()))
		return
	}
	for _, sel := range list {
		switch {
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
	for _, d := range r.declarations {
		s.variables = s.variables || strings.HasPrefix(d.name, "--")
	}
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
	d := declaration{name: propertyName(string(name)), value: strings.TrimSpace(b.String())}
	if i := strings.LastIndexByte(d.value, '!'); i >= 0 &&
		strings.EqualFold(strings.TrimSpace(d.value[i+1:]), "important") {
		d.value, d.important = strings.TrimSpace(d.value[:i]), true
	}
	return d
}

// propertyName folds the case of a name, but not of a variable's.
func propertyName(name string) string {
	if strings.HasPrefix(name, "--") {
		return name
	}
	return strings.ToLower(name)
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
		case gt == css.DeclarationGrammar, gt == css.CustomPropertyGrammar:
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
			list = append(list, declaration{name: propertyName(strings.TrimSpace(name)),
				value: strings.TrimSpace(value)})
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
			if p := n.parent; p != nil && (r.siblings || bytes.ContainsRune(r.combinators, '~')) {
				s.tests += len(p.children)
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
