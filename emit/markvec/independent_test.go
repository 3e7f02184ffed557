package markvec_test

import (
	"fmt"
	"hash/crc32"
	"math"
	"strings"
)

// player is a second reader, written from the package's page alone and sharing
// no code with it. It trusts the form and takes only the totals and the time.
type player struct {
	set           []map[string]float64
	cur, chainSet map[string]float64
	x, y, dx, dy  float64
	chain         bool
	n             map[string]int
	markMM        float64
	ns            int64
}

func (p *player) spend(ns float64) { p.ns += int64(math.Round(ns)) }

func (p *player) close() {
	if p.chain {
		p.spend(p.chainSet["mark"] * 1000)
	}
	p.chain, p.dx, p.dy = false, 0, 0
}

func onlyPowerDiffers(a, b map[string]float64) bool {
	for k, v := range a {
		if k != "power" && b[k] != v {
			return false
		}
	}
	return true
}

func (p *player) vector(op string, x, y float64) {
	dx, dy := x-p.x, y-p.y
	l := math.Sqrt(dx*dx + dy*dy)
	p.x, p.y = x, y
	p.n[op]++
	if op == "J" || op == "G" {
		p.close()
		p.spend(l * 1e5 / p.cur["jumpspeed"])
		if op == "J" {
			wait := p.cur["jump"]
			if l < p.cur["jumpfull"] {
				wait = p.cur["jumpmin"] + (p.cur["jump"]-p.cur["jumpmin"])*l/p.cur["jumpfull"]
			}
			p.spend(wait * 1000)
		}
		return
	}
	if l > 0 {
		if p.dx != 0 || p.dy != 0 {
			phi := math.Abs(math.Atan2(p.dx*dy-p.dy*dx, p.dx*dx+p.dy*dy))
			if phi >= 15*math.Pi/180 {
				p.spend(p.cur["corner"] * 1000 * (1 - math.Cos(phi)) / 2)
			}
		}
		p.dx, p.dy = dx, dy
	}
	p.chain, p.chainSet = true, p.cur
	p.spend(l * 1e5 / p.cur["speed"])
	if op == "M" {
		p.markMM += l / 1e4
	}
}

func playIndependently(list string) (*player, error) {
	p := &player{n: map[string]int{}}
	body := list[:strings.LastIndex(list, "\nend ")+1]
	for line := range strings.Lines(list) {
		w := strings.Fields(line)
		var a, b float64
		if len(w) > 1 {
			fmt.Sscan(w[1], &a)
		}
		if len(w) > 2 {
			fmt.Sscan(w[2], &b)
		}
		switch w[0] {
		case "setting":
			s := map[string]float64{}
			for i := 2; i < len(w); i += 2 {
				var v float64
				fmt.Sscan(w[i+1], &v)
				s[w[i]] = v
			}
			p.set = append(p.set, s)
		case "use":
			next := p.set[int(a)]
			if p.chain && !onlyPowerDiffers(p.cur, next) {
				p.close()
			}
			p.cur = next
		case "J", "M", "D", "G":
			p.vector(w[0], a, b)
		case "P", "W":
			p.close()
			p.spend(a * 1000)
		case "hold":
			p.close()
		case "end":
			p.close()
			want := fmt.Sprintf("end %d %d %d %08x\n", p.n["J"], p.n["M"], p.n["D"], crc32.ChecksumIEEE([]byte(body)))
			if line != want {
				return nil, fmt.Errorf("%q, want %q", line, want)
			}
		}
	}
	return p, nil
}
