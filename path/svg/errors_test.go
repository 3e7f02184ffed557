package svg_test

import (
	"errors"
	"strings"
	"testing"

	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the reader leaves out is named with its line.
func TestWarnings(t *testing.T) {
	doc := read(t, "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'>\n<sparkle/>\n<image id='photo' "+
		"width='4' height='2' href='a.jpg'/>\n<rect filter='url(#f)' width='9' height='9'/>\n"+
		"<rect fill='bluish' width='9' height='9'/></svg>")
	var got []string
	for _, w := range doc.Warnings {
		got = append(got, w.String())
	}
	assert.Equal(t, []string{
		"line 2: <sparkle>: unknown element is left out",
		"line 3: <image#photo>: a picture is left out; 1.1 x 0.5 mm at 0.0, 1.9",
		`line 4: <rect>: filter is ignored: "url(#f)"; 2.4 x 2.4 mm at 0.0, 0.0`,
		`line 5: <rect>: fill is ignored: "bluish"`,
	}, got)
	assert.Len(t, doc.Artwork.Shapes, 2)
}

func TestErrors(t *testing.T) {
	for text, want := range map[string]string{
		"":                                 "file is empty",
		" \n":                              "file is empty",
		"\x89PNG\r\n\x1a\n\x00\x00\xff":    "a PNG picture and no SVG",
		"\xff\xd8\xff\xe0\x00\x10JFIF":     "a JPEG picture and no SVG",
		"%PDF-1.7":                         "a PDF and no SVG",
		"\x00\xff\xfe binary":              "not a text file",
		"just words":                       "not an SVG file: it holds no element",
		"<svg width='-50mm'/>":             "the page of -188.976 x 0 px cannot be used",
		"<html/>":                          "starts with <html>",
		"<svg><g><path d='M0 0L1 1'/></g>": "not well-formed XML",
		"<svg>\n<g>\n<path d='M0 0":        "line 3: <g>: not well-formed XML",
		"<svg></svg><svg></svg>":           "second root",
		"<svg>&nope;</svg>":                "invalid character entity",
		"<svg width='1e9' height='1e9'/>":  "cannot be used",
		"\x1f\x8bxx":                       "damaged gzip",
		"<?xml version='1.0' encoding='klingon'?><svg/>": "unknown character encoding klingon",
	} {
		_, err := svg.Read(strings.NewReader(text), svg.Options{})
		require.Error(t, err, "%q", text)
		var e *svg.Error
		assert.ErrorAs(t, err, &e, "%q", text)
		assert.Contains(t, err.Error(), want, "%q", text)
	}
}

type brokenReader struct{}

var errBroken = errors.New("disk on fire")

func (brokenReader) Read([]byte) (int, error) { return 0, errBroken }

func TestReaderError(t *testing.T) {
	_, err := svg.Read(brokenReader{}, svg.Options{})
	assert.ErrorIs(t, err, errBroken)
}

// A document whose view box has no size shows nothing, and says so; one inside it is hidden.
func TestViewBoxWithoutSize(t *testing.T) {
	for markup, want := range map[string]int{`viewBox="0 0 0 9"`: 1, `viewBox="0 0 9 0"`: 1, `viewBox="0 0 9 9"`: 0} {
		doc, err := svg.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" `+markup+
			`><rect width="5" height="5"/><svg viewBox="0 0 0 9"><rect width="5" height="5"/></svg></svg>`), svg.Options{})
		require.NoError(t, err)
		require.Len(t, doc.Warnings, want, markup)
		require.Len(t, doc.Artwork.Shapes, 1-want, markup)
		for _, w := range doc.Warnings {
			require.Contains(t, w.Message, "its viewBox has no size")
		}
	}
}
