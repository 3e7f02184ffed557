package svg

// elementKind says what the walk does with an element.
type elementKind uint8

const (
	silent      elementKind = iota // draws nothing by itself
	unsupported                    // would draw something
	container
	viewportElement // nested svg
	shapeElement
	useElement
	switchElement
	textElement
	imageElement
)

func (k elementKind) draws() bool { return k != silent }

var elements = map[string]elementKind{
	"svg": viewportElement, "g": container, "a": container, "switch": switchElement, "use": useElement,
	"path": shapeElement, "rect": shapeElement, "circle": shapeElement, "ellipse": shapeElement,
	"line": shapeElement, "polyline": shapeElement, "polygon": shapeElement,
	"text": textElement, "image": imageElement, "foreignObject": unsupported, "video": unsupported,
	"audio": silent, "canvas": unsupported, "iframe": unsupported,
	"animate": unsupported, "animateTransform": unsupported, "animateMotion": unsupported,
	"animateColor": unsupported, "set": unsupported,
	"defs": silent, "symbol": silent, "marker": silent, "clipPath": silent, "mask": silent, "filter": silent,
	"linearGradient": silent, "radialGradient": silent, "pattern": silent, "stop": silent, "style": silent,
	"title": silent, "desc": silent, "metadata": silent, "script": silent, "view": silent, "cursor": silent,
	"tspan": silent, "textPath": silent, "tref": silent, "font": silent, "font-face": silent,
	"color-profile": silent, "hatch": silent, "mesh": unsupported, "solidcolor": silent, "mpath": silent,
}
