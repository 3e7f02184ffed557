package svg

import (
	"slices"
	"strings"

	"furrow/path"
)

// unfollowed are properties of text that are not drawn: told where there is text, and
// some only where there are lines along it.
var unfollowed = []struct {
	name  string
	lines bool
	plain []string // values without effect
}{
	{name: "font-size-adjust", plain: []string{"none"}},
	{name: "font-feature-settings", plain: []string{"normal"}},
	{name: "font-variation-settings", plain: []string{"normal"}},
	{name: "font-language-override", plain: []string{"normal"}},
	{name: "font-variant-alternates", plain: []string{"normal"}},
	{name: "font-variant-east-asian", plain: []string{"normal"}},
	{name: "font-variant-ligatures", plain: []string{"normal", "common-ligatures"}},
	{name: "font-variant-numeric", plain: []string{"normal"}},
	{name: "font-variant-position", plain: []string{"normal"}},
	{name: "text-shadow", plain: []string{"none"}},
	{name: "text-emphasis", plain: []string{"none"}},
	{name: "text-emphasis-style", plain: []string{"none"}},
	{name: "text-decoration-style", lines: true, plain: []string{"solid"}},
	{name: "text-decoration-color", lines: true, plain: []string{"currentcolor"}},
	{name: "text-decoration-thickness", lines: true, plain: []string{"auto", "from-font"}},
	{name: "text-underline-offset", lines: true, plain: []string{"auto", "0"}},
	{name: "text-underline-position", lines: true, plain: []string{"auto", "from-font"}},
	{name: "writing-mode", plain: []string{"lr", "lr-tb", "rl", "rl-tb", "horizontal-tb"}},
	{name: "inline-size", plain: []string{"auto", "0", "0px"}},
	{name: "shape-inside", plain: []string{"auto", "none"}},
}

// withUnfollowed adds those of the list to a table.
func withUnfollowed(table map[string]property) map[string]property {
	for i, p := range unfollowed {
		table[p.name] = unfollowedProperty(i)
	}
	return table
}

// unfollowedProperty notes in the style whether one of the list is asked for.
func unfollowedProperty(i int) property {
	bit := uint32(1) << i
	return property{
		inherited: true,
		set: func(c *cascader, value string) bool {
			c.style.unfollowed |= bit
			if slices.Contains(unfollowed[i].plain, strings.ToLower(value)) {
				c.style.unfollowed &^= bit
			}
			return true
		},
		copy: func(dst, src *style) { dst.unfollowed = dst.unfollowed&^bit | src.unfollowed&bit },
	}
}

// tellUnfollowed warns of what letters are set without.
func (w *walker) tellUnfollowed(l *letter, at path.Rect) {
	for i, p := range unfollowed {
		if l.style.unfollowed>>i&1 == 0 || p.lines && len(l.lines) == 0 {
			continue
		}
		switch p.name {
		case "writing-mode":
			w.warnAt(l.n, at, path.Lettering, "vertical text (writing-mode) is set on a level line")
		case "inline-size", "shape-inside":
			// An editor gives each line its place, for readers that do not wrap.
			if l.n.name == "text" || l.x == nil && l.y == nil {
				w.warnAt(l.n, at, path.Lettering, "text that is to be wrapped (%s) is set on one line", p.name)
			}
		default:
			w.warnAt(l.n, at, path.Lettering, "%s is not supported; set without it", p.name)
		}
	}
}
