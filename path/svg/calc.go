package svg

import (
	"strings"

	"github.com/tdewolff/parse/v2/css"
)

// sum is a calculation (CSS Values 4, 10): a number or length, or what is done with
// those below it. It is never changed.
type sum struct {
	op     byte // '+', '-', '*', '/', '<' for the least, '>' for the greatest; 0 is a value
	parts  []*sum
	value  length
	number bool // of no unit
}

// parseSum reads calc(), min(), max() and clamp().
func parseSum(text string) (*sum, bool) {
	p := sumParser{tokens: tokenize(text)}
	s := p.term()
	p.space()
	return s, s != nil && p.i == len(p.tokens)
}

// isSum reports a value that is a calculation.
func isSum(text string) bool {
	name, _, _ := strings.Cut(text, "(")
	switch strings.ToLower(name) {
	case "calc", "-webkit-calc", "min", "max", "clamp":
		return true
	}
	return false
}

type sumParser struct {
	tokens []css.Token
	i      int
	depth  int
}

func (p *sumParser) space() bool {
	start := p.i
	for p.i < len(p.tokens) && p.tokens[p.i].TokenType == css.WhitespaceToken {
		p.i++
	}
	return p.i > start
}

func (p *sumParser) take(what string) bool {
	if p.i < len(p.tokens) && string(p.tokens[p.i].Data) == what {
		p.i++
		return true
	}
	return false
}

// term reads a value or a bracket; nil where there is none.
func (p *sumParser) term() *sum {
	p.space()
	if p.i >= len(p.tokens) || p.depth > 32 {
		return nil
	}
	p.depth++
	defer func() { p.depth-- }()
	t := p.tokens[p.i]
	p.i++
	switch t.TokenType {
	case css.NumberToken, css.DimensionToken, css.PercentageToken:
		l, ok := parseLength(string(t.Data))
		if !ok {
			return nil
		}
		return &sum{value: l, number: t.TokenType == css.NumberToken}
	case css.LeftParenthesisToken:
		return p.closed(p.added())
	case css.FunctionToken:
		return p.function(strings.ToLower(string(t.Data)))
	}
	return nil
}

func (p *sumParser) closed(s *sum) *sum {
	if p.space(); s == nil || !p.take(")") {
		return nil
	}
	return s
}

func (p *sumParser) function(name string) *sum {
	var parts []*sum
	for {
		s := p.added()
		if s == nil || len(parts) > 0 && s.number != parts[0].number {
			return nil
		}
		parts = append(parts, s)
		if p.space(); !p.take(",") {
			break
		}
	}
	if !p.take(")") {
		return nil
	}
	all := &sum{parts: parts, number: parts[0].number}
	switch {
	case (name == "calc(" || name == "-webkit-calc(") && len(parts) == 1:
		return parts[0]
	case name == "min(":
		all.op = '<'
	case name == "max(":
		all.op = '>'
	case name == "clamp(" && len(parts) == 3:
		upper := &sum{op: '<', parts: parts[1:], number: all.number}
		return &sum{op: '>', parts: []*sum{parts[0], upper}, number: all.number}
	default:
		return nil
	}
	return all
}

// added reads a sum; + and - stand between spaces.
func (p *sumParser) added() *sum {
	s := p.multiplied()
	for s != nil {
		start := p.i
		if !p.space() || p.i >= len(p.tokens) {
			return s
		}
		op := string(p.tokens[p.i].Data)
		if op != "+" && op != "-" {
			p.i = start
			return s
		}
		p.i++
		right := p.multiplied()
		if right == nil || right.number != s.number {
			return nil
		}
		s = &sum{op: op[0], parts: []*sum{s, right}, number: s.number}
	}
	return s
}

func (p *sumParser) multiplied() *sum {
	s := p.term()
	for s != nil {
		start := p.i
		p.space()
		op := byte('*')
		if !p.take("*") {
			if op = '/'; !p.take("/") {
				p.i = start
				return s
			}
		}
		right := p.term()
		if right == nil || op == '/' && !right.number || !s.number && !right.number {
			return nil
		}
		s = &sum{op: op, parts: []*sum{s, right}, number: s.number && right.number}
	}
	return s
}

// px returns what a calculation comes to, in user units.
func (s *sum) px(f fontMetrics, v viewport, d direction) float64 {
	if s.op == 0 {
		return s.value.px(f, v, d)
	}
	x := s.parts[0].px(f, v, d)
	for _, part := range s.parts[1:] {
		y := part.px(f, v, d)
		switch s.op {
		case '+':
			x += y
		case '-':
			x -= y
		case '*':
			x *= y
		case '/':
			x /= y
		case '<':
			x = min(x, y)
		case '>':
			x = max(x, y)
		}
	}
	return x
}

// absolute is that of length for all values in it.
func (s *sum) absolute(f fontMetrics) *sum {
	c := *s
	c.value = s.value.absolute(f)
	c.parts = make([]*sum, len(s.parts))
	for i, part := range s.parts {
		c.parts[i] = part.absolute(f)
	}
	return &c
}
