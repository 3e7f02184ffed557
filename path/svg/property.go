package svg

import (
	"slices"
	"strings"

	"furrow/path"
	"furrow/path/colour"
)

// property is how one CSS property gets into a style. set reports false for a
// value that it cannot read.
type property struct {
	inherited bool
	set       func(c *cascader, value string) bool
	copy      func(dst, src *style)
}

// field makes a property of one field of style.
func field[T any](inherited bool, at func(*style) *T, parse func(*cascader, string) (T, bool)) property {
	return property{
		inherited: inherited,
		set: func(c *cascader, value string) bool {
			v, ok := parse(c, value)
			if ok {
				*at(c.style) = v
			}
			return ok
		},
		copy: func(dst, src *style) { *at(dst) = *at(src) },
	}
}

// warned is a property that changes the look and that is not drawn. A value of
// plain is without effect.
func warned(kind path.Kind, name string, plain ...string) property {
	return property{
		set: func(c *cascader, value string) bool {
			for _, p := range plain {
				if strings.EqualFold(value, p) {
					return true
				}
			}
			c.w.warn(c.n, kind, "%s is not supported; drawn without it", name)
			return true
		},
		copy: func(_, _ *style) {},
	}
}

// onlyOn is a property that some elements, by name, have a use for.
func onlyOn(names string, p property) property {
	set := p.set
	p.set = func(c *cascader, value string) bool {
		if !slices.Contains(strings.Fields(names), c.n.name) {
			return true
		}
		return set(c, value)
	}
	return p
}

var properties = withUnfollowed(map[string]property{
	"fill":              field(true, func(s *style) *paint { return &s.fill }, asPaint),
	"stroke":            field(true, func(s *style) *paint { return &s.stroke }, asPaint),
	"color":             field(true, func(s *style) *path.Paint { return &s.colour }, asColour),
	"fill-opacity":      field(true, func(s *style) *float64 { return &s.fillOpacity }, asOpacity),
	"stroke-opacity":    field(true, func(s *style) *float64 { return &s.strokeOpacity }, asOpacity),
	"fill-rule":         field(true, func(s *style) *path.FillRule { return &s.fillRule }, asRule),
	"clip-rule":         field(true, func(s *style) *path.FillRule { return &s.clipRule }, asRule),
	"stroke-width":      field(true, func(s *style) *length { return &s.width }, asPositive),
	"stroke-dasharray":  field(true, func(s *style) *[]length { return &s.dashes }, asDashes),
	"stroke-dashoffset": field(true, func(s *style) *length { return &s.dashOffset }, asLength),
	"stroke-linecap":    field(true, func(s *style) *string { return &s.cap }, oneOf("butt", "round", "square")),
	"stroke-linejoin": field(true, func(s *style) *string { return &s.join },
		oneOf("miter", "miter-clip", "round", "bevel", "arcs")),
	"stroke-miterlimit": field(true, func(s *style) *float64 { return &s.miter }, asMiter),
	"visibility":        field(true, func(s *style) *bool { return &s.hidden }, asHidden),
	"paint-order":       field(true, func(s *style) *[3]byte { return &s.paintOrder }, asPaintOrder),
	"marker-start":      field(true, func(s *style) *string { return &s.markerStart }, asReference),
	"marker-mid":        field(true, func(s *style) *string { return &s.markerMid }, asReference),
	"marker-end":        field(true, func(s *style) *string { return &s.markerEnd }, asReference),
	"marker":            markerShorthand,
	"font-family":       field(true, func(s *style) *string { return &s.font.family }, asText),
	"font-size":         field(true, func(s *style) *float64 { return &s.font.size }, asFontSize),
	"font-weight":       field(true, func(s *style) *int { return &s.font.weight }, asWeight),
	"font-style":        field(true, func(s *style) *bool { return &s.font.italic }, asItalic),
	"font":              fontShorthand,
	"letter-spacing":    field(true, func(s *style) *length { return &s.font.letterSpacing }, asSpacing),
	"word-spacing":      field(true, func(s *style) *length { return &s.font.wordSpacing }, asSpacing),
	"text-anchor": field(true, func(s *style) *string { return &s.anchor },
		oneOf("start", "middle", "end")),
	"direction":                   field(true, func(s *style) *bool { return &s.rightToLeft }, asRightToLeft),
	"dominant-baseline":           field(true, func(s *style) *string { return &s.baseline }, oneOf(baselines...)),
	"font-variant":                field(true, func(s *style) *bool { return &s.font.smallCaps }, asSmallCaps),
	"font-variant-caps":           field(true, func(s *style) *bool { return &s.font.smallCaps }, asSmallCaps),
	"font-stretch":                field(true, func(s *style) *float64 { return &s.font.stretch }, asStretch),
	"font-kerning":                field(true, func(s *style) *bool { return &s.font.noKerning }, asNoKerning),
	"text-transform":              field(true, func(s *style) *string { return &s.font.transform }, asTransform),
	"color-interpolation-filters": field(true, func(s *style) *bool { return &s.filtersInSRGB }, asSRGB),
	"white-space":                 field(true, func(s *style) *bool { return &s.preserve }, asPreserve),

	"display":          field(false, func(s *style) *bool { return &s.none }, asNone),
	"opacity":          field(false, func(s *style) *float64 { return &s.opacity }, asOpacity),
	"clip-path":        field(false, func(s *style) *string { return &s.clipPath }, asText),
	"mask":             field(false, func(s *style) *string { return &s.mask }, asText),
	"mask-type":        field(false, func(s *style) *string { return &s.maskType }, oneOf("luminance", "alpha")),
	"mix-blend-mode":   field(false, func(s *style) *path.Blend { return &s.blend }, asBlend),
	"isolation":        field(false, func(s *style) *bool { return &s.isolated }, asIsolated),
	"translate":        field(false, func(s *style) *string { return &s.moves[0] }, asText),
	"rotate":           field(false, func(s *style) *string { return &s.moves[1] }, asText),
	"scale":            field(false, func(s *style) *string { return &s.moves[2] }, asText),
	"transform":        field(false, func(s *style) *string { return &s.transform }, asText),
	"transform-origin": field(false, func(s *style) *string { return &s.origin }, asText),
	"transform-box":    field(false, func(s *style) *string { return &s.box }, asText),
	"overflow":         field(false, func(s *style) *string { return &s.overflow }, asText),
	"vector-effect":    field(false, func(s *style) *bool { return &s.fixedWidth }, asFixedWidth),
	"stop-color":       field(false, func(s *style) *paint { return &s.stopColour }, asPaint),
	"flood-color": onlyOn("feFlood feDropShadow",
		field(false, func(s *style) *paint { return &s.stopColour }, asPaint)),
	"flood-opacity": onlyOn("feFlood feDropShadow",
		field(false, func(s *style) *float64 { return &s.stopOpacity }, asOpacity)),
	"solid-color": onlyOn("solidcolor solidColor",
		field(false, func(s *style) *paint { return &s.stopColour }, asPaint)),
	"solid-opacity": onlyOn("solidcolor solidColor",
		field(false, func(s *style) *float64 { return &s.stopOpacity }, asOpacity)),
	"filter":               field(false, func(s *style) *string { return &s.filter }, asText),
	"stop-opacity":         field(false, func(s *style) *float64 { return &s.stopOpacity }, asOpacity),
	"alignment-baseline":   field(false, func(s *style) *string { return &s.align }, asAlign),
	"text-decoration":      field(false, func(s *style) *[]string { return &s.lines }, asLines),
	"text-decoration-line": field(false, func(s *style) *[]string { return &s.lines }, asLines),
	"baseline-shift":       field(false, func(s *style) *length { return &s.baselineShift }, asShift),

	"mask-image":         warned(path.Effect, "mask-image", "none"),
	"mask-mode":          warned(path.Effect, "mask-mode", "match-source"),
	"mask-clip":          warned(path.Effect, "mask-clip", "border-box"),
	"mask-border":        warned(path.Effect, "mask-border", "none"),
	"mask-border-source": warned(path.Effect, "mask-border-source", "none"),
	"backdrop-filter":    warned(path.Effect, "backdrop-filter", "none"),
	"offset-path":        warned(path.Placing, "offset-path", "none"),
	"perspective":        warned(path.Placing, "perspective", "none"),
	"zoom":               warned(path.Placing, "zoom", "1", "100%", "normal", "reset"),
	"animation":          warned(path.Motion, "animation", "none"),
	"clip":               onlyOn("svg symbol image foreignObject pattern marker", warned(path.Effect, "clip", "auto")),
	"color-interpolation": onlyOn("linearGradient radialGradient mask",
		warned(path.Effect, "color-interpolation", "auto", "srgb")),
	"object-fit": onlyOn("image", warned(path.Picture, "object-fit", "contain")),
	"vertical-align": onlyOn("tspan textPath a altGlyph tref",
		warned(path.Lettering, "vertical-align", "baseline", "0")),
	"background":           background,
	"background-color":     background,
	"kerning":              field(true, func(s *style) *bool { return &s.font.noKerning }, asKerning),
	"overflow-x":           field(false, func(s *style) *string { return &s.overflow }, asText),
	"overflow-y":           field(false, func(s *style) *string { return &s.overflow }, asText),
	"white-space-collapse": field(true, func(s *style) *bool { return &s.preserve }, asPreserve),
	"unicode-bidi":         field(false, func(s *style) *string { return &s.bidi }, asText),
})

// background is that of the document, which is no part of the artwork, but seen where
// a browser shows it.
var background = property{
	set: func(c *cascader, value string) bool {
		p, ok := colour.Parse(value)
		none := strings.EqualFold(value, "none") || strings.EqualFold(value, "transparent")
		if c.n.parent == nil && !none && !(ok && p.Bare(1)) {
			c.w.warn(c.n, path.Effect, "what lies behind the page (%s) is not marked", clip(value))
		}
		return true
	},
	copy: func(_, _ *style) {},
}

// presentation reports an attribute that acts as a property (SVG 2, 6.6).
func presentation(name string) bool {
	_, known := properties[name]
	return known && !notAttributes[name]
}

var notAttributes = map[string]bool{
	"transform": true, // an attribute with a grammar of its own
	"font":      true, "marker": true, "animation": true, "rotate": true, "scale": true, "translate": true,
	"mask-image": true, "mask-mode": true, "mask-clip": true, "mask-border": true, "mask-border-source": true,
	"backdrop-filter": true, "offset-path": true, "perspective": true, "zoom": true, "object-fit": true,
	"vertical-align": true, "background": true, "background-color": true, "overflow-x": true, "overflow-y": true,
	"white-space-collapse": true,
}

// geometryProperties are attributes that CSS can set as well (SVG 2, 7).
var geometryProperties = map[string]bool{
	"x": true, "y": true, "width": true, "height": true, "cx": true, "cy": true,
	"r": true, "rx": true, "ry": true, "d": true,
}

var markerShorthand = property{
	inherited: true,
	set: func(c *cascader, value string) bool {
		v, ok := asReference(c, value)
		if ok {
			c.style.markerStart, c.style.markerMid, c.style.markerEnd = v, v, v
		}
		return ok
	},
	copy: func(dst, src *style) {
		dst.markerStart, dst.markerMid, dst.markerEnd = src.markerStart, src.markerMid, src.markerEnd
	},
}
