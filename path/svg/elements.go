package svg

// elementKind says what the walk does with an element.
type elementKind uint8

const (
	silent      elementKind = iota // draws nothing by itself
	moving                         // changes another in time
	unsupported                    // would draw something
	container
	viewportElement // nested svg
	shapeElement
	useElement
	switchElement
	textElement
	imageElement
)

func (k elementKind) draws() bool { return k > moving }

var elements = map[string]elementKind{
	"svg": viewportElement, "g": container, "a": container, "switch": switchElement, "use": useElement,
	"path": shapeElement, "rect": shapeElement, "circle": shapeElement, "ellipse": shapeElement,
	"line": shapeElement, "polyline": shapeElement, "polygon": shapeElement,
	"text": textElement, "image": imageElement, "foreignObject": unsupported, "video": unsupported,
	"audio": silent, "canvas": unsupported, "iframe": unsupported,
	"animate": moving, "animateTransform": moving, "animateMotion": moving, "animateColor": moving,
	"set": moving, "discard": moving,
	"defs": silent, "symbol": silent, "marker": silent, "clipPath": silent, "mask": silent, "filter": silent,
	"linearGradient": silent, "radialGradient": silent, "pattern": silent, "stop": silent, "style": silent,
	"title": silent, "desc": silent, "metadata": silent, "script": silent, "view": silent, "cursor": silent,
	"tspan": silent, "textPath": silent, "tref": silent, "font": silent, "font-face": silent,
	"color-profile": silent, "hatch": silent, "mesh": unsupported, "mpath": silent,
	"solidcolor": silent, "solidColor": silent,
	"altGlyph": silent, "altGlyphDef": silent, "altGlyphItem": silent, "glyphRef": silent, "tbreak": silent,
	"font-face-src": silent, "font-face-uri": silent, "font-face-format": silent, "font-face-name": silent,
	"glyph": silent, "missing-glyph": silent, "hkern": silent, "vkern": silent,
	"handler": silent, "listener": silent, "prefetch": silent,
	"feDistantLight": silent, "fePointLight": silent, "feSpotLight": silent,
}
