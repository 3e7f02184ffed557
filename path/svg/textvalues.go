package svg

import (
	"slices"
	"strings"

	"furrow/path"
)

// The readers of what says how text is set.

// baselines are the lines of a letter that can stand on that of the text (SVG 2,
// 11.10.2; CSS Inline 3, 4.2), with the names of SVG 1.1.
var baselines = []string{
	"auto", "alphabetic", "middle", "central", "mathematical", "hanging", "ideographic",
	"text-before-edge", "text-after-edge", "before-edge", "after-edge", "text-top", "text-bottom", "top", "bottom",
	"use-script", "no-change", "reset-size", "baseline",
}

func asAlign(_ *cascader, v string) (string, bool) {
	v = strings.ToLower(v)
	if v == "auto" || v == "baseline" {
		return "", true
	}
	return v, slices.Contains(baselines, v)
}

func asRightToLeft(_ *cascader, v string) (bool, bool) {
	v = strings.ToLower(v)
	return v == "rtl", v == "rtl" || v == "ltr"
}

// asLines reads text-decoration; its colour and style make the line no other (CSS
// Text Decoration 3, 2).
func asLines(c *cascader, v string) ([]string, bool) {
	var lines []string
	for word := range strings.FieldsSeq(strings.ToLower(v)) {
		switch word {
		case "underline", "overline", "line-through":
			lines = append(lines, word)
		case "dotted", "dashed", "wavy", "double":
			c.w.warn(c.n, path.Lettering, "a %s line along text is drawn as a plain one", word)
		}
	}
	return lines, true
}

func asSmallCaps(c *cascader, v string) (bool, bool) {
	caps := false
	for word := range strings.FieldsSeq(strings.ToLower(v)) {
		switch word {
		case "small-caps", "all-small-caps":
			caps = true
		case "normal", "none", "common-ligatures":
		default:
			c.w.warn(c.n, path.Lettering, "font-variant %s is set as usual", clip(word))
		}
	}
	return caps, true
}

// stretches are the keywords of font-stretch in percent (CSS Fonts 4, 2.3).
var stretches = map[string]float64{
	"ultra-condensed": 50, "extra-condensed": 62.5, "condensed": 75, "semi-condensed": 87.5, "normal": 100,
	"semi-expanded": 112.5, "expanded": 125, "extra-expanded": 150, "ultra-expanded": 200,
}

func asStretch(_ *cascader, v string) (float64, bool) {
	if s, ok := stretches[strings.ToLower(v)]; ok {
		return s, true
	}
	s, n := scanNumber(v)
	return s, n > 0 && v[n:] == "%" && s > 0
}

// asKerning reads kerning of SVG 1.1 (10.11): a length stands in place of the font's own.
func asKerning(c *cascader, v string) (bool, bool) {
	l, ok := parseLength(v)
	if ok && l.v != 0 {
		c.w.warn(c.n, path.Lettering, "kerning by %s is not followed; set without any", clip(v))
	}
	return ok, ok || strings.EqualFold(v, "auto")
}

func asNoKerning(_ *cascader, v string) (bool, bool) { return strings.EqualFold(v, "none"), true }

func asTransform(c *cascader, v string) (string, bool) {
	v = strings.ToLower(v)
	return v, slices.Contains([]string{"none", "uppercase", "lowercase", "capitalize", "full-width"}, v)
}
