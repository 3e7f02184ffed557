package svg

import (
	"strings"

	"furrow/path"
)

// style is the computed style of an element. Lengths that depend on the font
// are resolved to pixels when it is computed, percentages when they are used.
type style struct {
	inherited
	local
}

// inherited are the properties that children take over.
type inherited struct {
	fill, stroke               paint
	fillOpacity, strokeOpacity float64
	fillRule, clipRule         path.FillRule
	width                      length
	dashes                     []length
	dashOffset                 length
	cap, join                  string
	miter                      float64
	hidden                     bool
	colour                     path.Paint
	paintOrder                 [3]byte // 'f', 's' and 'm' in sequence
	markerStart                string
	markerMid                  string
	markerEnd                  string
	font                       fontStyle
	vars                       map[string]string // never changed
	anchor                     string
	rightToLeft                bool
	baseline                   string // dominant-baseline
	preserve                   bool   // white space
	unfollowed                 uint32 // of the list of that name, by bit
	filtersInSRGB              bool   // color-interpolation-filters
}

// fontStyle is what text is set in.
type fontStyle struct {
	family        string
	size          float64 // user units
	weight        int     // 100..900
	italic        bool
	letterSpacing length
	wordSpacing   length
	stretch       float64 // percent; 0 is 100
	smallCaps     bool
	noKerning     bool
	transform     string // text-transform
}

// local are the properties that children do not take over.
type local struct {
	none          bool // display: none
	opacity       float64
	clipPath      string
	mask          string
	filter        string
	maskType      string
	blend         path.Blend
	isolated      bool
	transform     string    // as a property
	moves         [3]string // translate, rotate and scale as properties
	origin        string    // transform-origin
	box           string    // transform-box
	overflow      string
	fixedWidth    bool              // vector-effect: non-scaling-stroke
	geometry      map[string]string // x, y, r, d and so on as CSS properties
	stopColour    paint             // of a flood or solid colour too
	stopOpacity   float64
	baselineShift length
	align         string   // alignment-baseline
	lines         []string // text-decoration
	bidi          string   // unicode-bidi
}

// initial is the style before anything is set.
var initial = style{
	inherited: inherited{
		fill:        paint{kind: paintColour, colour: path.Paint{Opacity: 1}},
		fillOpacity: 1, strokeOpacity: 1,
		width: length{v: 1}, cap: "butt", join: "miter", miter: 4,
		colour:     path.Paint{Opacity: 1},
		paintOrder: [3]byte{'f', 's', 'm'},
		anchor:     "start",
		font:       fontStyle{size: 16, weight: 400},
	},
	local: local{
		opacity: 1, stopOpacity: 1,
		stopColour: paint{kind: paintColour, colour: path.Paint{Opacity: 1}},
	},
}

// cascade returns the style of n under parent.
func (w *walker) cascade(n *node, parent *style) style {
	var s style
	w.setStyle(&s, n, parent)
	return s
}

// setStyle is cascade into s, which is not parent.
func (w *walker) setStyle(s *style, n *node, parent *style) {
	s.inherited, s.local = parent.inherited, initial.local
	c := cascader{w: w, n: n, style: s, parent: parent}
	rules := w.sheet.matching(n)
	text := n.attr("style")
	inline := parseInline(text)
	if w.sheet.variables || strings.Contains(text, "--") {
		lists := make([][]declaration, 0, len(rules)+1)
		for _, r := range rules {
			lists = append(lists, r.declarations)
		}
		c.variables(append(lists, inline)...)
	}
	for i := range n.Attr {
		if a := &n.Attr[i]; a.Namespace == "" && presentation(a.Key) {
			c.set(a.Key, a.Val, true)
		}
	}
	if v, ok := n.lookupNS(nsXML, "space"); ok {
		s.preserve = v == "preserve"
	}
	for _, important := range [...]bool{false, true} {
		for _, r := range rules {
			c.all(r.declarations, important)
		}
		c.all(inline, important)
	}
	s.resolve(w.rootFont)
}

// resolve turns font-relative lengths that are inherited into pixels.
func (s *style) resolve(root float64) {
	f := fontMetrics{s.font.size, root}
	for _, l := range [...]*length{&s.width, &s.dashOffset, &s.font.letterSpacing, &s.font.wordSpacing} {
		*l = l.absolute(f)
	}
	dashes := make([]length, len(s.dashes))
	for i, l := range s.dashes {
		dashes[i] = l.absolute(f)
	}
	s.dashes = dashes
}

// absolute keeps percentages and turns everything else into pixels.
func (l length) absolute(f fontMetrics) length {
	if l.sum != nil {
		return length{sum: l.sum.absolute(f)}
	}
	switch l.unit {
	case "%", "vw", "vh", "vmin", "vmax":
		return l
	}
	return length{v: l.px(f, viewport{}, diagonal)}
}

// cascader sets the properties of one element.
type cascader struct {
	w             *walker
	n             *node
	style, parent *style
}

func (c *cascader) all(list []declaration, important bool) {
	for _, d := range list {
		if d.important == important {
			c.set(d.name, d.value, false)
		}
	}
}

// set sets one property. What cannot be read is dropped with a warning, as CSS
// drops it.
func (c *cascader) set(name, value string, attribute bool) {
	if name == "all" && !attribute {
		c.everything(strings.ToLower(strings.TrimSpace(value)))
		return
	}
	p, ok := properties[name]
	if !ok {
		c.unknown(name, value, attribute)
		return
	}
	value = strings.TrimSpace(value)
	if strings.Contains(strings.ToLower(value), "var(") {
		var whole bool
		if value, whole = c.style.substitute(value, 0); !whole {
			value = "unset" // CSS Custom Properties 1, 3.1
		}
	}
	if p.keyword(c, strings.ToLower(value)) {
		return
	}
	if !p.set(c, value) {
		c.w.warn(c.n, path.BadValue, "%s is ignored: %q", name, clip(value))
	}
}

// keyword takes a value of all properties (CSS Cascade 4, 7.3), and reports whether it
// was one.
func (p *property) keyword(c *cascader, value string) bool {
	switch value {
	case "inherit":
		p.copy(c.style, c.parent)
	case "initial":
		p.copy(c.style, &initial)
	case "unset", "revert", "revert-layer":
		if p.inherited {
			p.copy(c.style, c.parent)
		} else {
			p.copy(c.style, &initial)
		}
	default:
		return false
	}
	return true
}

// everything sets all properties but two (CSS Cascade 4, 3.2).
func (c *cascader) everything(value string) {
	for name, p := range properties {
		if name != "direction" && name != "unicode-bidi" {
			p.keyword(c, value)
		}
	}
}

// unknown handles what is not in the table.
func (c *cascader) unknown(name, value string, attribute bool) {
	if !geometryProperties[name] || attribute {
		return
	}
	value, ok := c.style.substitute(value, 0)
	if !ok {
		return
	}
	if c.style.geometry == nil {
		c.style.geometry = map[string]string{}
	}
	c.style.geometry[name] = value
}
