package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"furrow/path/svg"

	"github.com/stretchr/testify/require"
	"github.com/tdewolff/canvas"
)

// large is a document of 22 MB with 100,000 paths, classes, style attributes
// and groups, as a map from a drawing program is.
func large(stroke string) []byte {
	var b bytes.Buffer
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="1000">` +
		`<style>.a{fill:#123}.b{fill:none;` + stroke + `}</style>`)
	for i := range 100_000 {
		if i%100 == 0 {
			fmt.Fprintf(&b, `<g id="g%d" transform="translate(%d,%d)">`, i, i%997, i%991)
		}
		fmt.Fprintf(&b, `<path class="%c" style="opacity:1" d="M%d.5,0`, "ab"[i%2], i%97)
		for k := range 8 {
			fmt.Fprintf(&b, "c%d.25,%d %d.5,%d %d,%d.125", 1, i%2, 2, k%3-1, 3, k%3-1)
		}
		b.WriteString(`z"/>` + "\n")
		if i%100 == 99 {
			b.WriteString("</g>")
		}
	}
	b.WriteString("</svg>")
	return b.Bytes()
}

// BenchmarkRead reads 100,000 paths in 22 MB, half of them stroked or not; the
// XML decoder alone, which it stands on, is measured beside it.
func BenchmarkRead(b *testing.B) {
	for name, stroke := range map[string]string{"fills": "", "strokes": "stroke:red"} {
		data := large(stroke)
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				_, err := svg.Read(bytes.NewReader(data), svg.Options{})
				require.NoError(b, err)
			}
		})
	}
	data := large("")
	b.Run("encoding-xml-alone", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			d := xml.NewDecoder(bytes.NewReader(data))
			for {
				if _, err := d.Token(); errors.Is(err, io.EOF) {
					break
				}
			}
		}
	})
}

// BenchmarkPathData parses a million lines; canvas' own parser for comparison.
func BenchmarkPathData(b *testing.B) {
	doc := millionSegments()
	d := string(doc[bytes.Index(doc, []byte("M0,0")):bytes.LastIndex(doc, []byte(`"/>`))])
	b.Run("furrow", func(b *testing.B) {
		for b.Loop() {
			_, err := svg.ParsePathData(d)
			require.NoError(b, err)
		}
	})
	b.Run("canvas", func(b *testing.B) {
		for b.Loop() {
			_, err := canvas.ParseSVGPath(d)
			require.NoError(b, err)
		}
	})
}

// BenchmarkStroke strokes 2,000 waves; canvas' own stroker for comparison.
func BenchmarkStroke(b *testing.B) {
	var d strings.Builder
	d.WriteString("M0,0")
	for i := range 2000 {
		fmt.Fprintf(&d, "C%d,%d %d,%d %d,%d", 4*i+1, 5, 4*i+2, -5, 4*i+4, int(10*math.Sin(float64(i))))
	}
	b.Run("furrow", func(b *testing.B) {
		p, err := svg.ParsePathData(d.String())
		require.NoError(b, err)
		for b.Loop() {
			svg.StrokeOutline(p, 3, 0.002)
		}
	})
	b.Run("canvas", func(b *testing.B) {
		p, err := canvas.ParseSVGPath(d.String())
		require.NoError(b, err)
		for b.Loop() {
			p.Stroke(3, canvas.ButtCap, canvas.RoundJoin, 0.002)
		}
	})
}
