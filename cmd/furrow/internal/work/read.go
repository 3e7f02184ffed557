package work

import (
	"fmt"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/pick"
	"furrow/path/svg"
	"io"
	"slices"
)

// Drawing is artwork as it was read, in its own size.
type Drawing struct {
	Art      path.Artwork
	Places   []path.Place // of the job's texts, and then its codes
	Codes    []CodeFill   // of the codes in Art: those of groups above that of the last fill
	Warnings []Warning
	Texts    int          // text elements that were set
	rim      []path.Point // of what is marked alike of all parts, where it is to fit a round blank
}

// CodeFill is how the rows of a code differ from those of the fill it belongs to.
type CodeFill struct {
	Fill      int
	Angle     float64 // degrees
	SpacingMM float64 // that its modules are made for
}

// UnpickedError is a text of a selection that picks nothing of the artwork.
type UnpickedError struct {
	Text string
	File string
	Near []string // what there is to pick
}

func (e *UnpickedError) Error() string { return fmt.Sprintf("%q picks nothing in %s", e.Text, e.File) }

// Read reads the artwork of a job as finely as its size on the machine asks for.
func Read(r io.Reader, j job.Resolved) (Drawing, error) {
	in := NewInput(j, Drawing{})
	doc, err := readDocument(r, j.Fonts, j.Job.Artwork, selectors{j.Job.Picks(), j.Job.Places()}, in.strokeTolerance)
	if err != nil {
		return Drawing{}, err
	}
	var all []Warning
	if j.NotTaken != "" {
		all = append(all, Warning{Message: j.NotTaken})
	}
	all = append(all, DocumentWarnings(j.Job.Artwork.File, doc)...)
	all = append(all, SizeWarnings(j.Job.Artwork, doc)...)
	all = append(all, emptyGroups(j.Job, doc.Artwork)...)
	all = append(all, PageWarnings(j.Job.Artwork.File, doc.Artwork, in.hatchSettings().BareAbove)...)
	doc.Artwork = Trimmed(j.Job.Artwork, doc.Artwork)
	all = append(all, DrawingWarnings(j.Job.Artwork, doc.Artwork)...)
	if value.Or(j.Job.Artwork.Invert, false) {
		doc.Artwork = hatch.InvertPage(doc.Artwork)
		for i := range doc.Places { // the page is the first shape now
			doc.Places[i].First++
			doc.Places[i].Last++
		}
	}
	return Drawing{Art: doc.Artwork, Places: doc.Places, Warnings: all, Texts: doc.Texts,
		rim: rim(j.Job, doc.Artwork, doc.Places)}, nil
}

// selectors are the job's, of its groups and of what differs from part to part.
type selectors struct{ groups, places []string }

// Look reads the artwork of a job to be looked at: in the job's size, with the page's
// lower-left corner at 0,0, and without regard to its groups.
func Look(r io.Reader, j job.Job) (path.Document, error) {
	in := Input{Resolved: job.Resolved{Job: j}}
	doc, err := readDocument(r, nil, j.Artwork, selectors{}, in.strokeTolerance)
	if err != nil {
		return path.Document{}, err
	}
	doc.Artwork = Trimmed(j.Artwork, doc.Artwork)
	look := Drawing{Art: doc.Artwork, rim: rim(j, doc.Artwork, nil)}
	art, err := Placed(j.Artwork, look, j.Blank, false)
	doc.Artwork = art.Transform(path.Translate(-art.Page.Min.X, -art.Page.Min.Y))
	return doc, err
}

// readDocument reads artwork of which only what the job selects counts.
func readDocument(r io.Reader, notes *job.Fonts, a job.Artwork, s selectors,
	tolerance func(path.Rect) float64) (path.Document, error) {
	fonts, err := FontFolders(a.Fonts, notes)
	if err != nil {
		return path.Document{}, err
	}
	doc, err := svg.Read(r, svg.Options{
		Pick:  pick.Options{Groups: s.groups, Places: s.places, Only: a.Only, Skip: a.Skip, Invert: a.InvertIn},
		Fonts: fonts, FontsBefore: notes.First(), Tolerance: tolerance,
	})
	if err != nil {
		return path.Document{}, fault.Usagef("%s: %w", a.File, err)
	}
	if len(doc.Unpicked) > 0 {
		return path.Document{}, &UnpickedError{Text: doc.Unpicked[0], File: a.File, Near: doc.Names}
	}
	return doc, nil
}

// DocumentWarnings are those of reading a file.
func DocumentWarnings(file string, doc path.Document) (all []Warning) {
	for _, w := range doc.Warnings {
		if w.Kind == path.MissingFont {
			w.Message += ": put the font in a folder and name that with --fonts"
		}
		all = append(all, documentWarning(file, w))
	}
	return all
}

// emptyGroups says which groups of the job have no shape of their own.
func emptyGroups(j job.Job, art path.Artwork) (all []Warning) {
	for i, p := range j.Groups {
		if !slices.ContainsFunc(art.Shapes, func(s path.Shape) bool { return s.Group == i+1 }) {
			all = append(all, Warning{Message: fmt.Sprintf(
				"group %d (%s) marks nothing: what it picks is left out, or picked again by a later group",
				i+1, p.Pick)})
		}
	}
	return all
}

// gantryTolerance is the default of --tolerance for G-code, mm: outlines in
// short pieces choke the link, and the grid is five times coarser than a
// list's.
const gantryTolerance = 0.01

// CurveTolerance returns how far straight pieces may be from a curve, mm. Half of
// what is asked for is left to arcs that take their place.
func (in Input) CurveTolerance() float64 {
	def := value.Length(hatch.DefaultTolerance)
	if in.Machine != nil && in.Machine.IsGantry() {
		def = gantryTolerance
	}
	tol := float64(value.Or(in.Job.Tolerance, def))
	if in.Machine != nil && in.Machine.GCode != nil && in.Machine.GCode.Arcs {
		return tol / 2
	}
	return tol
}

// strokeTolerance returns how far the outline of a stroke may be from the true
// one on a page of the artwork, which will be placed in another size.
func (in Input) strokeTolerance(page path.Rect) float64 {
	tol := min(svg.DefaultTolerance, in.CurveTolerance())
	for _, f := range in.Groups {
		if f.Setting.SpacingMM > 0 {
			tol = min(tol, f.Setting.SpacingMM/10)
		}
	}
	d := Drawing{Art: path.Artwork{Page: page}}
	scale, err := scaleOf(in.Job.Artwork, d, turnOf(in.Job.Artwork), in.Job.Blank)
	if err != nil || page.Empty() || page.W() == 0 || page.H() == 0 {
		return tol / 10 // its size is not known yet
	}
	return tol / scale
}
