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

// Trials returns the runs that tell the values of a machine apart best, each about a
// minute long by what the profile has now. Each answers to one value above all:
//
// A head that goes there and back over a length on which it never reaches its speed
// takes 2√(L/a). Round steps of a few corner errors it is the speed through corners
// that counts. Travel and feed in turn, straight on, take several times as long where
// the head stops in between. Mirrors: long jumps, jumps just long enough for the whole
// delay, chains of one short piece with a wait of 1 µs between
// them, and chains of many reversals.
func Trials(p machine.Profile) []Trial {
	if p.IsGalvo() {
		return galvoTrials(p)
	}
	g := p.Gantry
	speed := min(g.MaxSpeedMMPerS[0], g.MaxSpeedMMPerS[1])
	long := min(triangle(speed, g), g.BedMM[0]/2, g.BedMM[1]/2)
	x, y := path.Point{X: long}, path.Point{Y: long}
	return []Trial{
		gantryTrial(p, "x", "acceleration in X", speed, 40, back(x)),
		gantryTrial(p, "y", "acceleration in Y", speed, 40, back(y)),
		gantryTrial(p, "corners", "corner error", speed, 40, steps(cornerStep)),
		gantryTrial(p, "travel", "what the head does where travel meets marking", speed, 20, inTurn(long)),
	}
}

// triangle is a length on which a head reaches half its speed at the most, mm, for all
// accelerations that are plausible.
func triangle(speed float64, g *machine.Gantry) float64 {
	most := 4 * max(g.AccelMMPerS2[0], g.AccelMMPerS2[1])
	return math.Max(0.5, math.Min(20, math.Round(speed*speed/most*100)/100))
}

// cornerStep is short, so that corners count and not what lies between, mm.
const cornerStep = 0.05

// back is a round there and back.
func back(to path.Point) []emit.Move {
	return []emit.Move{{Kind: emit.Gap, To: to}, {Kind: emit.Gap}}
}

// steps is a stair up and down again. Its treads meet at right angles.
func steps(mm float64) (round []emit.Move) {
	at := path.Point{}
	for i := range 200 {
		d := path.Point{X: mm}
		if i%2 == 1 {
			d = path.Point{Y: mm}
		}
		if i >= 100 {
			d = d.Mul(-1)
		}
		at = at.Add(d)
		at.X, at.Y = math.Round(at.X*1e3)/1e3, math.Round(at.Y*1e3)/1e3
		round = append(round, emit.Move{Kind: emit.Gap, To: at})
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
	const few = 10
	m.Play = play(m.ForGalvo(), round, few)
	n := few
	if s, err := seconds(Run{Name: name, Moves: m}, p); err == nil {
		n = int(math.Max(few, math.Min(200_000, math.Ceil(few*lasts/s))))
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
func galvoTrials(p machine.Profile) []Trial {
	g := p.Galvo
	wide := math.Floor(min(g.FieldMM[0], g.FieldMM[1]) / 2)
	short := math.Min(wide, math.Max(g.ShortJumpMM, 0.5))
	speed := math.Max(1, math.Round(g.MaxSpeedMMPerS/2))
	at := func(x float64) path.Point { return path.Point{X: math.Round(x*1e4) / 1e4} }
	jumps := func(mm float64) []emit.Move {
		return []emit.Move{{Kind: emit.Travel, To: at(mm / 2)}, {Kind: emit.Travel, To: at(-mm / 2)}}
	}
	chain := func(n int) (round []emit.Move) {
		for i := range n {
			round = append(round, emit.Move{Kind: emit.Gap, Speed: speed, To: at(0.02 * float64((i+1)%2))})
		}
		return append(round, emit.Move{Kind: emit.Wait, WaitUS: 1, To: round[n-1].To})
	}
	set := path.Setting{Name: "stopwatch", SpeedMMPerS: speed}
	if p.Laser.Pulsed() {
		set.FrequencyHz = 1000 * p.Laser.FrequencyKHz[0]
	}
	settings := []path.Setting{p.Rounded(set)}
	m := emit.Moves{
		Header:   emit.Header{Profile: p.ID, Hash: p.Hash(), Field: path.Point{X: g.FieldMM[0], Y: g.FieldMM[1]}},
		Settings: settings, Scanner: p.Scanners(settings),
	}
	return []Trial{
		repeated("long-jumps", "jump speed", m, jumps(wide), p, 40),
		repeated("short-jumps", "jump delay", m, jumps(short), p, 40),
		repeated("chains", "mark delay", m, slices.Concat(chain(1), chain(2)[1:]), p, 40),
		repeated("reversals", "corner delay", m, chain(100), p, 40),
	}
}
