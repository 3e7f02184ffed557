package work

import (
	"math"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// sameShape is how far two scales may differ and still be one, relative.
const sameShape = 1e-3

// Place returns the artwork of an input as it lies on the machine.
func Place(in Input) (path.Artwork, error) {
	art, err := Placed(in.Job.Artwork, in.Drawing, in.Job.Blank, in.forGalvo())
	if err == nil && in.Turned {
		art = turnedPage(art, in.forGalvo())
	}
	return art, err
}

// turnedPage turns the page by a quarter and keeps its corner, or for a galvo its
// middle, in place.
func turnedPage(art path.Artwork, middle bool) path.Artwork {
	t := art.Transform(path.Rotate(90))
	from, to := t.Page.Min, art.Page.Min
	if middle {
		from, to = t.Page.Centre(), art.Page.Centre()
	}
	return t.Transform(path.Translate(to.X-from.X, to.Y-from.Y))
}

// Placed sizes, mirrors and turns the page, with its lower-left corner at 0,0
// (or, centred, its middle) and then moves it to At. Where the blank is known and At
// is not, it lies in the middle of the blank, whose corner or middle is at 0,0; a page
// that is to fit always does, and At moves its blank.
func Placed(s job.Artwork, d Drawing, blank job.Blank, centred bool) (path.Artwork, error) {
	m, err := placing(s, d, blank, centred)
	if err != nil {
		return path.Artwork{}, err
	}
	return d.Art.Transform(m), nil
}

// Placing returns the map from the artwork's page to where it lies on the machine,
// but for a turn of the part.
func (in Input) Placing() (path.Matrix, error) {
	return placing(in.Job.Artwork, in.Drawing, in.Job.Blank, in.forGalvo())
}

func placing(s job.Artwork, d Drawing, blank job.Blank, centred bool) (path.Matrix, error) {
	if value.Or(s.Margin, 0) > 0 && !blank.Known() {
		return path.Matrix{}, fault.Usagef("a margin needs the size of the blank").Hintf("%s", blankHint)
	}
	page, turn := d.Art.Page, turnOf(s)
	scale, err := scaleOf(s, d, turn, blank)
	if err != nil {
		return path.Matrix{}, err
	}
	m := turn.Mul(path.Scale(scale, scale))
	frame := path.Artwork{Page: page}.Transform(m).Page
	if inBlank(s, blank) {
		frame = around(frame.Centre(), blank.Size())
	}
	from := frame.Min
	if centred {
		from = frame.Centre()
	}
	to := value.Or(s.At, value.Point{})
	return path.Translate(to.X-from.X, to.Y-from.Y).Mul(m), nil
}

// inBlank reports that the page lies in the middle of the blank: where it is to fit,
// and where nothing says that it lies elsewhere.
func inBlank(s job.Artwork, blank job.Blank) bool {
	return blank.Known() && (s.At == nil || value.Or(s.Fit, false))
}

const blankHint = "add --blank-size W,H, or width and height to [blank] in the job file"

// around returns the rectangle of a size with its middle at c.
func around(c, size path.Point) path.Rect {
	half := path.Point{X: size.X / 2, Y: size.Y / 2}
	return path.Rect{Min: c.Sub(half), Max: path.Point{X: c.X + half.X, Y: c.Y + half.Y}}
}

// turnOf mirrors, and then turns, the page.
func turnOf(s job.Artwork) path.Matrix {
	m := path.Scale(1, 1)
	switch value.Or(s.Mirror, "") {
	case "x":
		m = path.Scale(-1, 1)
	case "y":
		m = path.Scale(1, -1)
	}
	return path.Rotate(float64(value.Or(s.Rotate, 0))).Mul(m)
}

// scaleOf returns by how much the page grows.
func scaleOf(s job.Artwork, d Drawing, turn path.Matrix, blank job.Blank) (float64, error) {
	page := d.Art.Page
	if value.Or(s.Fit, false) {
		if s.Width != nil || s.Height != nil {
			return 0, fault.Usagef("fit and a width or height at once").Hintf("leave one of them out")
		}
		return fitScale(s, d, turn, blank)
	}
	h := 1.0
	if s.Height != nil {
		h = float64(*s.Height) / page.H()
	}
	if s.Width == nil {
		return h, nil
	}
	w := float64(*s.Width) / page.W()
	if s.Height != nil && math.Abs(w/h-1) > sameShape {
		return 0, fault.Usagef("a page of %s does not become %g x %g mm without being stretched", words.Size(page),
			*s.Width, *s.Height).
			Hintf("give only the width or only the height")
	}
	return w, nil
}

// fitScale returns the scale at which a page, turned as it will lie, takes up the
// blank less the margin. On a round blank it is the rectangle round that, and less where
// anything would be marked past the edge: a page that was drawn for a disc keeps its size
// there, and one with something in its corners becomes smaller.
func fitScale(s job.Artwork, d Drawing, turn path.Matrix, blank job.Blank) (float64, error) {
	if !blank.Known() {
		return 0, fault.Usagef("fit needs the size of the blank").Hintf("%s", blankHint)
	}
	margin := float64(value.Or(s.Margin, 0))
	room := blank.Size().Sub(path.Point{X: 2 * margin, Y: 2 * margin})
	if !(room.X > 0 && room.Y > 0) {
		return 0, fault.Usagef("a margin of %g mm leaves nothing of a blank of %s", margin,
			words.Size(around(path.Point{}, blank.Size()))).
			Hintf("use a smaller margin")
	}
	page := path.Artwork{Page: d.Art.Page}.Transform(turn).Page
	return min(room.X/page.W(), room.Y/page.H(), inDisc(d.rim, turn, d.Art.Page.Centre(), room)), nil
}
