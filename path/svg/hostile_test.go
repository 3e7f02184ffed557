package svg_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const head = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100" height="100">`

// hostile are documents that would cost hours or the whole memory without
// limits, and what the reader must say; an empty text is a document that is read.
func hostile() map[string]struct{ text, want string } {
	repeat := strings.Repeat
	return map[string]struct{ text, want string }{
		"entity bomb":         {`<!DOCTYPE svg [<!ENTITY a "` + repeat("x", 1000) + `">` + entities(10, 10) + `]><svg>&j;</svg>`, "entities expand"},
		"entity flood":        {`<!DOCTYPE svg [<!ENTITY a "` + repeat("x", 10_000) + `">]><svg><text>` + repeat("&a;", 100_000) + `</text></svg>`, "entities expand"},
		"deep groups":         {head + repeat("<g>", 1_000_000) + repeat("</g>", 1_000_000) + "</svg>", "nested more than"},
		"many elements":       {head + repeat("<g/>", 3_000_000) + "</svg>", "more than 2000000 elements"},
		"use chain":           {head + useChain(20, 20) + `<use href="#u19"/></svg>`, "use elements multiply"},
		"use of a large path": {head + `<defs><path id="p" d="M0 0` + repeat("L1 2 3 4", 100_000) + `"/></defs>` + repeat(`<use href="#p"/>`, 1000) + "</svg>", "more than 24000000 points"},
		"use depth":           {head + useChain(100, 1) + `<use href="#u99"/></svg>`, "more than 32 deep"},
		"dashes":              {head + `<path stroke="red" stroke-dasharray="1e-9" d="M0 0L1e5 1e5"/></svg>`, "dashes"},
		"dashes by length":    {head + `<path stroke="red" pathLength="1e9" stroke-dasharray="1" d="M0 0L9 9"/></svg>`, "dashes"},
		"zero dashes":         {head + `<path stroke="red" stroke-dasharray="1e-320 0" d="M0 0L9 9"/></svg>`, "dashes"},
		"far away":            {head + `<path d="M0 0L1e30 1e30 5 5"/><rect width="1e11" height="1e11"/></svg>`, ""},
		"huge scale":          {head + `<g transform="scale(1e300)"><g transform="scale(1e300)"><circle r="1"/></g></g></svg>`, ""},
		"fine curves":         {head + repeat(`<circle r="400000" stroke="red" stroke-width="300000"/>`, 3000) + "</svg>", ""},
		"selectors":           {head + "<style>" + repeat("g g g g g g g g x{fill:red}", 1000) + "</style>" + repeat("<g>", 400) + repeat("<path/>", 10_000) + repeat("</g>", 400) + "</svg>", ""},
		"rules":               {head + "<style>" + repeat("*{fill:red}", 19_000) + "</style>" + repeat("<path/>", 100_000) + "</svg>", "too many together"},
		"siblings":            {head + "<style>path:nth-last-child(3n+1){fill:red}</style>" + repeat("<path/>", 200_000) + "</svg>", "too many together"},
		"sibling chain":       {head + "<style>x ~ path ~ path ~ path{fill:red}</style>" + repeat("<path/>", 100_000) + "</svg>", "too many together"},
		"clip nesting":        {head + clipChain(400) + "</svg>", ""},
		"attributes":          {head + "<path " + attributes(100_000) + "/></svg>", ""},
		"brackets":            {head + "<style>" + repeat("a:not(", 100_000) + "</style></svg>", ""},
		"transform":           {head + `<g transform="` + repeat("rotate(1)", 1_000_000) + `"/></svg>`, ""},
	}
}

func entities(levels, fan int) string {
	var b strings.Builder
	for i := 1; i < levels; i++ {
		fmt.Fprintf(&b, `<!ENTITY %c "%s">`, 'a'+i, strings.Repeat(fmt.Sprintf("&%c;", 'a'+i-1), fan))
	}
	return b.String()
}

func useChain(levels, fan int) string {
	var b strings.Builder
	b.WriteString(`<defs><rect id="u0" width="1" height="1"/>`)
	for i := 1; i < levels; i++ {
		fmt.Fprintf(&b, `<g id="u%d">%s</g>`, i, strings.Repeat(fmt.Sprintf(`<use href="#u%d"/>`, i-1), fan))
	}
	b.WriteString(`</defs>`)
	return b.String()
}

func clipChain(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<clipPath id="c%d" clip-path="url(#c%d)"><rect width="9" height="9" clip-path="url(#c%d)"/></clipPath>`, i, (i+1)%n, (i+2)%n)
	}
	b.WriteString(`<rect width="9" height="9" clip-path="url(#c0)"/>`)
	return b.String()
}

func attributes(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `a%d="1" `, i)
	}
	return b.String()
}

// Each of these would cost hours or the whole memory without a limit; with them
// none took more than 3 s when they were written (-v tells). The slow
// ones run where FURROW_STRICT is set.
func TestHostile(t *testing.T) {
	slow := map[string]bool{
		"use chain": true, "use of a large path": true, "fine curves": true,
		"sibling chain": true, "many elements": true, "rules": true, "siblings": true,
	}
	for name, tc := range hostile() {
		t.Run(name, func(t *testing.T) {
			if slow[name] && os.Getenv("FURROW_STRICT") != "1" {
				t.Skip("slow; set FURROW_STRICT=1 to run it")
			}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			_, err := svg.Read(strings.NewReader(tc.text), svg.Options{})
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			t.Logf("%v, %d MB taken in all", took.Round(time.Millisecond), (after.TotalAlloc-before.TotalAlloc)>>20)
			if tc.want == "" {
				require.NoError(t, err)
			} else {
				require.Error(t, err)
				assert.Contains(t, err.Error(), tc.want)
			}
		})
	}
}

func TestZipBomb(t *testing.T) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	block := make([]byte, 1<<20)
	for i := range block {
		block[i] = ' '
	}
	for range 300 {
		_, err := z.Write(block)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	_, err := svg.Read(&b, svg.Options{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "larger than 256 MB")
}
