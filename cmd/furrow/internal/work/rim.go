package work

import (
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/hatch"
)

// rimMM is how finely it is looked how far out artwork is marked, mm on the blank: less than
// marks may reach past its edge without a word. Of a page of more than rimRows such rows it is
// coarser.
const (
	rimMM   = 0.02
	rimRows = 20_000
)

// rim returns the outermost points of what is marked of a page that is to fit a round blank,
// to the left and right of each of many rows; none of one that is not. Texts are left out
// whose words differ from part to part, since they take the room that is left; a code may
// fill its rectangle.
func rim(j job.Job, art path.Artwork, places []path.Place) (all []path.Point) {
	if !j.Blank.Round() || !j.Blank.Known() || !value.Or(j.Artwork.Fit, false) {
		return nil
	}
	beside := path.Artwork{Page: art.Page}
	done := 0
	for _, p := range places {
		beside.Shapes = append(beside.Shapes, art.Shapes[done:p.First]...)
		if done = p.Last; p.Frame != nil {
			all = append(all, corners(*p.Frame)...)
		}
	}
	beside.Shapes = append(beside.Shapes, art.Shapes[done:]...)
	larger := min(float64(value.Or(j.Blank.Width, 0))/art.Page.W(), float64(value.Or(j.Blank.Height, 0))/art.Page.H())
	pitch := max(rimMM/larger, art.Page.H()/rimRows, path.MinSpacing)
	rows, _, err := hatch.Shown(beside, pitch, hatch.Settings{BareAbove: bareAbove(j.Artwork), Tolerance: pitch / 2})
	for k := range rows.NumRows() {
		if row := rows.Row(k); err == nil && len(row) > 0 {
			all = append(all, rows.At(k, row[0].X0), rows.At(k, row[len(row)-1].X1))
		}
	}
	return append(all, lines(beside, bareAbove(j.Artwork), pitch)...)
}

func corners(f path.Frame) (all []path.Point) {
	for _, p := range [...]path.Point{{}, {X: f.W}, {X: f.W, Y: f.H}, {Y: f.H}} {
		all = append(all, f.Matrix.Apply(p))
	}
	return all
}

// lines are points on the page of lines too thin for a row to meet all of them.
func lines(art path.Artwork, bare, tolerance float64) (all []path.Point) {
	for _, s := range art.Shapes {
		if s.Centre.Empty() || s.Bare(bare) {
			continue
		}
		s.Centre.Flatten(tolerance, func(pts []path.Point, _ bool) {
			for _, p := range pts {
				if art.Page.Include(p) == art.Page {
					all = append(all, p)
				}
			}
		})
	}
	return all
}

// inDisc returns the scale at which points, that are turned about the middle of a page, all
// lie in an ellipse of a width and height about it; infinite of none.
func inDisc(rim []path.Point, turn path.Matrix, middle, size path.Point) float64 {
	disc, most := path.Form{Rect: around(path.Point{}, size), Round: true}, 0.0
	for _, p := range rim {
		most = max(most, disc.Share(turn.ApplyVector(p.Sub(middle))))
	}
	return 1 / most
}
