package svg_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Selectors 4: lists in a selector (4.2, 4.4) and what they weigh (17).
func TestListsInSelectors(t *testing.T) {
	const tree = `<g class="x"><rect class="a" width="10" height="10"/><g><circle id="z" class="a b" r="5"/></g></g>` +
		`<rect width="20" height="4"/>`
	var all []pair
	for sheet, plain := range map[string]string{
		":is(rect,circle){fill:red}":                                "rect,circle{fill:red}",
		":where(rect, .b){fill:red}":                                "rect,.b{fill:red}",
		"rect:is(.a,#z){fill:red}":                                  "rect.a{fill:red}",
		":is(#z,rect){fill:red} .a{fill:blue}":                      ".a,rect{fill:red}",
		":where(#z,rect){fill:red} rect{fill:blue}":                 "rect{fill:blue}#z{fill:red}",
		":is(.q,rect){fill:red} rect{fill:blue}":                    "rect{fill:red}",
		"rect:is(.a){fill:red} rect.a{fill:blue}":                   "rect.a{fill:blue}",
		"g:is(.x) rect{fill:red}":                                   ".x rect{fill:red}",
		":is(g,svg) > rect{fill:red}":                               "rect{fill:red}",
		":is(g .a,svg>rect){fill:red}":                              ".a,rect{fill:red}",
		"*:is(rect){fill:red}":                                      "rect{fill:red}",
		":is(*).a{fill:red}":                                        ".a{fill:red}",
		"rect:is(circle){fill:red}":                                 "",
		"RECT:is(rect).a{fill:red}":                                 "rect.a{fill:red}",
		":-webkit-any(rect){fill:red}":                              "rect{fill:red}",
		".a:is(circle,rect){fill:red}":                              ".a{fill:red}",
		"g > :is(rect,g) > circle{fill:red}":                        "circle{fill:red}",
		"g /* a */ > /* b */ rect{fill:red}":                        "g>rect{fill:red}",
		"g > > rect{fill:red} circle{fill:red}":                     "circle{fill:red}",
		"rect >{fill:red} circle{fill:red}":                         "circle{fill:red}",
		"+ rect{fill:red} circle{fill:red}":                         "circle{fill:red}",
		"rect:not(.a){fill:red}":                                    "svg>rect{fill:red}",
		"rect:not(.a,.b){fill:red}":                                 "svg>rect{fill:red}",
		"g:not(.x) *{fill:red}":                                     "#z{fill:red}",
		"[class~=b]{fill:red}":                                      "#z{fill:red}",
		"[class^=a]{fill:red}":                                      ".a{fill:red}",
		"[class$=b]{fill:red}":                                      "#z{fill:red}",
		"[width='20']{fill:red}":                                    "svg>rect{fill:red}",
		"[width=\"2\"]{fill:red}":                                   "",
		"g+rect{fill:red}":                                          "svg>rect{fill:red}",
		"g~rect{fill:red}":                                          "svg>rect{fill:red}",
		"rect+g>circle{fill:red}":                                   "#z{fill:red}",
		"rect:first-child{fill:red}":                                ".a{fill:red}#z{fill:black}",
		"g:last-child circle{fill:red}":                             "#z{fill:red}",
		"rect:nth-child(2){fill:red}":                               "",
		"svg>:nth-of-type(1){fill:red}":                             "svg>rect{fill:red}.x{fill:red}",
		"rect:empty{fill:red}":                                      "rect{fill:red}",
		":root > rect{fill:red}":                                    "svg>rect{fill:red}",
		"rect{fill:red;;fill:;stroke:none}":                         "rect{fill:red}",
		"@media screen{rect{fill:red}}":                             "rect{fill:red}",
		"@media screen and (color){rect{fill:red}}":                 "rect{fill:red}",
		"@media print{rect{fill:red}}":                              "",
		"@media print, screen{rect{fill:red}}":                      "rect{fill:red}",
		"@media not print{rect{fill:red}}":                          "rect{fill:red}",
		"@media not screen{rect{fill:red}}":                         "",
		"@media only screen{rect{fill:red}}":                        "rect{fill:red}",
		"@media (prefers-color-scheme:dark){rect{fill:red}}":        "",
		"@media (prefers-color-scheme: light){rect{fill:red}}":      "rect{fill:red}",
		"@media print{@media screen{rect{fill:red}}} #z{fill:red}":  "#z{fill:red}",
		"@supports (fill:red){rect{fill:red}}":                      "rect{fill:red}",
		"@charset \"utf-8\";rect{fill:red}":                         "rect{fill:red}",
		"@namespace url(http://www.w3.org/2000/svg);rect{fill:red}": "rect{fill:red}",
		"@keyframes k{from{fill:red}to{fill:blue}} rect{fill:red}":  "rect{fill:red}",
		"@page{margin:0} rect{fill:red}":                            "rect{fill:red}",
		"rect{fill:red!important} rect.a{fill:blue}":                "rect{fill:red}",
		"rect{--c:red;fill:var(--c)}":                               "rect{fill:red}",
		":root{--c:red} .x{--c:blue} rect{fill:var( --c )}":         "rect.a{fill:blue}svg>rect{fill:red}",
		"rect{fill:var(--no,red)}":                                  "rect{fill:red}",
		"rect{fill:var(--no,var(--neither,red))}":                   "rect{fill:red}",
		"rect{--r:255;fill:rgb(var(--r),0,0)}":                      "rect{fill:red}",
		"rect{--a:var(--b);--b:red;fill:var(--a)}":                  "rect{fill:red}",
		"rect{--a:var(--b);--b:var(--a);fill:var(--a)}":             "",
		".x{fill:red} .x rect{fill:var(--no)}":                      ".x{fill:red}",
		"rect{fill:VAR(--no,red)}":                                  "rect{fill:red}",
		"rect{--C:red;fill:var(--c,blue)}":                          "rect{fill:blue}",
		"rect{--c:red!important;--c:blue;fill:var(--c)}":            "rect{fill:red}",
		".x{color:red;fill:currentColor} ":                          ".x{fill:red}",
		".x{fill:red} .a{fill:initial}":                             ".x{fill:red}.a{fill:black}",
		".x{fill:red} .a{fill:inherit}":                             ".x{fill:red}",
		".x{opacity:.5} .a{opacity:unset}":                          ".x{opacity:.5}",
	} {
		all = append(all, pair{`<style>` + strings.ReplaceAll(sheet, ">", "&gt;") + `</style>` + tree,
			`<style>` + strings.ReplaceAll(plain, ">", "&gt;") + `</style>` + tree})
	}
	for _, p := range all {
		got, want := read(t, on(p.markup)), read(t, on(p.plain))
		assert.Equal(t, drawn(want.Artwork), drawn(got.Artwork), p.markup)
	}
}
