package svg

import (
	"bytes"
	"encoding/xml"
	"furrow/path"
	"regexp"
	"strings"
	"sync"
)

// Letters of all scripts take long to compile, and few files declare entities.
var (
	entityDecl = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`<!ENTITY\s+(%\s+)?([\pL_:][\pL\pN_:.-]*)\s+` +
			`(?:"([^"]*)"|'([^']*)'|(SYSTEM|PUBLIC)\b)`)
	})
	entityRef = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`&([\pL_:][\pL\pN_:.-]*);`) })
)

// doctype gives the decoder the internal entities of a document type. External
// ones are never opened.
func (b *builder) doctype(d *xml.Decoder, text string, line int) error {
	if !strings.HasPrefix(text, "DOCTYPE") {
		return nil
	}
	for _, m := range entityDecl().FindAllStringSubmatch(text, -1) {
		switch {
		case m[1] != "" || m[5] != "":
			message := "external entity " + clip(m[2]) + " is not opened"
			b.t.notes = append(b.t.notes, path.Warning{Message: message, Kind: path.Reference, Line: line})
		case strings.Contains(m[3]+m[4], "<"): // written out before
		default:
			value, err := expand(m[3]+m[4], d.Entity)
			if err != nil {
				return &Error{Message: err.Message, Line: line}
			}
			if _, twice := d.Entity[m[2]]; !twice { // XML 1.0, 4.2: the first declaration binds
				d.Entity[m[2]] = value
			}
		}
	}
	return b.checkExpansion(d.Entity, line)
}

// expand replaces references to entities that were declared before.
func expand(s string, known map[string]string) (string, *Error) {
	var out strings.Builder
	for {
		i := entityRef().FindStringSubmatchIndex(s)
		if i == nil {
			break
		}
		out.WriteString(s[:i[0]])
		if v, ok := known[s[i[2]:i[3]]]; ok {
			out.WriteString(v)
		} else {
			out.WriteString(s[i[0]:i[1]])
		}
		if s = s[i[1]:]; out.Len()+len(s) > maxExpansion {
			return "", tooMuchExpansion
		}
	}
	out.WriteString(s)
	return unescape(out.String()), nil
}

var tooMuchExpansion = &Error{Message: "entities expand to more than 16 MB"}

// unescape resolves the predefined and numeric references that an entity's
// value may hold.
func unescape(s string) string {
	if !strings.Contains(s, "&") {
		return s
	}
	var v struct {
		Text string `xml:",chardata"`
	}
	if xml.Unmarshal([]byte("<e>"+strings.ReplaceAll(s, "<", "&lt;")+"</e>"), &v) != nil {
		return s
	}
	return v.Text
}

// checkExpansion adds up what the references in the document would become,
// before any is resolved.
func (b *builder) checkExpansion(entities map[string]string, line int) error {
	total := 0
	for piece := range bytes.SplitSeq(b.text, []byte("&")) {
		name, _, _ := bytes.Cut(piece, []byte(";"))
		if total += len(entities[string(name)]); total > maxExpansion {
			return &Error{Message: tooMuchExpansion.Message, Line: line}
		}
	}
	return nil
}

// writeOut replaces references to entities that hold markup, which the decoder does
// not take, by what they stand for (XML 1.0, 4.4.2). Lines keep their numbers.
func writeOut(text []byte) ([]byte, error) {
	head, end := doctypeOf(text)
	markup := map[string]string{}
	for _, m := range entityDecl().FindAllSubmatch(head, -1) {
		value := string(m[3]) + string(m[4])
		if _, twice := markup[string(m[2])]; twice || string(m[1])+string(m[5]) != "" || !strings.Contains(value, "<") {
			continue
		}
		value, err := expandMarkup(strings.ReplaceAll(value, "\n", " "), markup)
		if err != nil {
			return nil, err
		}
		markup[string(m[2])] = value
	}
	if len(markup) == 0 {
		return text, nil
	}
	body, err := expandMarkup(string(text[end:]), markup)
	if err != nil {
		return nil, err
	}
	return append(text[:end:end], body...), nil
}

// doctypeOf returns the document type declaration, and where it ends.
func doctypeOf(text []byte) (head []byte, end int) {
	start := bytes.Index(text, []byte("<!DOCTYPE"))
	if start < 0 || !bytes.Contains(text, []byte("<!ENTITY")) {
		return nil, 0
	}
	quote, depth := byte(0), 0
	for i := start; i < len(text); i++ {
		switch c := text[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '<':
			depth++
		case c == '>':
			if depth--; depth == 0 {
				return text[start:i], i + 1
			}
		}
	}
	return nil, 0
}

// expandMarkup replaces references to known entities alone.
func expandMarkup(s string, known map[string]string) (string, error) {
	var out strings.Builder
	pieces := strings.Split(s, "&")
	out.WriteString(pieces[0])
	added := 0
	for _, piece := range pieces[1:] {
		name, behind, _ := strings.Cut(piece, ";")
		value, ok := known[name]
		if !ok {
			out.WriteString("&" + piece)
			continue
		}
		if added += len(value); added > maxExpansion {
			return "", tooMuchExpansion
		}
		out.WriteString(value + behind)
	}
	return out.String(), nil
}
