package main

import (
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
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
	value.Switch(fs, &s.Invert, "invert", "swap marked and bare inside the page")
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
	base.Invert = value.First(s.Invert, base.Invert)
	return base
}

func (s selection) options(parts []string) (svg.Options, error) {
	fonts, err := fontFolders(s.Fonts)
	return svg.Options{Parts: parts, Only: s.Only, Skip: s.Skip, Invert: s.InvertIn, Fonts: fonts}, err
}

// readArtwork reads the artwork of a job. asked is what of the selection the
// command line names.
func (a *app) readArtwork(j job, asked selection, opts svg.Options) (svg.Document, error) {
	file := j.Artwork.File
	f, err := a.open(file)
	if err != nil {
		return svg.Document{}, err
	}
	defer f.Close()
	doc, err := svg.Read(f, opts)
	if err != nil {
		return svg.Document{}, fault.Usagef("%s: %w", file, err)
	}
	if len(doc.Unpicked) > 0 {
		slip := doc.Unpicked[0]
		return svg.Document{}, fault.Usagef("%s: %q picks nothing in %s", j.whoNames(slip, asked), slip, file).
			Hintf("%s", fault.Suggest(slip, doc.Names))
	}
	return doc, nil
}

// whoNames tells the flag, or the line and key of the job file, that a text of a
// selection comes from.
func (j job) whoNames(text string, asked selection) string {
	job := j.Artwork.selection
	for _, l := range []struct {
		name, key  string
		asked, job []string
	}{
		{"--only", "artwork.only", asked.Only, job.Only},
		{"--skip", "artwork.skip", asked.Skip, job.Skip},
		{"--invert-in", "artwork.invert_in", asked.InvertIn, job.InvertIn},
	} {
		switch {
		case slices.Contains(l.asked, text):
			return l.name
		case len(l.asked) == 0 && slices.Contains(l.job, text):
			return settings.At(j.name, j.data, l.key)
		}
	}
	return settings.At(j.name, j.data, fmt.Sprintf("part[%d].pick", slices.Index(j.picks(), text)))
}
