package work

import (
	"fmt"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
	"furrow/path/hatch"
)

// smallDrawing is the share of the page's width and height below which a drawing is
// told to be small.
const smallDrawing = 0.5

// Trimmed takes what is drawn for the page, where that is asked for.
func Trimmed(a job.Artwork, art path.Artwork) path.Artwork {
	drawn := Drawn(art, bareAbove(a))
	if value.Or(a.Trim, false) && drawn.W() > 0 && drawn.H() > 0 {
		art.Page = drawn
	}
	return art
}

// SizeWarnings tell what size was taken for that of a file that names none, unless the job
// sets it.
func SizeWarnings(a job.Artwork, doc path.Document) []Warning {
	if doc.NoSize.W() == 0 || a.Width != nil || a.Height != nil || value.Or(a.Fit, false) {
		return nil
	}
	return []Warning{{File: a.File, Message: fmt.Sprintf("names no size: taken as %s, 96 of its units to the inch; "+
		"--width or --height sets another",
		words.Size(doc.NoSize))}}
}

// DrawingWarnings tell of a drawing much smaller than its page.
func DrawingWarnings(a job.Artwork, art path.Artwork) []Warning {
	drawn, page := Drawn(art, bareAbove(a)), art.Page
	if drawn.Empty() || a.At != nil || drawn.W() >= smallDrawing*page.W() || drawn.H() >= smallDrawing*page.H() {
		return nil
	}
	return []Warning{{File: a.File, Message: fmt.Sprintf("the drawing is %s, on a page of %s; --trim leaves the "+
		"rest of the page out",
		words.Size(drawn), words.Size(page))}}
}

func bareAbove(a job.Artwork) float64 { return float64(value.Or(a.BareAbove, hatch.DefaultBareAbove)) }

// Drawn bounds what is painted on the page and not bare.
func Drawn(art path.Artwork, bareAbove float64) path.Rect {
	all := path.EmptyRect()
	for _, s := range art.Shapes {
		if s.Bare(bareAbove) {
			continue
		}
		r := art.Page.Intersect(s.Path.Bounds())
		for _, c := range s.Clips {
			r = r.Intersect(path.Artwork{Shapes: c.Shapes}.Bounds())
		}
		if !r.Empty() {
			all = all.Union(r)
		}
	}
	return all
}
