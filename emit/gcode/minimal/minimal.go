// Package minimal plays G-code in some hundred lines. It was written from the rules
// of package gcode's page alone, shares no code with its reader, and knows one thing:
// when the beam is on. Tests hold the strict reader against it: what that passes must
// never have the beam on but in a move at feed. It takes the grammar for granted.
package minimal

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Totals is what a file amounts to.
type Totals struct {
	Marks  int     // moves with the beam on
	MarkMM float64 // length of those that are straight
}

// unset is a place or a power that nothing has set.
var unset = math.NaN()

type player struct {
	Totals
	beam, motion string             // "M3", "M4" or "M5"; "G0" to "G3"; "" at the start
	s, x, y      float64            // NaN until set
	outputs      map[string]float64 // by number: what M67 has set them to
	unit         float64
	ended        bool
}

var (
	comment = regexp.MustCompile(`\([^)]*\)|;.*`)
	word    = regexp.MustCompile(`([A-Z])([-+]?[0-9.]+)`)
)

// Play plays a file, and fails at the first line that has the beam on where it must
// not be.
func Play(file string) (Totals, error) {
	p := player{s: unset, x: unset, y: unset, unit: 1, outputs: map[string]float64{}}
	n := 0
	for line := range strings.Lines(file) {
		n++
		code := strings.NewReplacer(" ", "", "\t", "", "\r", "", "\n", "").
			Replace(strings.ToUpper(comment.ReplaceAllString(line, "")))
		if wrong := p.line(code); wrong != "" {
			return p.Totals, fmt.Errorf("line %d: %s", n, wrong)
		}
	}
	if !p.ended {
		return p.Totals, fmt.Errorf("no end")
	}
	return p.Totals, nil
}

func (p *player) line(code string) (wrong string) {
	if p.ended && code != "" {
		return "text behind the end"
	}
	var still, end, moves, sets bool
	var output string
	var value float64
	x, y := p.x, p.y
	for _, w := range word.FindAllStringSubmatch(code, -1) {
		v, err := strconv.ParseFloat(w[2], 64)
		if err != nil {
			return err.Error()
		}
		switch name := w[1] + strconv.FormatFloat(v, 'f', -1, 64); {
		case w[1] == "S":
			p.s, still = v, true
		case name == "M67":
			sets = true
		case w[1] == "E":
			output = name
		case w[1] == "Q":
			value = v
		case w[1] == "X":
			x, moves = v*p.unit, true
		case w[1] == "Y":
			y, moves = v*p.unit, true
		case name == "M3" || name == "M4" || name == "M5":
			p.beam, still = name, true
		case name == "G0" || name == "G1" || name == "G2" || name == "G3":
			p.motion = name
		case name == "G20":
			p.unit = 25.4
		case name == "M2" || name == "M30":
			end = true
		case name == "M0" || name == "M1" || name == "M60" || name == "G4":
			still = true
		}
	}
	if sets {
		p.outputs[output] = value
	}
	wrong = p.judge(x, y, moves, still)
	p.x, p.y, p.ended = x, y, p.ended || end
	if end && (p.beam != "M5" || p.power()) && wrong == "" {
		wrong = "the end without M5 and S0"
	}
	return wrong
}

// power reports that S or an output may be above 0: NaN is not 0.
func (p *player) power() bool {
	for _, v := range p.outputs {
		if v != 0 {
			return true
		}
	}
	return p.s != 0
}

// on reports that the beam may be on.
func (p *player) on() bool { return p.power() && p.beam != "M5" }

func (p *player) judge(x, y float64, moves, still bool) string {
	length := math.Hypot(x-p.x, y-p.y)
	cut := p.motion == "G1" || p.motion == "G2" || p.motion == "G3"
	switch {
	case moves && p.beam == "":
		return "a move, and the beam was never switched off"
	case moves && !cut && p.power():
		return "travel with S above 0"
	case moves && p.on() && math.IsNaN(length):
		return "a mark from a place that is not known"
	case moves && p.on() && length == 0 && p.motion == "G1":
		return "the beam on in a move of no length"
	case !moves && still && p.on():
		return "the beam on at a standstill"
	case moves && p.on():
		p.Marks++
		if p.motion == "G1" {
			p.MarkMM += length
		}
	}
	return ""
}
