package hatch

import (
	"math"
	"reflect"
	"runtime"
	"slices"

	"furrow/path"
)

// Fill turns a placed artwork into what is to be marked. Each point that looks
// dark is marked by the fill of the topmost shape that paints there; artwork with
// nothing to mark gives empty Marks and no error.
func Fill(art path.Artwork, s Settings) (path.Marks, Report, error) {
	if err := s.validate(art); err != nil {
		return path.Marks{}, Report{}, err
	}
	f, err := flatten(art, &s)
	if err != nil {
		return path.Marks{}, Report{}, err
	}
	j := job{art: art, s: &s, w: filler{f: f, workers: s.Workers}}
	if s.Workers <= 0 {
		j.w.workers = runtime.GOMAXPROCS(0)
	}
	j.unify()
	for i := range s.Groups {
		if err := j.group(int32(i)); err != nil {
			return path.Marks{}, Report{}, &GroupError{i, err}
		}
	}
	if len(j.marks.Lines) > 0 {
		j.marks.ToleranceMM = s.tolerance()
	}
	return j.marks, j.report(), nil
}

// InvertPage returns art with marked and bare swapped inside its page: what no
// shape covers becomes group 0. It is called before placing, so that the page
// turns with the artwork.
func InvertPage(art path.Artwork) path.Artwork {
	var p path.Path
	r := art.Page
	p.MoveTo(r.Min)
	p.LineTo(path.Point{X: r.Max.X, Y: r.Min.Y})
	p.LineTo(r.Max)
	p.LineTo(path.Point{X: r.Min.X, Y: r.Max.Y})
	p.Close()
	page := path.Shape{Path: p, Paint: path.Paint{R: 1, G: 1, B: 1, Opacity: 1}, Invert: true,
		Source: path.Source{Element: "page"}}
	art.Shapes = append([]path.Shape{page}, art.Shapes...)
	return art
}

// job is one call of Fill.
type job struct {
	art     path.Artwork
	s       *Settings
	w       filler
	marks   path.Marks
	tracer  *tracer    // nil until needed
	regions []enclosed // by group, empty until needed
	done    Report
	swaps   bool // some shape swaps marked and bare
}

// unify makes groups with equal fills one group: one setting has one grid.
func (j *job) unify() {
	same := make([]int32, len(j.s.Groups))
	for i := range same {
		same[i] = int32(i)
		for k := range i {
			if reflect.DeepEqual(j.s.Groups[i], j.s.Groups[k]) {
				same[i] = int32(k)
				break
			}
		}
	}
	for i := range j.w.f.layers {
		l := &j.w.f.layers[i]
		if l.fill >= 0 {
			l.fill = same[l.fill]
		}
		j.swaps = j.swaps || l.invert
	}
}

// setting returns the index of a setting in the marks.
func (j *job) setting(s path.Setting) int {
	for i, have := range j.marks.Settings {
		if have == s {
			return i
		}
	}
	j.marks.Settings = append(j.marks.Settings, s)
	return len(j.marks.Settings) - 1
}

// phase returns the place of the rows of a pass, a direction of it and a group
// of skipped rows: one direction is marked to its end before the next begins.
// Outlines that come before have phase 0, those that come after the last one.
func (j *job) phase(pass, direction, group int) int {
	directions, groups := 1, 1
	for i := range j.s.Groups {
		directions = max(directions, len(j.s.Groups[i].angles(0)))
		groups = max(groups, j.s.Groups[i].groups())
	}
	return 1 + (pass*directions+direction)*groups + group
}

func (j *job) lastPhase() int {
	passes := 1
	for i := range j.s.Groups {
		passes = max(passes, j.s.Groups[i].passes())
	}
	return j.phase(passes, 0, 0)
}

// group adds the marks of one group.
func (j *job) group(group int32) error {
	fill := &j.s.Groups[group]
	if !j.has(group) {
		return nil
	}
	if fill.Outline.When != NoOutline {
		if _, err := j.region(group); err != nil { // before any rows: it may be too tangled
			return err
		}
	}
	if fill.hasRows() {
		if err := j.fill(group); err != nil {
			return err
		}
		if err := j.pale(group); err != nil {
			return err
		}
	}
	j.strokes(group)
	return j.outlines(group)
}

// fill marks the inside of a group, with rows or contours.
func (j *job) fill(group int32) error {
	fill := &j.s.Groups[group]
	if fill.Inset == 0 && !fill.Contours {
		return j.hatch(group, &j.w, j.painter(group))
	}
	rings, err := j.region(group)
	if err != nil {
		return err
	}
	tol := j.s.tolerance()
	if fill.Contours {
		lines, err := contours(&j.regions[group], fill, tol)
		j.everyPass(fill, lines)
		return err
	}
	thin := centresOfEach(componentsOf(rings), nil, gauge{hi: fill.Inset, tolerance: tol})
	j.thin(thin)
	j.everyPass(fill, thin)
	w := filler{f: shrunk(rings, fill.Inset, tol), workers: j.w.workers}
	return j.hatch(group, &w, newPainter(w.f, func(*layer) bool { return true }))
}

// region returns the boundary of what is marked of a group.
func (j *job) region(group int32) (rings [][]path.Point, err error) {
	if j.regions == nil {
		j.regions = make([]enclosed, len(j.s.Groups))
	}
	if j.regions[group].rings == nil {
		j.regions[group], err = visible(j.w.f, j.owned(group))
	}
	return j.regions[group].rings, err
}

// hatch adds the rows of one group, where p marks the artwork of w.
func (j *job) hatch(group int32, w *filler, p *painter) error {
	fill := &j.s.Groups[group]
	sets := map[float64]path.RowSet{}
	for pass := range fill.passes() {
		for direction, angle := range fill.angles(pass) {
			set, ok := sets[angle]
			if !ok {
				var err error
				if set, err = j.rows(group, angle, w, p); err != nil {
					return err
				}
				sets[angle] = set
			}
			j.add(set, fill, pass, direction)
		}
	}
	return nil
}

// painter returns a painter that marks what rows of a group mark.
func (j *job) painter(group int32) *painter { return newPainter(j.w.f, j.owned(group)) }

// owned picks the layers whose dark places are filled with rows of a group.
func (j *job) owned(group int32) func(*layer) bool {
	return func(l *layer) bool { return l.fill == group && !l.thin }
}

// has reports that some layer is of the group.
func (j *job) has(group int32) bool {
	return slices.ContainsFunc(j.w.f.layers, func(l layer) bool { return l.fill == group })
}

// counts reports that a layer belongs to the group's region before paint order.
func (j *job) counts(l *layer, group int32) bool {
	return l.fill == group && (!l.bare || !l.solid || j.swaps) && !l.thin
}

// rows lays one set of rows. Angles half a turn apart share their grid, so
// that they mark the same set; only one-way rows show the difference.
func (j *job) rows(group int32, angle float64, w *filler, p *painter) (path.RowSet, error) {
	fill := &j.s.Groups[group]
	half := math.Mod(angle, 180)
	if half < 0 {
		half += 180
	}
	sin, cos := path.SinCos(half)
	dir := path.Point{X: cos, Y: sin}
	lo, hi, ok := j.w.heights(dir, func(l *layer) bool { return j.counts(l, group) })
	if !ok {
		return path.RowSet{}, nil
	}
	t := newTidier(fill)
	set, err := w.rows(newGrid(dir, lo, hi, fill.Setting.SpacingMM, fill.Stretch), p, t)
	if err != nil {
		return set, err
	}
	set.OneWay = fill.OneWay
	j.done.Dust.add(t.dust())
	turned := math.Mod(angle-half, 360)
	if fill.OneWay && turned != 0 {
		set = reverse(&set)
	}
	return set, nil
}

// add gives a set its place in the sequence, in groups where rows are skipped.
func (j *job) add(set path.RowSet, fill *Group, pass, direction int) {
	if len(set.Spans) == 0 {
		return
	}
	set.Setting = j.setting(fill.Setting)
	n := fill.groups()
	for group, first := range spread(n) {
		g := set
		if n > 1 {
			g = every(&set, first, n)
		}
		g.Phase = j.phase(pass, direction, group)
		if len(g.Spans) > 0 {
			j.marks.Rows = append(j.marks.Rows, g)
		}
	}
}
