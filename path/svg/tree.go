package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"furrow/path"
	"io"
	"strings"

	"golang.org/x/net/html"
)

// Namespaces of SVG documents.
const (
	nsSVG   = "http://www.w3.org/2000/svg"
	nsXLink = "http://www.w3.org/1999/xlink"
	nsXML   = "http://www.w3.org/XML/1998/namespace"
)

// node is an element, or a run of text between elements. The embedded html.Node
// is what compound selectors are matched against: its Data is the name in lower
// case, as selectors are, its Attr shared with attr, its links those of elements
// only.
type node struct {
	html.Node
	name     string // local name; empty for text
	text     string
	parent   *node
	children []*node
	line     int
	index    int32 // among all elements, in document order
	foreign  bool  // not of the SVG namespace
}

// tree is a document.
type tree struct {
	root  *node
	ids   map[string]*node
	nodes []*node         // elements in document order
	drawn int             // of them, those that draw a shape
	notes []path.Warning  // about the XML itself
	pi    map[string]bool // processing instructions
}

// attr returns the value of an attribute without a namespace.
func (n *node) attr(name string) string {
	v, _ := n.lookup(name)
	return v
}

func (n *node) lookup(name string) (string, bool) {
	for i := range n.Attr {
		if n.Attr[i].Key == name && n.Attr[i].Namespace == "" {
			return n.Attr[i].Val, true
		}
	}
	return "", false
}

func (n *node) lookupNS(space, name string) (string, bool) {
	for i := range n.Attr {
		if n.Attr[i].Key == name && n.Attr[i].Namespace == space {
			return n.Attr[i].Val, true
		}
	}
	return "", false
}

// href returns the target of a reference; the one without a namespace wins.
func (n *node) href() string {
	if v, ok := n.lookup("href"); ok {
		return strings.TrimSpace(v)
	}
	v, _ := n.lookupNS(nsXLink, "href")
	return strings.TrimSpace(v)
}

// label names an element for a person, as in "path#star".
func (n *node) label() string {
	if id := n.attr("id"); id != "" {
		return n.name + "#" + id
	}
	return n.name
}

func (n *node) fail(format string, args ...any) *Error {
	return &Error{Message: fmt.Sprintf(format, args...), Element: n.label(), Line: n.line}
}

// parseTree reads a document. Markup that is not well-formed is an error, as in
// a browser.
func parseTree(text []byte) (*tree, error) {
	text, err := writeOut(text)
	if err != nil {
		return nil, err
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // decoded already
	d.Entity = map[string]string{}
	b := builder{t: &tree{ids: map[string]*node{}, pi: map[string]bool{}}, text: text}
	for {
		line, _ := d.InputPos()
		tok, err := d.Token()
		if errors.Is(err, io.EOF) && b.t.root != nil && b.at == nil {
			return b.t, nil
		}
		if err != nil {
			return nil, syntaxError(err, b.at)
		}
		if err := b.token(d, tok, line); err != nil {
			return nil, err
		}
	}
}

func syntaxError(err error, at *node) error {
	e := &Error{Message: "not an SVG file: " + err.Error(), Err: err}
	if errors.Is(err, io.EOF) {
		e.Message = "not an SVG file: it holds no element"
	}
	var s *xml.SyntaxError
	if errors.As(err, &s) {
		e.Line, e.Message = s.Line, "not well-formed XML: "+s.Msg
	}
	if at != nil {
		e.Element = at.label()
	}
	return e
}

type builder struct {
	t     *tree
	text  []byte
	at    *node
	depth int
	texts int // pieces kept
}

func (b *builder) token(d *xml.Decoder, tok xml.Token, line int) error {
	switch tok := tok.(type) {
	case xml.StartElement:
		return b.start(tok, line)
	case xml.EndElement:
		b.at = b.at.parent
		b.depth--
	case xml.CharData:
		return b.chars(string(tok), line)
	case xml.Directive:
		return b.doctype(d, string(tok), line)
	case xml.ProcInst:
		if tok.Target == "xml-stylesheet" {
			b.t.notes = append(b.t.notes, path.Warning{
				Message: "style sheets in other files are not read", Kind: path.StyleSheet, Line: line,
			})
		}
	}
	return nil
}

func (b *builder) start(tok xml.StartElement, line int) error {
	if b.t.root == nil && tok.Name.Local != "svg" {
		return &Error{Message: "not an SVG file: it starts with <" + clip(tok.Name.Local) + ">", Line: line}
	}
	n := &node{name: tok.Name.Local, parent: b.at, line: line, index: int32(len(b.t.nodes))}
	n.foreign = tok.Name.Space != nsSVG && tok.Name.Space != ""
	n.Type, n.Data = html.ElementNode, strings.ToLower(n.name)
	n.Attr = make([]html.Attribute, 0, len(tok.Attr))
	for _, a := range tok.Attr {
		if a.Name.Space != "xmlns" && a.Name.Local != "xmlns" {
			n.Attr = append(n.Attr, html.Attribute{Namespace: a.Name.Space, Key: a.Name.Local, Val: a.Value})
		}
	}
	if name := twice(n.Attr); name != "" {
		return n.fail("not well-formed XML: the attribute %s is there twice", clip(name))
	}
	if b.depth++; b.depth > maxDepth {
		return n.fail("nested more than %d deep", maxDepth)
	}
	if len(b.t.nodes)+b.texts >= maxElements {
		return n.fail("more than %d elements", maxElements)
	}
	if b.t.root == nil {
		b.t.root = n
		n.Parent = &html.Node{Type: html.DocumentNode, FirstChild: &n.Node, LastChild: &n.Node} // for :root
	} else if b.at == nil {
		return n.fail("a second root element")
	}
	if elements[n.name] == shapeElement {
		b.t.drawn++
	}
	b.add(n)
	return nil
}

// twice returns the name of an attribute that is there twice (XML 1.0, 3.1), which
// the library lets pass, or nothing.
func twice(attrs []html.Attribute) string {
	if len(attrs) > 32 {
		return twiceOfMany(attrs)
	}
	for i := range attrs {
		for k := range i {
			if attrs[i].Key == attrs[k].Key && attrs[i].Namespace == attrs[k].Namespace {
				return attrs[i].Key
			}
		}
	}
	return ""
}

func twiceOfMany(attrs []html.Attribute) string {
	seen := make(map[[2]string]bool, len(attrs))
	for _, a := range attrs {
		name := [2]string{a.Namespace, a.Key}
		if seen[name] {
			return a.Key
		}
		seen[name] = true
	}
	return ""
}

func (b *builder) add(n *node) {
	b.t.nodes = append(b.t.nodes, n)
	if id := n.attr("id"); id != "" && b.t.ids[id] == nil {
		b.t.ids[id] = n
	}
	if p := b.at; p != nil {
		p.children = append(p.children, n)
		n.Parent = &p.Node
		n.PrevSibling = p.LastChild
		if p.LastChild == nil {
			p.FirstChild = &n.Node
		} else {
			p.LastChild.NextSibling = &n.Node
		}
		p.LastChild = &n.Node
	}
	b.at = n
}

// chars keeps text only where it can matter.
func (b *builder) chars(s string, line int) error {
	if b.at == nil {
		return nil
	}
	switch b.at.name {
	case "text", "tspan", "textPath", "altGlyph", "style", "a", "title":
		if b.texts++; len(b.t.nodes)+b.texts > maxElements {
			return b.at.fail("more than %d elements and pieces of text", maxElements)
		}
		b.at.children = append(b.at.children, &node{text: s, parent: b.at, line: line})
	}
	return nil
}

// clip shortens what is quoted from a document.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
