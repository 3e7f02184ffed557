package svg

import (
	"math"

	"furrow/path"
	"furrow/path/pick"
	"furrow/path/text"
)

// mmPerPx is CSS' fixed ratio: 96 px are an inch (CSS Values 4, 6.2).
const mmPerPx = path.MMPerInch / 96

// walker draws a tree into art. The fields below view are those of the element
// being drawn and are restored behind it.
type walker struct {
	tree     *tree
	sheet    sheet
	art      path.Artwork
	warnings warnings
	pick     pick.Picker[*node]
	drawn    int // elements visited
	points   int // emitted
	tiled    int // shapes emitted for patterns
	dashes   int
	tol      float64 // of strokes, mm
	fonts    *text.Fonts
	asked    map[path.Font]bool

	tolerance func(page path.Rect) float64
	sized     bool // the document names its size
	pen       pen
	lines     lineBuilder
	scratch   path.Path // a stroke's outline in the making

	states   states
	view     viewport
	rootFont float64
	uses     []*node // the use elements that we are inside of
	mode     captureMode

	hosts    []*node // the images whose drawings we are inside of
	images   int     // drawings met
	faces    int     // fonts in the document
	fontsOf  *tree   // whose font elements were read
	moving   map[*node]bool
	within   []*node   // the patterns and masks that we are inside of
	contexts []context // of markers and uses that we are inside of
	places   []path.Place
	texts    int // text elements that were set
	clips    map[clipKey][]*path.Clip
	ramps    map[*node][]path.Stop // of gradients met
	boxes    lastBox
	err      error // a limit that was passed
}

// state is what an element takes over from the one round it.
type state struct {
	m       path.Matrix // user units, Y down, to mm, Y up
	style   style
	opacity float64 // of all groups round it
	group   *path.PaintGroup
	clips   []*path.Clip
	layer   string
	picked  pick.Picked
	used    *node // the use that draws this symbol or svg, else nil
}

// states are those in store for further elements, so that each depth of the
// document needs one and not each element.
type states []*state

func (s *states) get() *state {
	n := len(*s)
	if n == 0 {
		return &state{}
	}
	st := (*s)[n-1]
	*s = (*s)[:n-1]
	return st
}

func (s *states) put(st *state) { *s = append(*s, st) }

// maxRoom bounds the shapes for which there is room from the start.
const maxRoom = 1 << 17

func newWalker(t *tree, opts Options) (*walker, error) {
	w := &walker{tree: t, fonts: text.NewFonts(opts.Fonts...), rootFont: initial.font.size, tol: DefaultTolerance,
		tolerance: opts.Tolerance, pen: pen{most: maxOnePath}}
	w.fonts.Before(opts.FontsBefore)
	w.warnings.list = append(w.warnings.list, t.notes...)
	w.art.Shapes = make([]path.Shape, 0, min(t.drawn, maxRoom))
	var err error
	w.pick, err = newPicker(opts.Pick)
	if err != nil {
		return nil, err
	}
	w.sheets()
	w.motions()
	return w, nil
}

// sheets reads the style elements of the tree.
func (w *walker) sheets() {
	for _, n := range w.tree.nodes {
		if n.name == "style" && !n.foreign {
			w.styleElement(n)
			w.fontFaces(n)
		}
	}
}

// host returns the element of the document itself that n is or stands in.
func (w *walker) host(n *node) *node {
	if len(w.hosts) > 0 {
		return w.hosts[0]
	}
	return n
}

func (w *walker) metrics(s *style) fontMetrics { return fontMetrics{s.font.size, w.rootFont} }

// document draws everything from the root down.
func (w *walker) document() error {
	root := w.tree.root
	s := w.cascade(root, &initial)
	w.rootFont = s.font.size
	page, inner := w.page(root, &s)
	w.art.Page = path.Rect{Max: path.Point{X: page.w * mmPerPx, Y: page.h * mmPerPx}}
	up := path.Matrix{A: mmPerPx, D: -mmPerPx, F: page.h * mmPerPx}
	st := state{m: up, style: initial, opacity: 1}
	if w.tolerance != nil {
		if tol := w.tolerance(w.art.Page); tol > 0 && !math.IsInf(tol, 0) {
			w.tol = tol
		}
	}
	if w.view = inner; page.w <= 0 || page.h <= 0 {
		w.sized, st.m.F, w.art.Page = false, 0, path.Rect{}
		if b := w.pageFromDrawing(st); !b.Empty() {
			w.art.Page = b.Move(path.Point{X: -b.Min.X, Y: -b.Min.Y})
			st.m = path.Translate(-b.Min.X, -b.Min.Y).Mul(st.m)
		}
	}
	w.element(root, &st)
	if w.err != nil {
		return w.err
	}
	w.art.Shapes = foldGroups(w.art.Shapes)
	return nil
}

// limit stops the walk for good.
func (w *walker) limit(n *node, format string, args ...any) {
	if w.err == nil {
		w.err = n.fail(format, args...)
	}
}

const usesMultiply = "use elements multiply to more than %d elements"

// visit counts what is drawn, and reports whether it is not too much.
func (w *walker) visit(n *node, tooMany string) bool {
	if w.drawn++; w.drawn > maxDrawn {
		w.limit(n, tooMany, maxDrawn)
	}
	return w.err == nil
}

// element draws one element with all inside. st is that of the element round
// it.
func (w *walker) element(n *node, st *state) {
	if !w.visit(n, usesMultiply) {
		return
	}
	kind, known := elements[n.name]
	if n.foreign {
		if kind.draws() {
			w.warn(n, path.Element, "an element of a foreign namespace is left out")
		}
		return
	}
	switch {
	case !known:
		w.warn(n, path.Element, "unknown element is left out")
	case !kind.draws():
	case kind == unsupported:
		w.unsupported(n, st)
	default:
		w.enter(n, st, kind)
	}
}

// unsupported tells of an element that would draw something, and where it says so.
func (w *walker) unsupported(n *node, st *state) {
	s := w.cascade(n, &st.style)
	if s.none || s.hidden {
		return
	}
	g := geometry{w: w, n: n, s: &s}
	x, y := g.length("x", horizontal), g.length("y", vertical)
	size := path.Point{X: g.length("width", horizontal), Y: g.length("height", vertical)}
	b := path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + size.X, Y: y + size.Y}}
	w.warnAt(n, boxIn(st.m.Mul(w.transform(n, &s)), b), path.Element, "%s is not supported and left out", n.name)
}

// enter resolves the style of an element and draws it unless it is hidden.
func (w *walker) enter(n *node, outer *state, kind elementKind) {
	st := w.states.get()
	defer w.states.put(st)
	*st = *outer
	w.setStyle(&st.style, n, &outer.style)
	if w.sheet.tests > maxTests {
		w.limit(n, "style sheets and elements are too many together")
	}
	st.opacity *= st.style.opacity
	if w.moving[n] {
		w.tellMotion(n, st)
	}
	if st.style.none || st.opacity < invisible && w.mode == painted || !conditions(n) {
		return
	}
	st.picked = w.pick.Inside(n, st.picked)
	if st.picked.Skip {
		return
	}
	if l := n.Layer(); l != "" {
		st.layer = l
	}
	st.m = st.m.Mul(w.transform(n, &st.style))
	if kind == useElement { // SVG 2, 5.5: x and y belong to its own transform, so clips move with them
		g := geometry{w: w, n: n, s: &st.style}
		st.m = st.m.Mul(path.Translate(g.length("x", horizontal), g.length("y", vertical)))
	}
	if !finite(st.m) || st.m.Det() == 0 && kind != useElement {
		return // SVG 2, 8.5: not rendered
	}
	if st.style.clipPath != "" && st.style.clipPath != "none" {
		st.clips = w.clipped(n, st)
	}
	w.grouped(n, st)
	w.place(n, st, func() { w.filter(n, st, func() { w.draw(n, st, kind) }) })
}

// invisible is the opacity below which nothing is drawn.
const invisible = 0.005

func (w *walker) draw(n *node, st *state, kind elementKind) {
	switch kind {
	case container:
		w.children(n, st)
	case viewportElement:
		w.nested(n, st, w.viewportBox(n, st))
	case shapeElement:
		w.shape(n, st, w.outline(n, &st.style))
	case useElement:
		w.use(n, st)
	case switchElement:
		w.choose(n, st)
	case textElement:
		w.text(n, st)
	case imageElement:
		w.image(n, st)
	}
}

func (w *walker) children(n *node, st *state) {
	for _, c := range n.children {
		if c.name != "" {
			w.element(c, st)
		}
		if w.err != nil {
			return
		}
	}
}
