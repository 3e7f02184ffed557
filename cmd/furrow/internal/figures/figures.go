package figures

import (
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
)

// Figures are the facts of a written file that hatch and check both print. The
// JSON keys are a contract.
type Figures struct {
	Format         string             `json:"format"`
	Machine        string             `json:"machine"`
	BoundsMM       [4]float64         `json:"bounds_mm"`
	TravelBoundsMM [4]float64         `json:"travel_bounds_mm"`
	BlankMM        *[4]float64        `json:"blank_mm,omitempty"`            // where the blank lies, if that is known
	BlanksMM       [][4]float64       `json:"blanks_mm,omitempty"`           // where those of a load lie
	BlankRound     bool               `json:"blank_round,omitempty"`         // the ellipse in that, or in each of them
	BlankTurns     []float64          `json:"blank_turns_degrees,omitempty"` // where one is aslant
	MarkMM         float64            `json:"mark_mm"`
	TravelMM       float64            `json:"travel_mm"`
	OvertravelMM   float64            `json:"overtravel_mm"`
	GapMM          float64            `json:"gap_mm"`
	Jumps          int                `json:"jumps"`
	Seconds        float64            `json:"seconds"`
	Time           map[string]float64 `json:"time"`
	Least          float64            `json:"seconds_least,omitempty"` // by what is assumed of the machine
	Most           float64            `json:"seconds_most,omitempty"`
	Assumed        []string           `json:"assumed,omitempty"` // what nobody measured that times rest on
}

// The formats, as JSON and messages name them.
const (
	GCode   = "rs274"
	Markvec = "mvl"
)

// FormatOf returns the format of a machine's files.
func FormatOf(p machine.Profile) string {
	if p.TakesList() {
		return Markvec
	}
	return GCode
}

// On adds where the blank lies, or the blanks of a load, if that is known.
func (f *Figures) On(all ...emit.Blank) {
	for _, b := range all {
		if b.Known() {
			f.BlanksMM = append(f.BlanksMM, Corners(b.Form().Bounds()))
			f.BlankTurns = append(f.BlankTurns, b.Turn)
			f.BlankRound = f.BlankRound || b.Round
		}
	}
	if !slices.ContainsFunc(f.BlankTurns, func(degrees float64) bool { return degrees != 0 }) {
		f.BlankTurns = nil
	}
	if len(f.BlanksMM) == 1 {
		f.BlankMM, f.BlanksMM = &f.BlanksMM[0], nil
	}
}

// Of returns the figures of moves by what the clock says of them.
func Of(format, machine string, r clock.Report) Figures {
	return Figures{
		Format: format, Machine: machine,
		BoundsMM: Corners(r.Marks), TravelBoundsMM: Corners(r.Moves),
		MarkMM: r.MarkMM, TravelMM: r.TravelMM, OvertravelMM: r.OvertravelMM, GapMM: r.GapMM,
		Jumps: r.Jumps, Seconds: r.Total().Seconds(), Time: timeParts(r),
	}
}

// Corners lists the left, bottom, right and top of a rectangle; zeros of an empty one.
func Corners(r path.Rect) [4]float64 {
	if r.Empty() {
		return [4]float64{}
	}
	return [4]float64{r.Min.X, r.Min.Y, r.Max.X, r.Max.Y}
}

// timeParts lists the parts that apply to a kind of machine.
func timeParts(r clock.Report) map[string]float64 {
	p := r.Parts
	parts := map[string]time.Duration{
		"mark_s": p.Mark, "overtravel_s": p.Overtravel, "travel_s": p.Travel, "wait_s": p.Wait,
	}
	if r.Galvo {
		parts["jump_s"], parts["jump_delay_s"] = p.Jump, p.JumpDelay
		parts["mark_delay_s"], parts["corner_delay_s"] = p.MarkDelay, p.CornerDelay
	} else {
		parts["turn_s"], parts["corner_s"] = p.Turn, p.Corner
	}
	seconds := map[string]float64{}
	for k, d := range parts {
		seconds[k] = d.Seconds()
	}
	return seconds
}

// TimeWords says the total, its span and its parts, without those of no length.
func TimeWords(p clock.Parts, s Span) string {
	named := []struct {
		name string
		d    time.Duration
	}{
		{"marking", p.Mark}, {"overtravel", p.Overtravel}, {"steps", p.Turn}, {"travel", p.Travel},
		{"corners", p.Corner},
		{"jumps", p.Jump}, {"jump delays", p.JumpDelay}, {"mark delays", p.MarkDelay}, {"corner delays", p.CornerDelay},
		{"waits", p.Wait},
	}
	var parts []string
	for _, n := range named {
		if n.d >= shownPart {
			parts = append(parts, n.name+" "+words.Time(n.d))
		}
	}
	return words.Time(p.Total()) + s.Words() + ": " + strings.Join(parts, ", ")
}

// shownPart is the least part of a time that is told.
const shownPart = 5 * time.Millisecond
