package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
)

// hatchFigures is what hatch --json prints.
type hatchFigures struct {
	figures
	Rows        int          `json:"rows"`
	Spans       int          `json:"spans"`
	Warnings    []warning    `json:"warnings"`
	Advice      []string     `json:"advice,omitempty"`
	LaidDown    []laidDown   `json:"laid_down"`
	Delays      []string     `json:"derived_delays,omitempty"` // from a galvo's tracking lag
	Correction  *correction  `json:"correction,omitempty"`
	TravelBound *travelBound `json:"travel_bound,omitempty"`
}

// travelBound is the proof of how little shorter the travel could be, in the
// seconds of the machine.
type travelBound struct {
	Seconds        float64 `json:"seconds"`
	AtLeastSeconds float64 `json:"at_least_seconds"`
	Percent        float64 `json:"percent"` // the travel is at most this far above the least
	Rounds         int     `json:"rounds"`
}

func (b *build) travelBound() *travelBound {
	r := b.routed
	if r.Bound <= 0 {
		return nil
	}
	return &travelBound{r.Cost, r.Bound, 100 * (r.Cost/r.Bound - 1), r.Iterations}
}

func (t *travelBound) words() string {
	return fmt.Sprintf("%s, within %.1f %% of a lower bound for any sequence (%d rounds)", duration(seconds(t.Seconds)), t.Percent, t.Rounds)
}

func (b *build) figures() hatchFigures {
	warnings := b.warnings
	if warnings == nil {
		warnings = []warning{} // an empty list, not null
	}
	return hatchFigures{
		figures:     newFigures(formatOf(b.machine.Profile), b.machine.ID, b.clocked),
		Rows:        b.hatched.Rows,
		Spans:       b.hatched.Spans,
		Warnings:    warnings,
		Advice:      b.advice,
		LaidDown:    b.laidDown(),
		Delays:      emit.LagNote(b.moves, b.machine.Profile),
		Correction:  correctionOf(b.machine.Profile),
		TravelBound: b.travelBound(),
	}
}

// summary prints the one screen that says what the written file will do.
func (b *build) summary(w io.Writer, file string, lines int) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line(b.shown(), fmt.Sprintf("%s, %s", size(b.art.Page), plural(len(b.art.Shapes), "shape")))
	for i, f := range b.fills {
		line(b.partName(i), b.fillWords(i, f.Setting))
		if when := f.Outline.When; when == hatch.Before || when == hatch.After {
			line("", edgeWords(f.Outline))
		}
	}
	for _, l := range b.recipeWords() {
		line(l[0], l[1])
	}
	line("rows", fmt.Sprintf("%s; marked %s", b.countWords(), metres(b.clocked.MarkMM)))
	for _, l := range b.laserWords() {
		line(l[0], l[1])
	}
	line("time", timeWords(b.clocked.Parts))
	line("room", b.room())
	if saved := seconds(b.routed.AsRows - b.routed.Cost); saved > time.Second {
		line("sequence", duration(saved)+" less than the rows as they come")
	}
	if t := b.travelBound(); t != nil {
		line("travel", t.words())
	}
	for i, s := range b.advice {
		line(onlyFirst("advice", i), s)
	}
	line("machine", b.machine.nameWords())
	line("written", fmt.Sprintf("%s, %s", file, plural(lines, "line")))
	for i, c := range b.machine.cautions() {
		line(onlyFirst("caution", i), c)
	}
}

// recipeWords are the lines of the summary about the recipe, if there is one.
func (b *build) recipeWords() [][2]string {
	if b.recipe == nil {
		return nil
	}
	lines := [][2]string{{"recipe", b.recipe.words()}}
	if notes := strings.Join(strings.Fields(b.recipe.Notes), " "); notes != "" {
		lines = append(lines, [2]string{"notes", notes})
	}
	return lines
}

func (b *build) partName(i int) string {
	if i == 0 {
		return "hatch"
	}
	return fmt.Sprintf("part %d", i)
}

func (b *build) fillWords(i int, s path.Setting) string {
	f := b.fills[i]
	var words []string
	if i > 0 {
		words = append(words, b.job.Parts[i-1].Pick)
	}
	if f.Outline.When == hatch.Only {
		words = append(words, "outline only")
		s = f.Outline.Setting
	} else {
		words = append(words, rowWords(f)...)
	}
	return strings.Join(append(words, beamWords(s)), ", ")
}

// countWords counts what is marked.
func (b *build) countWords() string {
	rows := fmt.Sprintf("%s in %s", thousands(int64(b.hatched.Rows)), plural(b.hatched.Spans, "span"))
	if b.hatched.Lines > 0 {
		rows += ", and " + plural(b.hatched.Lines, "line")
	}
	return rows
}

// edgeWords says how an outline beside a fill is marked.
func edgeWords(o hatch.Outline) string {
	words := "outline " + map[hatch.When]string{hatch.Before: "before", hatch.After: "after"}[o.When] + " the fill"
	if o.Offset != 0 {
		words += fmt.Sprintf(", %s mm %s", decimal(math.Abs(o.Offset), 3), map[bool]string{true: "outwards", false: "inwards"}[o.Offset > 0])
	}
	return words + ", " + beamWords(o.Setting)
}

// beamWords says how fast and how strong.
func beamWords(s path.Setting) string {
	words := fmt.Sprintf("%s mm/s at %s %%", decimal(s.SpeedMMPerS, 1), decimal(100*s.Power, 2))
	if s.FrequencyHz > 0 {
		words += ", " + decimal(s.FrequencyHz/1000, 3) + " kHz"
	}
	return words
}

// rowWords says how the rows of a fill lie.
func rowWords(f hatch.Part) []string {
	s := f.Setting.SpacingMM
	words := []string{fmt.Sprintf("%s mm (%s lines/inch)", decimal(s, 4), decimal(path.MMPerInch/s, 1))}
	if f.Contours {
		words[0] += " contour-parallel"
	} else {
		words[0] += " at " + angleWords(f)
		words = append(words, map[bool]string{true: "one way", false: "both ways"}[f.OneWay])
	}
	if f.Stretch {
		words[0] += ", stretched to whole rows"
	}
	if f.Skip > 1 {
		words = append(words, fmt.Sprintf("one row in %d first", f.Skip))
	}
	if f.Passes > 1 {
		words = append(words, plural(f.Passes, "pass"))
	}
	if f.Passes > 1 && f.PassTurn != 0 {
		words[len(words)-1] += fmt.Sprintf(", each turned by %s degrees", decimal(f.PassTurn, 3))
	}
	inset := "inset " + decimal(f.Inset, 3)
	if f.MarkWidth == 0 && f.Inset == 0 {
		inset += " (no mark width is known)"
	}
	return append(words, inset)
}

// angleWords lists the directions of the rows of the first pass.
func angleWords(f hatch.Part) string {
	var all []string
	for _, a := range f.Angles {
		all = append(all, decimal(a, 3))
		if f.Cross != 0 {
			all = append(all, decimal(a+f.Cross, 3))
		}
	}
	last := len(all) - 1
	if last == 0 {
		return all[0] + " degrees"
	}
	return strings.Join(all[:last], ", ") + " and " + all[last] + " degrees"
}

// timeWords says the total and its parts, without those of no length.
func timeWords(p clock.Parts) string {
	named := []struct {
		name string
		d    time.Duration
	}{
		{"marking", p.Mark}, {"overtravel", p.Overtravel}, {"steps", p.Turn}, {"travel", p.Travel}, {"corners", p.Corner},
		{"jumps", p.Jump}, {"jump delays", p.JumpDelay}, {"mark delays", p.MarkDelay}, {"corner delays", p.CornerDelay}, {"waits", p.Wait},
	}
	var parts []string
	for _, n := range named {
		if n.d >= shownPart {
			parts = append(parts, n.name+" "+clockTime(n.d))
		}
	}
	return duration(p.Total()) + ": " + strings.Join(parts, ", ")
}

// room says how much space the head or beam needs, and where.
func (b *build) room() string {
	if b.moves.ForGalvo() {
		f := b.machine.Galvo.FieldMM
		return fmt.Sprintf("%s of the %g x %g mm field", size(b.clocked.Moves), f[0], f[1])
	}
	g := b.machine.Gantry
	page, head := b.art.Page, "the head stays within the page"
	if sides := sidesWords(b.clocked.Moves, page, 1); sides != "" {
		head = "beyond the page the head needs " + sides
	}
	zero := "zero set by hand"
	if g.Zero == machine.ZeroBed {
		zero = fmt.Sprintf("zero on the bed, the page's corner at X%s Y%s", decimal(page.Min.X, 3), decimal(page.Min.Y, 3))
	}
	if b.shifted {
		zero += ", moved there to make room for the run-up"
	}
	return fmt.Sprintf("%s, on a %g x %g mm bed; %s", head, g.BedMM[0], g.BedMM[1], zero)
}

// shownPart is the least part of a time that is told.
const shownPart = 5 * time.Millisecond

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
