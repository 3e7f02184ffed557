package svg

import (
	"strings"

	"furrow/path"
)

// maxFontFaces bounds the fonts that a document brings along.
const maxFontFaces = 64

// fontFaces adds the fonts inside the document (CSS Fonts 4, 11). One that stands in
// another file is told of where a text asks for it.
func (w *walker) fontFaces(n *node) {
	for _, body := range w.sheet.faces {
		var family, src, style string
		weight := "400"
		for _, d := range body {
			switch d.name {
			case "font-family":
				family = strings.Trim(d.value, `"' `)
			case "src":
				src = d.value
			case "font-weight":
				weight, _, _ = strings.Cut(strings.TrimSpace(d.value), " ")
			case "font-style":
				style = d.value
			}
		}
		if family != "" {
			w.fontFace(n, family, weight, style, src)
		}
	}
	w.sheet.faces = nil
}

func (w *walker) fontFace(n *node, family, weight, style, src string) {
	bold, ok := asWeight(&cascader{w: w, n: n, parent: &initial}, weight)
	if !ok {
		bold = 400
	}
	italic, _ := asItalic(nil, style)
	for {
		i := strings.Index(strings.ToLower(src), "url(")
		if i < 0 {
			return
		}
		end := closing(src[i+4:])
		if end < 0 {
			return
		}
		href := strings.Trim(strings.TrimSpace(src[i+4:i+4+end]), `"'`)
		src = src[i+4+end:]
		head, body, _ := strings.Cut(href, ",")
		if t := w.tree.ids[localID(href)]; strings.HasPrefix(href, "#") && t != nil && t.name == "font" {
			if d, ok := w.drawnFont(t); ok {
				w.fonts.EmbedDrawn(family, bold, italic, d)
				return
			}
		}
		if !strings.HasPrefix(strings.ToLower(head), "data:") {
			continue
		}
		if w.faces++; w.faces > maxFontFaces {
			w.warn(n, path.Lettering, "more than %d fonts in the file: the others are not used", maxFontFaces)
			return
		}
		data, ok := fromBase64(body)
		if ok && w.fonts.Embed(family, bold, italic, data) == nil {
			return
		}
		w.warn(n, path.Lettering, "the font %q in the file cannot be read", clip(family))
	}
}
