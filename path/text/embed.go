package text

import "fmt"

// ownFont is a font that came with a document.
type ownFont struct {
	fontFile
	family string
}

// Embed adds a font under a family's name, in place of those of the folders:
// TrueType, OpenType, WOFF or WOFF2.
func (f *Fonts) Embed(family string, weight int, italic bool, data []byte) error {
	f.embeds++
	file := fontFile{data: data, number: -100 - f.embeds, weight: weight, italic: italic}
	if f.open(file).font == nil {
		return fmt.Errorf("the font %q cannot be read", family)
	}
	f.embed(ownFont{file, family})
	return nil
}

func (f *Fonts) embed(o ownFont) {
	f.own = append(f.own, o)
	if f.index != nil {
		f.index.embed(o)
		clear(f.stacks)
	}
}
