// Package minimal plays a mark-vector list in some hundred lines. It was written
// from the page of package markvec alone and shares no code with it: tests hold
// the strict reader and the clock against it. A player of your own may start
// from it, but has to refuse what it lets pass: it takes the form for granted.
package minimal

import (
	"fmt"
	"hash/crc32"
	"math"
	"strings"
)

// Totals is what a list amounts to.
type Totals struct {
	Jumps, Marks, Moves int // the J, M and D records
	MarkMM              float64
	Nanoseconds         int64
	Lit                 int // records that have the beam off by the page, and the gate open
}

type player struct {
	Totals
	set           []map[string]float64
	cur, chainSet map[string]float64
	x, y, dx, dy  float64
	chain         bool
	gate          string  // "open" from a mark on, "gap" once a record with the beam off came
	shuts         float64 // ns from the start of the list
	lag           float64 // of the mirrors behind the command, ns: what the last mark had as on
	settled       float64 // ns: when the last jump had come to rest
}

// Play plays a list, and fails where its end record is not right.
func Play(list string) (Totals, error) {
	p, want := &player{}, "no end record"
	for line := range strings.Lines(list) {
		word, a, b := "", 0.0, 0.0
		fmt.Sscan(line, &word, &a, &b)
		switch word {
		case "setting":
			p.setting(strings.Fields(line))
		case "use":
			if a < 0 || int(a) >= len(p.set) {
				return p.Totals, fmt.Errorf("use %g of %d settings", a, len(p.set))
			}
			p.use(p.set[int(a)])
		case "J", "M", "D", "G":
			p.vector(word, a, b)
		case "P", "W", "hold":
			p.close()
			p.rest(word)
			p.spend(a * 1000)
		case "end":
			p.close()
			want = fmt.Sprintf("end %d %d %d %08x\n", p.Jumps, p.Marks, p.Moves,
				crc32.ChecksumIEEE([]byte(list[:strings.LastIndex(list, line)])))
		}
	}
	if !strings.HasSuffix(list, want) {
		return p.Totals, fmt.Errorf("the list should end in %q", want)
	}
	return p.Totals, nil
}

func (p *player) setting(words []string) {
	s := map[string]float64{}
	for i := 2; i+1 < len(words); i += 2 {
		var v float64
		fmt.Sscan(words[i+1], &v)
		s[words[i]] = v
	}
	p.set = append(p.set, s)
}

func (p *player) use(next map[string]float64) {
	for key, v := range p.cur {
		if key != "power" && next[key] != v {
			p.close()
		}
	}
	p.cur = next
}

func (p *player) spend(ns float64) { p.Nanoseconds += int64(math.Round(ns)) }

func (p *player) close() {
	if p.chain {
		p.spend(p.chainSet["mark"] * 1000)
	}
	p.chain, p.dx, p.dy = false, 0, 0
}

// now is the time of the list, ns.
func (p *player) now() float64 { return float64(p.Nanoseconds) }

// rest takes a record that moves nothing. A person lets go of a hold later than any gate
// shuts.
func (p *player) rest(word string) {
	switch {
	case word == "P" || word == "hold":
		p.gate = ""
	case p.gate != "":
		p.gate = "gap"
	}
	p.settled = math.Inf(-1)
}

// travels takes a jump or a guide move as its mirrors start.
func (p *player) travels() {
	if p.gate != "" && p.shuts > p.now()+p.lag {
		p.Lit++
	}
	p.gate = ""
}

// opens takes the start of a mark.
func (p *player) opens() {
	at := p.now() + p.cur["on"]*1000
	if p.gate == "gap" && p.shuts >= at || p.gate == "" && at < p.settled {
		p.Lit++
	}
}

func (p *player) vector(op string, x, y float64) {
	dx, dy := x-p.x, y-p.y
	length := math.Sqrt(dx*dx + dy*dy)
	p.x, p.y = x, y
	switch op {
	case "J", "G":
		p.close()
		p.travels()
		p.spend(length * 1e5 / p.cur["jumpspeed"])
		p.settled = p.now()
		if op == "J" {
			p.Jumps++
			wait, full := p.cur["jump"], p.cur["jumpfull"]
			if length < full {
				wait = p.cur["jumpmin"] + (wait-p.cur["jumpmin"])*length/full
			}
			p.spend(wait * 1000)
		}
		return
	case "M":
		p.Marks++
		p.MarkMM += length / 1e4
	case "D":
		p.Moves++
	}
	if length > 0 {
		phi := math.Abs(math.Atan2(p.dx*dy-p.dy*dx, p.dx*dx+p.dy*dy))
		if (p.dx != 0 || p.dy != 0) && phi >= 15*math.Pi/180 {
			p.spend(p.cur["corner"] * 1000 * (1 - math.Cos(phi)) / 2)
		}
		p.dx, p.dy = dx, dy
	}
	p.chain, p.chainSet = true, p.cur
	if op == "M" {
		p.opens()
	} else if p.settled = math.Inf(-1); p.gate != "" {
		p.gate = "gap"
	}
	p.spend(length * 1e5 / p.cur["speed"])
	if op == "M" {
		p.gate, p.lag, p.shuts, p.settled = "open", p.cur["on"]*1000, p.now()+p.cur["off"]*1000, math.Inf(-1)
	}
}
