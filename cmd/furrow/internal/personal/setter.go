package personal

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	wording "furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/text/fit"
	"furrow/path/text/stroke"
)

// Setter sets the texts and codes of a job, part by part. It is not for several
// goroutines at a time.
type Setter struct {
	in      work.Input
	placing path.Matrix // from the artwork's page to the machine
	scale   float64     // of placing
	edge    path.Rect   // of the blank less the margin, on the machine; of the page where it is not known
	blank   path.Form   // that less the margin, where it is round; else none
	allowed path.Form   // where marks may lie: the blank with its bleed; none where it is not known
	corner  path.Point  // of the page on the machine
	places  []place     // in paint order
	ground  ground      // beside the texts
}

// place is one element with what the job says of it.
type place struct {
	path.Place
	pick     string
	template data.Template
	text     *job.Text
	code     *job.Code
	onto     bool      // the artwork's own words lie on what is marked, as is then meant
	shown    path.Rect // what of the page its clips leave, of which the page's own edge is one
}

// New looks at the places that the artwork has for what the job says. in has the
// artwork as it was read.
func New(in work.Input) (*Setter, error) {
	s := &Setter{in: in}
	var err error
	if s.placing, err = in.Placing(); err != nil {
		return nil, err
	}
	s.scale = math.Sqrt(math.Abs(s.placing.Det()))
	page := path.Artwork{Page: in.Drawing.Art.Page}.Transform(s.placing).Page
	s.corner = page.Min
	blank, known := in.BlankRound(page)
	if known {
		s.allowed = path.Form{Rect: blank.Grow(float64(value.Or(in.Job.Blank.Bleed, 0))), Round: in.Job.Blank.Round()}
	}
	if s.edge = page; known {
		blank = blank.Grow(-float64(value.Or(in.Job.Artwork.Margin, 0)))
		s.edge = blank
	}
	if known && in.Job.Blank.Round() {
		s.blank = path.Form{Rect: blank, Round: true}
	}
	for _, p := range in.Drawing.Places {
		one, err := s.place(p)
		if err != nil {
			return nil, err
		}
		s.places = append(s.places, one)
	}
	s.lookBeside()
	return s, nil
}

func (s *Setter) place(p path.Place) (place, error) {
	j := &s.in.Job
	one := place{Place: p, shown: shown(p.Clips)}
	own := path.Artwork{Shapes: s.in.Drawing.Art.Shapes[p.First:p.Last]}.Bounds()
	if !own.Empty() && wording.Past(own, one.shown) {
		one.shown = shown(nil) // the artwork's own words are cut off too, as is then meant
	}
	what := "a text element that is not skewed"
	ok := p.Text != nil
	if n := len(j.Texts); p.Pick < n {
		one.text, one.pick = &j.Texts[p.Pick], j.Texts[p.Pick].Pick
	} else {
		one.code, one.pick = &j.Codes[p.Pick-n], j.Codes[p.Pick-n].Pick
		what, ok = "a rectangle that has a size and is not skewed", p.Frame != nil
	}
	at := fmt.Sprintf("%s, line %d: %q picks <%s>",
		s.in.Shown(), p.Source.Line, one.pick, work.SourceName(p.Source.Element, p.Source.ID))
	if !ok {
		return place{}, fault.Usagef("%s, where it must pick %s", at, what)
	}
	same := func(o place) bool { return o.First == p.First && o.Last == p.Last && o.Source == p.Source }
	if slices.ContainsFunc(s.places, same) {
		return place{}, fault.Usagef("%s, which another text or code picks as well", at)
	}
	var err error
	one.template, err = data.ParseTemplate(templates(j.Differing)[p.Pick])
	return one, err
}

// everywhere is more than any page.
const everywhere = 1e6

// shown bounds what clips leave.
func shown(clips []*path.Clip) path.Rect {
	r := path.Rect{Min: path.Point{X: -everywhere, Y: -everywhere}, Max: path.Point{X: everywhere, Y: everywhere}}
	for _, c := range clips {
		r = r.Intersect(path.Artwork{Shapes: c.Shapes}.Bounds())
	}
	return r
}

// wayOut tells what helps a text that does not fit, or whose font lacks letters.
func wayOut(err error) string {
	var room *fit.RoomError
	var lack *lackError
	var missing *stroke.MissingError
	var cut *cutError
	switch {
	case errors.As(err, &cut):
		return cut.way
	case errors.As(err, &room):
		return "under that [[text]]: a smaller shrink or squeeze, lines = 2, or more room; or a shorter name"
	case errors.As(err, &lack):
		return "in the artwork, name a font that has them behind the text's own, as in font-family=\"This Sans, That " +
			"Sans\"; fonts under [artwork] names folders with more"
	case errors.As(err, &missing):
		return "leave font = \"single-line\" out under that [[text]]: the artwork's own font may have them"
	}
	return ""
}

// Part is one part's own artwork.
type Part struct {
	data.Part
	Drawing work.Drawing
	Texts   []Text
	Codes   []Code

	corner path.Point     // of the page as it is placed
	laid   [][]path.Shape // of each place, in paint order
}

// PlaceError is what is wrong with a text or code of a part.
type PlaceError struct {
	Pick string
	Err  error
}

func (e *PlaceError) Error() string { return e.Pick + ": " + e.Err.Error() }
func (e *PlaceError) Unwrap() error { return e.Err }

// Set sets the texts and codes of a part. It goes on past what is wrong, and returns
// all of it.
func (s *Setter) Set(values data.Part) (Part, []*PlaceError) {
	p := Part{Part: values, Drawing: s.in.Drawing, corner: s.corner}
	p.Drawing.Art.Shapes = nil
	var wrong []*PlaceError
	all, done := s.in.Drawing.Art.Shapes, 0
	for _, one := range s.places {
		p.Drawing.Art.Shapes = append(p.Drawing.Art.Shapes, all[done:one.First]...)
		done = one.Last
		words, set := one.template.Fill(values.Values), s.setCode
		if one.text != nil {
			set = s.setText
		}
		shapes, err := set(&p, one, words)
		if err != nil {
			wrong = append(wrong, &PlaceError{one.pick, err})
		}
		p.Drawing.Art.Shapes = append(p.Drawing.Art.Shapes, shapes...)
		p.laid = append(p.laid, shapes)
	}
	p.Drawing.Art.Shapes = append(p.Drawing.Art.Shapes, all[done:]...)
	return p, wrong
}

// check sets all parts, and adds all that is wrong with any of them. What is empty has
// been told.
func (s *Setter) check(parts []data.Part, problems *data.Problems) {
	over := make([]overlap, len(s.places))
	for i, p := range parts {
		set, wrong := s.Set(p)
		for _, w := range wrong {
			problems.List = append(problems.List, data.Problem{Row: p.Row, Part: i + 1,
				What: w.Error(), Way: wayOut(w)})
		}
		s.overlaps(set, data.Problem{Row: p.Row, Part: i + 1}, over)
	}
	for _, o := range over {
		o.tell(problems)
	}
}

// overlaps adds which texts of a part run over other artwork, where the artwork's own words
// do not.
func (s *Setter) overlaps(p Part, where data.Problem, over []overlap) {
	for i, at := range s.places {
		if at.text == nil || at.onto {
			continue
		}
		room := s.clear(at, p.laid[i])
		if math.IsInf(room, 1) {
			continue
		}
		o := &over[i]
		if o.parts == 0 {
			o.first, o.room = where, room
			o.first.What = fmt.Sprintf("%s: %q runs over other artwork", at.pick, at.template.Fill(p.Values))
		}
		o.parts, o.room = o.parts+1, min(o.room, room)
	}
}
