package svg

import (
	"bytes"
	"encoding/xml"
	"furrow/path"
	"regexp"
	"strings"
)

var (
	entityDecl = regexp.MustCompile(`<!ENTITY\s+(%\s+)?([\pL_:][\pL\pN_:.-]*)\s+(?:"([^"]*)"|'([^']*)'|(SYSTEM|PUBLIC)\b)`)
	entityRef  = regexp.MustCompile(`&([\pL_:][\pL\pN_:.-]*);`)
)

// doctype gives the decoder the internal entities of a document type. External
// ones are never opened.
func (b *builder) doctype(d *xml.Decoder, text string, line int) error {
	if !strings.HasPrefix(text, "DOCTYPE") {
		return nil
	}
	for _, m := range entityDecl.FindAllStringSubmatch(text, -1) {
		switch {
		case m[1] != "" || m[5] != "":
			b.t.notes = append(b.t.notes, path.Warning{Message: "external entity " + clip(m[2]) + " is not opened", Line: line})
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

// expand replaces references to entities that were declared before. What the
// decoder cannot take, markup inside an entity, stays text.
func expand(s string, known map[string]string) (string, *Error) {
	var out strings.Builder
	for {
		i := entityRef.FindStringSubmatchIndex(s)
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
	total, rest := 0, b.text
	for len(entities) > 0 {
		i := bytes.IndexByte(rest, '&')
		if i < 0 {
			break
		}
		rest = rest[i+1:]
		if j := bytes.IndexByte(rest[:min(len(rest), 256)], ';'); j >= 0 {
			total += len(entities[string(rest[:j])])
		}
		if total > maxExpansion {
			return &Error{Message: tooMuchExpansion.Message, Line: line}
		}
	}
	return nil
}
