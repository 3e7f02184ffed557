package svg

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Which properties are inherited, by the lines "Inherited" of their definitions in SVG 2 and
// the modules of CSS that it refers to; SVG 1.1 for kerning.
const (
	inheritedProperties = `fill stroke color fill-opacity stroke-opacity fill-rule clip-rule stroke-width
		stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin stroke-miterlimit visibility paint-order
		marker-start marker-mid marker-end marker font-family font-size font-weight font-style font letter-spacing
		word-spacing text-anchor direction dominant-baseline font-variant font-variant-caps font-stretch font-kerning
		text-transform color-interpolation-filters white-space white-space-collapse kerning`
	ownProperties = `display opacity clip-path mask mask-type mix-blend-mode isolation translate rotate scale transform
		transform-origin transform-box overflow vector-effect stop-color flood-color flood-opacity solid-color
		solid-opacity filter stop-opacity alignment-baseline text-decoration text-decoration-line baseline-shift
		overflow-x overflow-y unicode-bidi`
)

func TestInheritedProperties(t *testing.T) {
	for list, inherited := range map[string]bool{inheritedProperties: true, ownProperties: false} {
		for _, name := range strings.Fields(list) {
			p, ok := properties[name]
			assert.True(t, ok, name)
			assert.Equal(t, inherited, p.inherited, name)
		}
	}
}
