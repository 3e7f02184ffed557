package svg

import (
	"fmt"
	"strings"

	"github.com/andybalholm/cascadia"
	"github.com/tdewolff/parse/v2/css"
)

// maxAlternatives bounds what a selector with lists in it stands for.
const maxAlternatives = 64

// alternative is a selector with some of its lists written out.
type alternative struct {
	tokens []css.Token
	extra  cascadia.Specificity // beyond that of its compounds, which may be less than nothing
}

// expandSelector reads a selector in which :is() and :where() hold lists (Selectors
// 4, 4.2 and 4.4): each of these makes a selector of its own.
func expandSelector(tokens []css.Token) ([]selector, error) {
	var list []selector
	todo := []alternative{{tokens: tokens}}
	for len(todo) > 0 {
		one := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		first, last := findList(one.tokens)
		if first < 0 {
			s, err := parseSelector(one.tokens)
			if err != nil {
				return nil, err
			}
			s.specificity = s.specificity.Add(one.extra)
			list = append(list, s)
			continue
		}
		more, err := one.writeOut(first, last)
		if err != nil {
			return nil, err
		}
		if todo = append(todo, more...); len(todo)+len(list) > maxAlternatives {
			return nil, fmt.Errorf("its lists stand for more than %d selectors", maxAlternatives)
		}
	}
	return list, nil
}

// findList returns where an :is() or :where() begins, with its colon, and its closing
// bracket; first is -1 where there is none.
func findList(tokens []css.Token) (first, last int) {
	first, depth := -1, 0
	for i, t := range tokens {
		if first < 0 && i > 0 && tokens[i-1].TokenType == css.ColonToken && t.TokenType == css.FunctionToken {
			switch strings.ToLower(string(t.Data)) {
			case "is(", "where(", "matches(", "-webkit-any(", "-moz-any(":
				first = i - 1
			}
		}
		if first >= 0 {
			if depth += nesting(t.TokenType); depth == 0 {
				return first, i
			}
		}
	}
	return -1, 0
}

// writeOut replaces the list from first to last by each of its members.
func (a alternative) writeOut(first, last int) ([]alternative, error) {
	start, depth := 0, 0 // of the compound
	for i, t := range a.tokens[:first] {
		if depth += nesting(t.TokenType); depth == 0 && combinator(t) != 0 {
			start = i + 1
		}
	}
	if depth != 0 {
		return nil, fmt.Errorf("a list inside another pseudo-class is not supported")
	}
	members := splitList(a.tokens[first+2 : last])
	weights := make([]cascadia.Specificity, len(members))
	var most cascadia.Specificity
	for i := range members {
		members[i] = trimSpaces(members[i])
		s, err := parseSelector(members[i])
		if err != nil {
			return nil, err
		}
		if weights[i] = s.specificity; most.Less(s.specificity) {
			most = s.specificity
		}
	}
	if where := strings.EqualFold(string(a.tokens[first+1].Data), "where("); where {
		most = cascadia.Specificity{}
	}
	var out []alternative
	for i, m := range members {
		compound, ok, err := joinCompound(a.tokens[start:first], m, start == 0)
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		one := alternative{extra: a.extra}
		one.tokens = append(append(append(one.tokens, a.tokens[:start]...), compound...), a.tokens[last+1:]...)
		for k := range one.extra {
			one.extra[k] += most[k] - weights[i][k]
		}
		out = append(out, one)
	}
	return out, nil
}

func trimSpaces(tokens []css.Token) []css.Token {
	for len(tokens) > 0 && tokens[0].TokenType == css.WhitespaceToken {
		tokens = tokens[1:]
	}
	for len(tokens) > 0 && tokens[len(tokens)-1].TokenType == css.WhitespaceToken {
		tokens = tokens[:len(tokens)-1]
	}
	return tokens
}

// joinCompound makes one compound of what stands before a list and a member of it; ok
// is false where no element can be both. At the very front a member may have
// combinators.
func joinCompound(before, member []css.Token, front bool) (out []css.Token, ok bool, err error) {
	depth := 0
	for _, t := range member {
		if depth += nesting(t.TokenType); depth == 0 && combinator(t) != 0 && (len(before) > 0 || !front) {
			return nil, false, fmt.Errorf("a combinator in a list behind something else is not supported")
		}
	}
	if len(before) == 0 {
		return member, true, nil
	}
	named := func(list []css.Token) bool { return len(list) > 0 && list[0].TokenType == css.IdentToken }
	any := func(list []css.Token) bool {
		return len(list) > 0 && list[0].TokenType == css.DelimToken && list[0].Data[0] == '*'
	}
	switch {
	case any(member):
		member = member[1:]
	case named(member) && named(before):
		if !strings.EqualFold(string(member[0].Data), string(before[0].Data)) {
			return nil, false, nil
		}
		member = member[1:]
	case named(member) && any(before):
		before = before[1:]
	}
	if named(member) { // a tag stands first
		out = append(append(append(out, member[0]), before...), member[1:]...)
		return out, true, nil
	}
	return append(append(out, before...), member...), true, nil
}
