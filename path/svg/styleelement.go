package svg

import "furrow/path"

func (w *walker) styleElement(n *node) {
	if kind := n.attr("type"); kind != "" && kind != "text/css" {
		w.warn(n, path.StyleSheet, "a style sheet of type %q is not read", clip(kind))
		return
	}
	if media := n.attr("media"); media != "" {
		holds, known := mediaHolds(media)
		if !known {
			w.warn(n, path.StyleSheet, "a style sheet for media %q is ignored", clip(media))
		}
		if !holds {
			return
		}
	}
	text, line := "", n.line
	for _, c := range n.children {
		if c.name == "" {
			if text == "" {
				line = c.line
			}
			text += c.text
		}
	}
	for _, p := range w.sheet.parse(text) {
		w.warnings.add(path.Warning{
			Message: p.text, Kind: path.StyleSheet, Element: n.label(), Line: line +
				lines(text[:min(p.offset, len(text))]),
		})
	}
}

func lines(s string) int {
	n := 0
	for i := range len(s) {
		if s[i] == '\n' {
			n++
		}
	}
	return n
}
