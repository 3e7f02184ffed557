package svg

import (
	"bytes"
	"encoding/base64"
	"net/url"
	"strings"

	"furrow/path"
)

// maxImages bounds the documents that stand inside others, and their depth.
const (
	maxImages     = 1000
	maxImageDepth = 4
)

// image draws an image that is a drawing inside the document (SVG 2, 12.3); any other
// is left out with a warning that says where it is and how large.
func (w *walker) image(n *node, st *state) {
	g := geometry{w: w, n: n, s: &st.style}
	at := box{x: g.length("x", horizontal), y: g.length("y", vertical)}
	var okW, okH bool
	at.w, okW = g.maybe("width", horizontal)
	at.h, okH = g.maybe("height", vertical)
	if okW && at.w <= 0 || okH && at.h <= 0 || st.style.hidden {
		return
	}
	if w.mode == measured {
		w.emit(n, st, path.Shape{Path: roundRect(at.x, at.y, at.w, at.h, 0, 0).Transform(st.m)})
		return
	}
	href := n.href()
	data, drawing := dataURL(href)
	switch {
	case href == "":
		return
	case !drawing || len(w.hosts) >= maxImageDepth || w.images >= maxImages:
		if !okW || !okH {
			w.warn(n, path.Picture, "a picture in its own size is left out")
			return
		}
		b := roundRect(at.x, at.y, at.w, at.h, 0, 0).Transform(st.m).Bounds()
		w.warnAt(n, b, path.Picture, "a picture is left out")
		return
	}
	w.images++
	t, err := parseDrawing(data)
	if err != nil {
		w.warn(n, path.Picture, "the drawing in it is left out: %v", err)
		return
	}
	w.foreignTree(n, st, t, at, okW, okH)
}

// dataURL returns the content of a data: URL that is an SVG document (RFC 2397).
func dataURL(href string) (data []byte, ok bool) {
	head, body, ok := strings.Cut(href, ",")
	kind, ok2 := strings.CutPrefix(strings.ToLower(strings.TrimSpace(head)), "data:image/svg+xml")
	if !ok || !ok2 {
		return nil, false
	}
	if !strings.Contains(kind, "base64") {
		text, err := url.PathUnescape(body)
		return []byte(text), err == nil
	}
	return fromBase64(body)
}

func fromBase64(body string) ([]byte, bool) {
	if plain, err := url.PathUnescape(body); err == nil {
		body = plain
	}
	body = strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \t\r\n=", r) {
			return -1
		}
		return r
	}, body)
	data, err := base64.RawStdEncoding.DecodeString(body)
	return data, err == nil
}

func parseDrawing(data []byte) (*tree, error) {
	text, err := decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return parseTree(text)
}

// foreignTree draws another document where an image stands.
func (w *walker) foreignTree(n *node, st *state, t *tree, at box, okW, okH bool) {
	inside := *w
	inside.tree, inside.sheet = t, sheet{}
	inside.clips, inside.ramps, inside.boxes = nil, nil, lastBox{}
	inside.uses, inside.within, inside.contexts = nil, nil, nil
	inside.hosts = append(w.hosts[:len(w.hosts):len(w.hosts)], n)
	inside.sheets()
	inside.motions()
	inner := state{m: st.m, style: initial, opacity: 1, group: st.group, clips: st.clips, layer: st.layer,
		picked: st.picked}
	s := inside.cascade(t.root, &initial)
	inside.rootFont = s.font.size
	inside.view = viewport{at.w, at.h}
	page, _ := inside.page(t.root, &s)
	ownSize(&at.w, &page.w, okW)
	ownSize(&at.h, &page.h, okH)
	switch {
	case inside.err != nil:
	case !(page.w > 0 && page.h > 0):
		inside.warn(n, path.Picture, "a picture in its own size is left out")
	default:
		inner.m = st.m.Mul(fit(box{w: page.w, h: page.h}, at, n.attr("preserveAspectRatio")))
		inner.clips = appendClip(inner.clips, frameClip(at, st.m))
		inside.view = page
		inside.element(t.root, &inner)
	}
	w.art, w.warnings, w.err = inside.art, inside.warnings, inside.err
	w.drawn, w.points, w.tiled, w.dashes, w.images = inside.drawn, inside.points, inside.tiled,
		inside.dashes, inside.images
	w.places, w.asked, w.texts = inside.places, inside.asked, inside.texts
	w.pick = inside.pick
}

// ownSize makes a side of an image that is not given that of its drawing, and a side that a
// drawing does not name that of its image (CSS Images 3, 4.3).
func ownSize(image, drawing *float64, given bool) {
	if !given {
		*image = *drawing
	}
	if *drawing <= 0 {
		*drawing = *image
	}
}
