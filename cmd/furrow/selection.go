package main

import (
	"furrow/path/svg"

	"github.com/spf13/pflag"
)

// selection is what of the artwork counts, and where marked and bare swap. The
// toml tags are keys of a job file's [artwork].
type selection struct {
	Only     []string `toml:"only" comment:"read only these: a colour, id, class or layer name each"`
	Skip     []string `toml:"skip" comment:"leave these out"`
	Invert   *bool    `toml:"invert" comment:"swap marked and bare inside the page"`
	InvertIn []string `toml:"invert_in" comment:"swap marked and bare inside these"`
	Fonts    []string `toml:"fonts" comment:"folders with fonts for the artwork's text, before the system's"`
}

func (s *selection) flags(fs *pflag.FlagSet) {
	fs.StringArrayVar(&s.Only, "only", nil, "read only what `NAME` picks: a colour, id (#logo), class (.deep) or layer name; repeatable")
	fs.StringArrayVar(&s.Skip, "skip", nil, "leave out what `NAME` picks; repeatable")
	onOff(fs, &s.Invert, "invert", "swap marked and bare inside the page")
	fs.StringArrayVar(&s.InvertIn, "invert-in", nil, "swap marked and bare inside what `NAME` picks; repeatable")
	fs.StringArrayVar(&s.Fonts, "fonts", nil, "look for the artwork's fonts in `FOLDER` before the system's; repeatable")
}

// over returns s with what it leaves out taken from base.
func (s selection) over(base selection) selection {
	if len(s.Only) > 0 {
		base.Only = s.Only
	}
	if len(s.Skip) > 0 {
		base.Skip = s.Skip
	}
	if len(s.InvertIn) > 0 {
		base.InvertIn = s.InvertIn
	}
	if len(s.Fonts) > 0 {
		base.Fonts = s.Fonts
	}
	base.Invert = first(s.Invert, base.Invert)
	return base
}

func (s selection) options(parts []string) svg.Options {
	return svg.Options{Parts: parts, Only: s.Only, Skip: s.Skip, Invert: s.InvertIn, Fonts: fontFolders(s.Fonts)}
}
