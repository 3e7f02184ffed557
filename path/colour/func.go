package colour

import (
	"math"
	"strconv"
	"strings"

	"furrow/path"

	"github.com/mazznoer/csscolorparser"
)

// component is one argument of a colour function.
type component struct {
	v       float64
	percent bool
}

// of returns its value where 100 % stand for full, and numbers for themselves
// times scale.
func (c component) of(full, scale float64) float64 {
	if c.percent {
		return c.v / 100 * full
	}
	return c.v * scale
}

// parseColourFunction reads "name(...)" (CSS Color 4, 4 to 10). The library for
// names and hexadecimal digits reads some of these too, but takes what CSS drops.
func parseColourFunction(s string) (path.Paint, bool) {
	name, inner, ok := strings.Cut(strings.TrimSuffix(s, ")"), "(")
	if !ok || len(s) == len(name)+1+len(inner) {
		return path.Paint{}, false
	}
	if strings.Contains(inner, ",") {
		return legacyColour(strings.TrimSuffix(name, "a"), strings.Split(inner, ","))
	}
	inner, alpha, slash := strings.Cut(inner, "/")
	args := strings.Fields(inner)
	space := ""
	if name == "color" && len(args) > 0 {
		space, args = args[0], args[1:]
	}
	var c [3]component
	if len(args) != len(c) {
		return path.Paint{}, false
	}
	for i, a := range args {
		if c[i], ok = parseComponent(a, isHue(name, i)); !ok {
			return path.Paint{}, false
		}
	}
	p, ok := colourOf(name, space, c)
	if slash {
		a, okA := parseComponent(strings.TrimSpace(alpha), false)
		p.Opacity, ok = unit(a.of(1, 1)), ok && okA
	}
	return p, ok
}

func isHue(function string, i int) bool {
	switch strings.TrimSuffix(function, "a") {
	case "hsl", "hwb":
		return i == 0
	case "lch", "oklch":
		return i == 2
	}
	return false
}

// parseComponent reads a number, a percentage, "none", which is 0, or the angle
// of a hue in degrees.
func parseComponent(s string, hue bool) (component, bool) {
	if s == "none" {
		return component{}, true
	}
	unit := 1.0
	if hue {
		for _, u := range [...]struct {
			name string
			deg  float64
		}{{"deg", 1}, {"grad", 0.9}, {"rad", 180 / math.Pi}, {"turn", 360}} {
			if rest, ok := strings.CutSuffix(s, u.name); ok {
				s, unit = rest, u.deg
				break
			}
		}
	}
	s, percent := strings.CutSuffix(s, "%")
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || percent && hue || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(s, "xp_") {
		return component{}, false
	}
	return component{v * unit, percent}, true
}

// colourOf is a function of three components without commas.
func colourOf(name, space string, c [3]component) (path.Paint, bool) {
	switch name {
	case "rgb", "rgba":
		return fromSpace("srgb", vec{c[0].of(1, 1.0/255), c[1].of(1, 1.0/255), c[2].of(1, 1.0/255)})
	case "hsl", "hsla":
		return fromLibrary(csscolorparser.FromHsl(c[0].v, unit(c[1].of(1, 0.01)), unit(c[2].of(1, 0.01)), 1)), true
	case "hwb":
		return fromLibrary(csscolorparser.FromHwb(c[0].v, unit(c[1].of(1, 0.01)), unit(c[2].of(1, 0.01)), 1)), true
	case "lab":
		return fromLab(vec{100 * unit(c[0].of(1, 0.01)), c[1].of(125, 1), c[2].of(125, 1)}), true
	case "lch":
		return fromLab(fromPolar(vec{100 * unit(c[0].of(1, 0.01)), max(0, c[1].of(150, 1)), c[2].v})), true
	case "oklab":
		return fromLibrary(csscolorparser.FromOklab(unit(c[0].of(1, 1)), c[1].of(0.4, 1), c[2].of(0.4, 1), 1)), true
	case "oklch":
		v := fromPolar(vec{0, max(0, c[1].of(0.4, 1)), c[2].v})
		return fromLibrary(csscolorparser.FromOklab(unit(c[0].of(1, 1)), v[1], v[2], 1)), true
	case "color":
		return fromSpace(space, vec{c[0].of(1, 1), c[1].of(1, 1), c[2].of(1, 1)})
	}
	return path.Paint{}, false
}

// legacyColour reads the arguments of rgb() and hsl() that have commas between
// them: no "none", and percentages where they belong.
func legacyColour(name string, args []string) (path.Paint, bool) {
	var c [4]component
	c[3].v = 1
	if len(args) != 3 && len(args) != 4 || name != "rgb" && name != "hsl" {
		return path.Paint{}, false
	}
	for i, a := range args {
		a = strings.TrimSpace(a)
		var ok bool
		if c[i], ok = parseComponent(a, isHue(name, i)); !ok || a == "none" {
			return path.Paint{}, false
		}
	}
	if c[1].percent != c[2].percent || name == "rgb" && c[0].percent != c[1].percent || name == "hsl" && !c[1].percent {
		return path.Paint{}, false
	}
	p, ok := colourOf(name, "", [3]component(c[:3]))
	p.Opacity = unit(c[3].of(1, 1))
	return p, ok
}

func fromLibrary(c csscolorparser.Color) path.Paint {
	return path.Paint{R: unit(c.R), G: unit(c.G), B: unit(c.B), Opacity: unit(c.A)}
}

// systemColours are those that browsers show in light mode; CSS Color 4, 6.2
// leaves them to the system.
var systemColours = map[string]string{
	"canvas": "white", "canvastext": "black", "linktext": "#0000ee", "visitedtext": "#551a8b", "activetext": "red",
	"buttonface": "#efefef", "buttontext": "black", "buttonborder": "black", "field": "white", "fieldtext": "black",
	"highlight": "#0078d7", "highlighttext": "white", "selecteditem": "#0078d7", "selecteditemtext": "white",
	"mark": "yellow", "marktext": "black", "graytext": "gray", "accentcolor": "#0078d7", "accentcolortext": "white",
}
