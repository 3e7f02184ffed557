package svg

import (
	"fmt"
	"strings"

	"github.com/andybalholm/cascadia"
	"github.com/tdewolff/parse/v2"
	"github.com/tdewolff/parse/v2/css"
	"golang.org/x/net/html"
)

// selector is a chain of compound selectors, the last of which is matched
// against the element itself. The compounds are cascadia's; the walk along the
// combinators is ours, because cascadia's own backtracks without bound.
type selector struct {
	compounds   []cascadia.Sel
	combinators []byte // combinators[i], one of " >+~", stands before compounds[i+1]
	specificity cascadia.Specificity
	key         string // ".class", "#id" or a tag that the element must have; empty for any
	siblings    bool   // its cost grows with the number of siblings
}

// parseSelectors reads a list of selectors separated by commas.
func parseSelectors(text string) ([]selector, error) {
	var list []selector
	for _, tokens := range splitList(tokenize(text)) {
		some, err := expandSelector(tokens)
		if err != nil {
			return nil, err
		}
		list = append(list, some...)
	}
	return list, nil
}

func tokenize(text string) []css.Token {
	lexer := css.NewLexer(parse.NewInputString(text))
	var tokens []css.Token
	for {
		tt, data := lexer.Next()
		switch tt {
		case css.ErrorToken:
			return tokens
		case css.CommentToken:
		default:
			tokens = append(tokens, css.Token{TokenType: tt, Data: data})
		}
	}
}

// splitList cuts at the commas outside brackets.
func splitList(tokens []css.Token) [][]css.Token {
	var list [][]css.Token
	first, level := 0, 0
	for i, t := range tokens {
		level += nesting(t.TokenType)
		if t.TokenType == css.CommaToken && level == 0 {
			list = append(list, tokens[first:i])
			first = i + 1
		}
	}
	return append(list, tokens[first:])
}

func nesting(tt css.TokenType) int {
	switch tt {
	case css.FunctionToken, css.LeftParenthesisToken, css.LeftBracketToken:
		return 1
	case css.RightParenthesisToken, css.RightBracketToken:
		return -1
	}
	return 0
}

const maxCompounds = 16

func parseSelector(tokens []css.Token) (selector, error) {
	var s selector
	var compound []css.Token
	level, pending := 0, byte(0)
	for _, t := range tokens {
		c := combinator(t)
		if c == 0 || level > 0 {
			if pending != 0 && pending != ' ' && len(compound) == 0 {
				return s, fmt.Errorf("a combinator with nothing before it")
			}
			if pending != 0 && len(compound) > 0 {
				if err := s.add(compound); err != nil {
					return s, err
				}
				s.combinators, compound = append(s.combinators, pending), nil
			}
			pending = 0
			compound = append(compound, t)
			level += nesting(t.TokenType)
			continue
		}
		if pending == 0 || pending == ' ' {
			pending = c
		} else if c != ' ' {
			return s, fmt.Errorf("two combinators in a row")
		}
	}
	if pending != 0 && pending != ' ' {
		return s, fmt.Errorf("a combinator with nothing behind it")
	}
	return s, s.add(compound)
}

func combinator(t css.Token) byte {
	if t.TokenType == css.WhitespaceToken {
		return ' '
	}
	if t.TokenType == css.DelimToken && strings.ContainsRune(">+~", rune(t.Data[0])) {
		return t.Data[0]
	}
	return 0
}

// add appends a compound.
func (s *selector) add(tokens []css.Token) error {
	if len(s.compounds) >= maxCompounds {
		return fmt.Errorf("more than %d elements in one selector", maxCompounds)
	}
	text, err := s.compoundText(tokens)
	if err != nil {
		return err
	}
	c, err := cascadia.Parse(text)
	if err != nil {
		return err
	}
	s.compounds = append(s.compounds, c)
	s.specificity = s.specificity.Add(c.Specificity())
	s.key = keyOf(tokens)
	return nil
}

// compoundText writes tokens out, and refuses what would search a subtree or
// nest without end.
func (s *selector) compoundText(tokens []css.Token) (string, error) {
	var b strings.Builder
	level, inner := 0, 0
	for i, t := range tokens {
		if level += nesting(t.TokenType); level > 3 {
			return "", fmt.Errorf("brackets nested too deep")
		}
		if level > 0 && combinator(t) != 0 {
			inner++
		}
		if i > 0 && tokens[i-1].TokenType == css.ColonToken {
			name := strings.ToLower(strings.TrimSuffix(string(t.Data), "("))
			switch {
			case !pseudoClasses[name]:
				return "", fmt.Errorf(":%s is not supported", clip(name))
			case strings.Contains(name, "child"), strings.Contains(name, "type"):
				s.siblings = true
			}
		}
		b.Write(t.Data)
	}
	if b.Len() > 4096 || inner > 4 {
		return "", fmt.Errorf("too long, or too many combinators in brackets")
	}
	return strings.TrimSpace(b.String()), nil
}

// pseudoClasses are those that a still picture can have and that look no
// further than the siblings.
var pseudoClasses = map[string]bool{
	"first-child": true, "last-child": true, "only-child": true, "nth-child": true, "nth-last-child": true,
	"first-of-type": true, "last-of-type": true, "only-of-type": true, "nth-of-type": true, "nth-last-of-type": true,
	"root": true, "not": true, "empty": true,
}

// keyOf returns a class, id or tag without which the compound cannot match.
func keyOf(tokens []css.Token) string {
	key, level := "", 0
	for i, t := range tokens {
		before := level
		level += nesting(t.TokenType)
		if before > 0 || strings.Contains(string(t.Data), `\`) {
			continue
		}
		switch {
		case t.TokenType == css.HashToken:
			return string(t.Data)
		case t.TokenType == css.IdentToken && i > 0 && tokens[i-1].TokenType == css.DelimToken &&
			tokens[i-1].Data[0] == '.':
			key = "." + string(t.Data)
		case t.TokenType == css.IdentToken && i == 0 && key == "":
			key = strings.ToLower(string(t.Data))
		}
	}
	return key
}

// outcome of matching the front of a chain at one element. The two ways to fail
// late keep a search from trying what cannot help.
type outcome uint8

const (
	matches     outcome = iota
	failsHere           // another element may match
	failsBefore         // no element further up can match either
)

func (s *selector) match(n *node) bool { return s.matchAt(&n.Node, len(s.compounds)-1) == matches }

func (s *selector) matchAt(n *html.Node, i int) outcome {
	if !s.compounds[i].Match(n) {
		return failsHere
	}
	if i == 0 {
		return matches
	}
	switch s.combinators[i-1] {
	case ' ':
		for p := n.Parent; p != nil; p = p.Parent {
			if r := s.matchAt(p, i-1); r != failsHere {
				return r
			}
		}
		return failsBefore
	case '>':
		if n.Parent == nil {
			return failsBefore
		}
		return s.matchAt(n.Parent, i-1)
	case '+':
		if n.PrevSibling == nil {
			return failsHere
		}
		return s.matchAt(n.PrevSibling, i-1)
	}
	for p := n.PrevSibling; p != nil; p = p.PrevSibling {
		if s.matchAt(p, i-1) == matches {
			return matches
		}
	}
	return failsHere
}
