package emit

import (
	"fmt"
	"strconv"

	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/text/stroke"
)

// The crosses of a field grid: half their width where there is room, and the
// height of the numbers beside them, mm.
const (
	crossMM  = 1.5
	numberMM = 2
)

// FieldGrid returns the moves that mark n by n numbered crosses over the field,
// without any correction, to measure the field by. The places are in the
// sequence of their numbers, which start at the lower left and run along X.
func FieldGrid(p machine.Profile, n int, set path.Setting) (Moves, []path.Point, error) {
	if !p.IsGalvo() {
		return Moves{}, nil, fmt.Errorf("machine %q has no field", p.ID)
	}
	if n < 4 || n > 50 {
		return Moves{}, nil, fmt.Errorf("a field grid has 4 to 50 crosses each way, not %d", n)
	}
	places, arm := crossPlaces(p.Galvo.FieldMM, n)
	prog := path.Program{Settings: []path.Setting{set}}
	for i, at := range places {
		drawCross(&prog, at, arm)
		if err := drawNumber(&prog, i+1, at, arm); err != nil {
			return Moves{}, nil, err
		}
	}
	corrects, bare := p.Corrects(), *p.Galvo
	bare.FieldScale, bare.FieldRotateDegrees, bare.FieldOffsetMM, bare.Samples = [2]float64{}, 0, [2]float64{}, nil
	hash := p.Hash()
	p.Galvo = &bare
	m, err := Plan(prog, p)
	m.Header.Hash, m.Header.Bare = hash, corrects // of the profile as it is
	return m, places, err
}

// crossPlaces returns the places of the crosses and half their width. The
// outermost crosses touch the edge of the field.
func crossPlaces(field [2]float64, n int) ([]path.Point, float64) {
	arm := min(crossMM, field[0]/float64(6*n), field[1]/float64(6*n))
	at := func(size float64, i int) float64 {
		v := (size - 2*arm) * (float64(i)/float64(n-1) - 0.5)
		return snap(path.Point{X: v}, 1000).X // whole micrometres, to be typed
	}
	var places []path.Point
	for j := range n {
		for i := range n {
			places = append(places, path.Point{X: at(field[0], i), Y: at(field[1], j)})
		}
	}
	return places, arm
}

func drawCross(prog *path.Program, at path.Point, arm float64) {
	for _, d := range [...]path.Point{{X: arm}, {Y: arm}} {
		prog.Append(path.Stroke{Kind: path.LineStroke}, at.Sub(d), at.Add(d))
	}
}

// drawNumber writes a number beside a cross, on the side of the field's middle,
// so that it lies in the field too.
func drawNumber(prog *path.Program, number int, at path.Point, arm float64) error {
	const size = 1.5 // of the letters, in heights of a digit
	high, gap := min(numberMM, 1.6*arm), 0.4*arm
	line := stroke.Line{Size: size * high}
	corner := at.Add(path.Point{X: gap, Y: gap})
	if at.X > 0 {
		line.Anchor, corner.X = 1, at.X-gap
	}
	if at.Y > 0 {
		corner.Y = at.Y - gap - high
	}
	text, err := stroke.SingleLine().Lay(strconv.Itoa(number), line)
	if err != nil {
		return err
	}
	text.Centre.Transform(path.Translate(corner.X, corner.Y)).Flatten(arcTolerance, func(pts []path.Point, _ bool) {
		prog.Append(path.Stroke{Kind: path.LineStroke}, pts...)
	})
	return nil
}
