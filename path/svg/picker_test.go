package svg_test

import (
	"testing"

	"furrow/path/pick"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
)

func TestParts(t *testing.T) {
	doc := read(t, on(`<g id="a"><rect class="deep x" width="9" height="9"/><rect width="9" height="9" fill="red"/>`+
		`</g><rect width="9" height="9"/>
		<g xmlns:d="urn:drawing" d:label="Layer 2"><rect width="9" height="9"/></g>`),
		svg.Options{Pick: pick.Options{Groups: []string{"#a", ".deep", "Layer 2", "red"}}})
	var groups []int
	for _, s := range doc.Artwork.Shapes {
		groups = append(groups, s.Group)
	}
	assert.Equal(t, []int{2, 4, 0, 3}, groups)
	assert.Equal(t, "Layer 2", doc.Artwork.Shapes[3].Source.Layer)
	assert.Empty(t, doc.Warnings)
}

func TestOnlySkipInvert(t *testing.T) {
	text := on(`<g id="a"><rect id="r" width="9" height="9"/></g><rect id="s" width="9" height="9" fill="blue"/>`)
	ids := func(o svg.Options) (ids []string) {
		for _, s := range read(t, text, o).Artwork.Shapes {
			ids = append(ids, s.Source.ID)
		}
		return ids
	}
	assert.Equal(t, []string{"r"}, ids(svg.Options{Pick: pick.Options{Only: []string{"#a"}}}))
	assert.Equal(t, []string{"s"}, ids(svg.Options{Pick: pick.Options{Skip: []string{"#a"}}}))
	assert.Equal(t, []string{"s"}, ids(svg.Options{Pick: pick.Options{Only: []string{"#00f"}}}))
	assert.Equal(t, []string{"r"}, ids(svg.Options{Pick: pick.Options{Skip: []string{"rgb(0 0 255)"}}}))
	assert.True(t, read(t, text, svg.Options{Pick: pick.Options{Invert: []string{"#s"}}}).Artwork.Shapes[1].Invert)
	doc := read(t, text, svg.Options{Pick: pick.Options{Only: []string{"#nowhere"}}})
	assert.Empty(t, doc.Artwork.Shapes)
	assert.Contains(t, doc.Warnings[0].String(), `"#nowhere" picks nothing`)
	assert.Equal(t, []string{"#nowhere"}, doc.Unpicked)
	assert.Equal(t, []string{"#a", "#r", "#s", "#000000", "#0000ff"}, doc.Names)
}

// What is skipped or not drawn is there all the same.
func TestUnpickedIsASlipAlone(t *testing.T) {
	text := on(`<g id="a"><rect class="deep" width="9" height="9"/></g><g id="off" display="none"><path id="p"/></g>` +
		`<rect width="9" height="9" fill="blue"/>`)
	doc := read(t, text, svg.Options{Pick: pick.Options{Groups: []string{".deep", "#p", "#fff000"},
		Skip: []string{"#a"}}})
	assert.Empty(t, doc.Unpicked)
	assert.Len(t, doc.Warnings, 3)
	doc = read(t, text, svg.Options{Pick: pick.Options{Only: []string{"#a"}, Skip: []string{"blue"}}})
	assert.Empty(t, doc.Unpicked)
	assert.Empty(t, doc.Warnings)
}

// A layer is picked by the label that drawing programs write on groups.
func TestLayersPicked(t *testing.T) {
	text := on(`<g xmlns:d="urn:drawing" d:label="Deep cut"><rect id="a" width="9" height="9"/></g><rect id="b" ` +
		`width="9" height="9"/>`)
	ids := func(o svg.Options) (ids []string) {
		for _, s := range read(t, text, o).Artwork.Shapes {
			ids = append(ids, s.Source.ID)
		}
		return ids
	}
	assert.Equal(t, []string{"a"}, ids(svg.Options{Pick: pick.Options{Only: []string{"Deep cut"}}}))
	assert.Equal(t, []string{"b"}, ids(svg.Options{Pick: pick.Options{Skip: []string{"Deep cut"}}}))
	assert.Equal(t, []string{"a"}, ids(svg.Options{Pick: pick.Options{Only: []string{`"Deep cut"`}}}))
	assert.Equal(t, []string{"a", "b"}, ids(svg.Options{Pick: pick.Options{Only: []string{"Deep cut",
		"rect + rect, #b"}}}))
	inverted := read(t, text, svg.Options{Pick: pick.Options{Invert: []string{"Deep cut"}}}).Artwork.Shapes
	assert.True(t, inverted[0].Invert && !inverted[1].Invert)
}
