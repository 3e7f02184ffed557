package main

import (
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/path/svg"
)

func readOptions(s job.Selection, parts []string) (svg.Options, error) {
	fonts, err := fontFolders(s.Fonts)
	return svg.Options{Parts: parts, Only: s.Only, Skip: s.Skip, Invert: s.InvertIn, Fonts: fonts}, err
}

// readArtwork reads the artwork of a job. asked is what of the selection the
// command line names.
func (a *app) readArtwork(j job.Job, asked job.Selection, opts svg.Options) (svg.Document, error) {
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
		return svg.Document{}, fault.Usagef("%s: %q picks nothing in %s", whoNames(j, slip, asked), slip, file).
			Hintf("%s", fault.Suggest(slip, doc.Names))
	}
	return doc, nil
}

// whoNames tells the flag, or the line and key of the job file, that a text of a
// selection comes from.
func whoNames(j job.Job, text string, asked job.Selection) string {
	own := j.Artwork.Selection
	for _, l := range []struct {
		name, key  string
		asked, job []string
	}{
		{"--only", "artwork.only", asked.Only, own.Only},
		{"--skip", "artwork.skip", asked.Skip, own.Skip},
		{"--invert-in", "artwork.invert_in", asked.InvertIn, own.InvertIn},
	} {
		switch {
		case slices.Contains(l.asked, text):
			return l.name
		case len(l.asked) == 0 && slices.Contains(l.job, text):
			return settings.At(j.Name, j.Data, l.key)
		}
	}
	return settings.At(j.Name, j.Data, fmt.Sprintf("part[%d].pick", slices.Index(j.Picks(), text)))
}
