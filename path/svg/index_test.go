package svg_test

import (
	"bufio"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// entry is a line of testdata/index: what furrow does with an element, attribute or
// property.
type entry struct{ name, verdict, text string }

func indexOf(t *testing.T, file string) (list []entry) {
	t.Helper()
	f, err := os.Open("testdata/index/" + file)
	require.NoError(t, err)
	defer f.Close()
	for in := bufio.NewScanner(f); in.Scan(); {
		if in.Text() == "" || in.Text()[0] == '#' {
			continue
		}
		columns := strings.Split(in.Text(), "\t")
		require.Len(t, columns, 3, in.Text())
		list = append(list, entry{columns[0], columns[1], columns[2]})
	}
	return list
}

// with and without return a document with and without what stands in double brackets.
func (e entry) with() string { return on(strings.NewReplacer("[[", "", "]]", "").Replace(e.text)) }
func (e entry) without() string {
	before, rest, _ := strings.Cut(e.text, "[[")
	_, after, _ := strings.Cut(rest, "]]")
	return on(before + after)
}

// readGo reads with the fonts Go and Go Mono at hand.
func readGo(t *testing.T, text string) path.Document {
	t.Helper()
	dir := fstest.MapFS{
		"a.ttf": {Data: goregular.TTF}, "b.ttf": {Data: gobold.TTF}, "c.ttf": {Data: gomono.TTF},
		"d.ttf": {Data: goitalic.TTF},
	}
	doc, err := svg.Read(strings.NewReader(text), svg.Options{Fonts: []fs.FS{dir}})
	require.NoError(t, err)
	return doc
}

// messages are what a document's warnings say.
func messages(doc path.Document) (list []string) {
	for _, w := range doc.Warnings {
		list = append(list, w.Message)
	}
	return list
}

// Nothing that SVG knows is lost in silence: what is said to be drawn changes the
// artwork and adds no warning, what is said to be warned of adds one, and what is said
// to paint nothing changes neither.
func TestIndexes(t *testing.T) {
	for _, file := range []string{"elements.txt", "attributes.txt", "properties.txt"} {
		for _, e := range indexOf(t, file) {
			t.Run(file+"/"+e.name, func(t *testing.T) {
				if e.verdict == "nothing" {
					e.text = nothing(file, e)
				}
				have, lack := readGo(t, e.with()), readGo(t, e.without())
				added := slices.DeleteFunc(messages(have), func(m string) bool {
					return slices.Contains(messages(lack), m)
				})
				switch e.verdict {
				case "drawn":
					assert.NotEqual(t, lack.Artwork.Shapes, have.Artwork.Shapes)
					assert.Empty(t, added)
				case "warned":
					assert.NotEmpty(t, added)
				case "nothing":
					assert.Equal(t, len(lack.Artwork.Shapes), len(have.Artwork.Shapes))
					assert.Empty(t, added)
				default:
					t.Fatal("no such verdict: " + e.verdict)
				}
			})
		}
	}
}

// nothing is a document with something that is to paint nothing.
func nothing(file string, e entry) string {
	const body = `<rect width="9" height="9" %/><text font-family="Go" y="50" %>Oak</text><image %/><linearGradient %/>`
	switch file {
	case "elements.txt":
		return "<g>[[<" + e.name + ">Oak</" + e.name + ">]]</g>"
	case "attributes.txt":
		return strings.ReplaceAll(strings.Replace(body, "%", "[["+e.name+`="1"]]`, 1), "%", "")
	}
	return strings.ReplaceAll(strings.Replace(body, "%", `style="[[`+e.name+`:1px]]"`, 1), "%", "")
}

// The lists have all that npm's svg-element-attributes has, from the attribute indexes
// of SVG 1.1, SVG Tiny 1.2 and SVG 2.
func TestIndexesAreWhole(t *testing.T) {
	text, err := os.ReadFile(outside.Files(t, "svg-element-attributes/index.js", 1)[0])
	require.NoError(t, err)
	known := map[string]bool{}
	for _, file := range []string{"elements.txt", "attributes.txt"} {
		for _, e := range indexOf(t, file) {
			known[e.name] = true
		}
	}
	names := regexp.MustCompile(`(?m)^ +'?([A-Za-z][\w:-]*)'?(?:: \[|,?$)`).FindAllSubmatch(text, -1)
	assert.Greater(t, len(names), 1000)
	for _, name := range names {
		assert.True(t, known[string(name[1])], string(name[1]))
	}
}
