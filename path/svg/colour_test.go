package svg_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// painted returns the colour of a rectangle, red, green and blue of 255 and the
// opacity in percent; nil where the colour is dropped.
func painted(t *testing.T, fill string) []float64 {
	t.Helper()
	doc := read(t, on(`<g fill="none"><rect width="9" height="9" fill="`+fill+`"/></g>`))
	if len(doc.Artwork.Shapes) == 0 {
		return nil
	}
	require.Empty(t, doc.Warnings, fill)
	p := doc.Artwork.Shapes[0].Paint
	return []float64{255 * p.R, 255 * p.G, 255 * p.B, 100 * p.Opacity}
}

// Every form of CSS Color 4. The colours of lab(), lch(), oklab() and oklch() are
// the examples of its sections 9 and 10, those of color() the green of the W3C's
// web-platform-tests, all from memory; five forms of one colour come by
// different ways and agree.
func TestColourForms(t *testing.T) {
	for want, forms := range map[string][]string{
		"#7d2329 100": {"#7d2329", "#7D2329ff", "rgb(125, 35, 41)", "rgb(125 35 41)", "rgb(49.02% 13.725% 16.078%)",
			"lab(29.2345% 39.3825 20.0664)", "lab(29.2345 31.506% 16.053%)", "lch(29.2345% 44.2 27)",
			"lch(29.2345 29.467% 27deg)",
			"oklab(40.101% 0.1147 0.0453)", "oklab(.40101 28.675% 11.325%)", "oklch(40.101% 0.12332 21.555)",
			"oklch(.40101 30.83% .059875turn)"},
		"#c65d07 100": {"lab(52.2345% 40.1645 59.9971)", "lch(52.2345% 72.2 56.2)", "oklab(59.686% 0.1009 0.1192)",
			"oklch(59.686% 0.15619 49.7694)"},
		"#9d9318 100": {"lab(60.2345% -5.3654 58.956)", "lch(60.2345% 59.2 95.2)", "oklab(65.125% -0.0320 0.1274)"},
		"#68a639 100": {"lab(62.2345% -34.9638 47.7721)", "lch(62.2345% 59.2 126.2)", "oklab(66.016% -0.1084 0.1114)"},
		"#62acef 100": {"lab(67.5345% -8.6911 -41.6019)", "lch(67.5345% 42.5 258.2)", "oklab(72.322% -0.0465 -0.1150)"},
		"#008000 100": {"green", "GREEN", "hsl(120, 100%, 25.1%)", "hsl(120deg 100% 25.1% / 1)", "hsl(120 100 25.1)",
			"hsl(.33333turn 100% 25.1%)", "hsl(133.333grad 100% 25.1%)",
			"hwb(120 0% 49.8%)", "color(srgb 0 .50196 0)", "color(srgb 0% 50.196% none)",
			"color(srgb-linear 0 0.21586 0)",
			"color(display-p3 0.21604 0.49418 0.13151)", "color(a98-rgb 0.281363 0.498012 0.116746)",
			"color(prophoto-rgb 0.230479 0.395789 0.129968)",
			"color(rec2020 0.235202 0.431704 0.085432)", "color(xyz 0.07719 0.15438 0.02573)",
			"color(xyz-d65 0.07719 0.15438 0.02573)", "color(xyz-d50 0.08312 0.154746 0.020961)"},
		"#ff0000 50": {"rgba(255,0,0,.5)", "rgb(255 0 0 / 50%)", "hsla(0,100%,50%,50%)", "#ff000080",
			"lab(54.29 80.82 69.9 / .5)", "rgb(300 -20 none / 0.5)"},
		"#ffffff 100": {"white", "lab(100 0 0)", "lch(100% 0 none)", "oklab(1 0 0)", "oklch(100% 0 0)",
			"color(display-p3 1 1 1)", "color(prophoto-rgb 1 1 1)", "color(rec2020 1 1 1)",
			"color(a98-rgb 100% 100% 100%)", "hwb(0 100% 0%)", "Canvas"},
		"#808080 100": {"hwb(0 50.2% 49.8%)", "color(srgb .502 .502 .502)", "GrayText"},
		"": {"bluish", "rgb(1,2)", "rgb(1,2,3", "rgb(10%, 20, 30)", "hsl(120, 100, 25)", "hsv(120 100% 50%)",
			"lab(50%, 10, 10)", "hwb(0, 0%, 0%)", "color(nowhere 1 1 1)", "color(srgb 1 1)",
			"rgb(none, 0, 0)", "lab(50 1e999 0)", "lch(50 10 20%)", "oklch()", "color()", "ff0000", "#ff00",
			"rgb(0x1 0 0)"},
	} {
		for _, f := range forms {
			var rgb []float64
			if want != "" {
				var r, g, b, opacity int
				_, err := fmt.Sscanf(want, "#%2x%2x%2x %d", &r, &g, &b, &opacity)
				require.NoError(t, err)
				rgb = []float64{float64(r), float64(g), float64(b), float64(opacity)}
			}
			assert.InDeltaSlice(t, rgb, append([]float64{}, painted(t, f)...), 0.75, f) // the examples are rounded
		}
	}
}
