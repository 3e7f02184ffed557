package tune

import (
	"iter"
	"math"
	"slices"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Trial is a short run with the beam off, to be timed by a watch.
type Trial struct {
	Name  string // "x"
	What  string // what it tells, for people
	Moves emit.Moves
}

// TrialS is how long a trial lasts for a person with a watch, s, by what the profile has
// now: a start and a stop by hand are off by a fifth of a second.
const TrialS = 30.0

// AtTravel is what the run of travel and feed tells, for people.
const AtTravel = "what the head does where travel meets marking"

// Trials returns the runs that tell the values of a machine apart best, each about so many
// seconds long. The first two, of a galvo, tell what its rows and its outlines take, which
// is enough for other jobs; of a gantry they are those of X and Y, which is enough for rows.
// Each of the others answers to one value above all:
//
// A head that goes there and back over a length on which it never reaches its speed
// takes 2√(L/a). Along a zigzag of small turns it is the speed through corners that
// counts, √(a·e·s/(1-s)). Travel and feed in turn, straight on, take several times as long
// where the head stops in between. Mirrors: long jumps, jumps just long enough for the
// whole delay, jumps of next to no length, chains of one short piece with a wait of 1 µs
// between them, and chains of many reversals.
//
// One reading tells one value. By no run does the time go by more than the root of the
// acceleration, or of its product with the corner error: a reading that is off by 1 % makes
// them 2 % wrong, and the corner error alone 4 %. Of readings of the same run the mean
// counts, so three of each come within 3 %.
func Trials(p machine.Profile, seconds float64) []Trial {
	if p.IsGalvo() {
		return galvoTrials(p, seconds)
	}
	g := p.Gantry
	speed := min(g.MaxSpeedMMPerS[0], g.MaxSpeedMMPerS[1])
	long := min(triangle(speed, g), g.BedMM[0]/2, g.BedMM[1]/2)
	x, y := path.Point{X: long}, path.Point{Y: long}
	return []Trial{
		gantryTrial(p, "x", "acceleration in X", speed, seconds, back(x)),
		gantryTrial(p, "y", "acceleration in Y", speed, seconds, back(y)),
		gantryTrial(p, "corners", "corner error", speed, seconds, zigzag()),
		gantryTrial(p, "travel", AtTravel, speed, seconds/2, inTurn(long)),
	}
}

// triangle is a length on which a head reaches half its speed at the most, mm, for all
// accelerations that are plausible.
func triangle(speed float64, g *machine.Gantry) float64 {
	most := 4 * max(g.AccelMMPerS2[0], g.AccelMMPerS2[1])
	return math.Max(0.5, math.Min(20, math.Round(speed*speed/most*100)/100))
}

// back is a round there and back.
func back(to path.Point) []emit.Move {
	return []emit.Move{{Kind: emit.Gap, To: to}, {Kind: emit.Gap}}
}

// The pieces of the zigzag, mm, and by how much it turns at each corner, degrees: so little
// that the head runs on at a speed that it gains little on between two corners, and so short
// that it never reaches its greatest one.
const (
	zigMM      = 0.1
	zigDegrees = 36
	zigPieces  = 100 // out, and as many back
)

// zigzag goes out between X and Y and back, to the left and to the right in turn: there one
// axis limits the corners and the way from rest alike, and so that way is short.
func zigzag() (round []emit.Move) {
	sin, cos := math.Sincos(zigDegrees / 2 * math.Pi / 180)
	turn := path.Rotate(45)
	for i := range 2 * zigPieces {
		n := i + 1
		if n > zigPieces {
			n = 2*zigPieces - n
		}
		to := turn.Apply(path.Point{X: zigMM * cos * float64(n), Y: zigMM * sin * float64(n%2)})
		to.X, to.Y = math.Round(to.X*1e3)/1e3, math.Round(to.Y*1e3)/1e3
		round = append(round, emit.Move{Kind: emit.Gap, To: to})
	}
	return round
}

// inTurn is travel and feed in turn, straight on, and back.
func inTurn(long float64) (round []emit.Move) {
	const pieces = 20
	for i := range 2 * pieces {
		n := i + 1
		if n > pieces {
			n = 2*pieces - n
		}
		m := emit.Move{Kind: emit.Gap, To: path.Point{X: math.Round(long*1e3/pieces) / 1e3 * float64(n)}}
		if i%2 == 1 {
			m.Kind = emit.Travel
		}
		round = append(round, m)
	}
	return round
}

// gantryTrial repeats a round until it takes so many seconds.
func gantryTrial(p machine.Profile, name, what string, speed, lasts float64, round []emit.Move) Trial {
	grid := p.Controller().Grid()
	set := grid.Settings([]path.Setting{{Name: name, SpeedMMPerS: speed}})
	m := emit.Moves{Header: emit.Header{Profile: p.ID, Hash: p.Hash()}, Settings: set}
	for i := range round {
		round[i].To = grid.Point(round[i].To)
		if round[i].Kind != emit.Travel {
			round[i].Speed = set[0].SpeedMMPerS
		}
	}
	return repeated(name, what, m, round, p, lasts)
}

// repeated is a trial of as many rounds as last long enough.
func repeated(name, what string, m emit.Moves, round []emit.Move, p machine.Profile, lasts float64) Trial {
	const few, most = 4, 300_000
	lasting := func(n int) float64 {
		m.Play = play(m.ForGalvo(), round, n)
		s, err := seconds(Run{Name: name, Moves: m}, p)
		if err != nil {
			return math.Inf(1)
		}
		return s
	}
	one := (lasting(2*few) - lasting(few)) / few // without what the way there takes
	n := 1
	if one > 0 {
		n = int(math.Max(1, math.Min(most, math.Ceil(lasts/one))))
	}
	m.Play = play(m.ForGalvo(), round, n)
	return Trial{Name: name, What: what, Moves: m}
}

// play plays rounds. A list starts with a jump.
func play(list bool, round []emit.Move, n int) iter.Seq2[emit.Move, error] {
	return func(yield func(emit.Move, error) bool) {
		if list && !yield(emit.Move{Kind: emit.Travel, To: path.Point{X: -1}}, nil) {
			return
		}
		for range n {
			for _, m := range round {
				if !yield(m, nil) {
					return
				}
			}
		}
	}
}

// galvoTrials are lists of jumps and of chains with the beam off.
func galvoTrials(p machine.Profile, seconds float64) []Trial {
	g := p.Galvo
	wide := math.Floor(min(g.FieldMM[0], g.FieldMM[1]) / 2)
	short := math.Min(wide, math.Max(g.ShortJumpMM, 0.5))
	apart := math.Min(wide, 10)
	speed := math.Max(1, math.Round(g.MaxSpeedMMPerS/2))
	set := path.Setting{Name: "stopwatch", SpeedMMPerS: speed}
	if p.Laser.Pulsed() {
		set.FrequencyHz = 1000 * p.Laser.FrequencyKHz[0]
	}
	settings := []path.Setting{p.Rounded(set)}
	m := emit.Moves{
		Header:   emit.Header{Profile: p.ID, Hash: p.Hash(), Field: path.Point{X: g.FieldMM[0], Y: g.FieldMM[1]}},
		Settings: settings, Scanner: p.Scanners(settings),
	}
	list := func(name, what string, round ...[]emit.Move) Trial {
		return repeated(name, what, m, slices.Concat(round...), p, seconds)
	}
	jumps := func(mm float64) []emit.Move { return []emit.Move{jumpTo(mm / 2), jumpTo(-mm / 2)} }
	rest := func(mm float64) []emit.Move { return []emit.Move{{Kind: emit.Wait, WaitUS: 1, To: onGrid(mm)}} }
	return []Trial{
		list("rows", "what rows take", chain(0, 1, speed), chain(rowsApartMM, 1, speed)),
		list("outlines", "what outlines take", chain(0, fewCorners, speed), chain(apart, fewCorners, speed)),
		list("long-jumps", "jump speed", jumps(wide)),
		list("short-jumps", "jump delay", jumps(short)),
		list("tiny-jumps", "short jump delay", jumps(tinyMM)),
		list("chains", "mark delay", chain(0, 1, speed)[1:], rest(pieceMM), chain(0, 2, speed)[2:], rest(0)),
		list("reversals", "corner delay", chain(0, 100, speed)[1:], rest(0)),
	}
}

const (
	tinyMM      = 0.002 // a jump that is next to none: some steps of a list's grid
	pieceMM     = 0.02  // a piece of a chain
	rowsApartMM = 0.05
	fewCorners  = 20 // of an outline
)

// chain is a jump and n pieces there and back.
func chain(x float64, n int, speed float64) []emit.Move {
	round := []emit.Move{jumpTo(x)}
	for i := range n {
		round = append(round, emit.Move{Kind: emit.Gap, Speed: speed, To: onGrid(x + pieceMM*float64((i+1)%2))})
	}
	return round
}

func jumpTo(x float64) emit.Move { return emit.Move{Kind: emit.Travel, To: onGrid(x)} }

func onGrid(x float64) path.Point { return path.Point{X: math.Round(x*1e4) / 1e4} }
