package main

import (
	"fmt"
	"furrow/cmd/furrow/internal/better"
	"io"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
)

// made is work with what would make it quicker.
type made struct {
	work.Work
	advice []string
	heat   *warmth.Estimate // nil where too little is known of the blank
	span   figures.Span     // of the time
	cool   better.Cooling
}

// hatchFigures is what hatch --json prints.
type hatchFigures struct {
	figures.Figures
	Rows        int             `json:"rows"`
	Spans       int             `json:"spans"`
	Warnings    []work.Warning  `json:"warnings"`
	Advice      []string        `json:"advice,omitempty"`
	LaidDown    []laidDown      `json:"laid_down"`
	Delays      []string        `json:"derived_delays,omitempty"` // from a galvo's tracking lag
	Heat        *warmth.Figures `json:"heat,omitempty"`
	Spread      *better.Spread  `json:"spread,omitempty"`
	Pauses      *better.Paused  `json:"pauses,omitempty"`
	Correction  *correction     `json:"correction,omitempty"`
	TravelBound *travelBound    `json:"travel_bound,omitempty"`
	Saved       float64         `json:"saved_seconds,omitempty"`  // against plain rows, there and back
	Gained      float64         `json:"gained_seconds,omitempty"` // by the best effort against the default one
}

// travelBound is the proof of how little shorter the travel could be, in the
// seconds of the machine.
type travelBound struct {
	Seconds        float64 `json:"seconds"`
	AtLeastSeconds float64 `json:"at_least_seconds"`
	Percent        float64 `json:"percent"` // the travel is at most this far above the least
	Rounds         int     `json:"rounds"`
}

func (b made) travelBound() *travelBound {
	r := b.Routed
	if r.Bound <= 0 {
		return nil
	}
	return &travelBound{Seconds: r.Cost, AtLeastSeconds: r.Bound, Percent: 100 * (r.Cost/r.Bound - 1),
		Rounds: r.Iterations}
}

func (t *travelBound) words() string {
	return fmt.Sprintf("%s, within %.1f %% of a lower bound for any sequence (%d rounds)",
		words.Time(words.Seconds(t.Seconds)), t.Percent, t.Rounds)
}

func (b made) figures() hatchFigures {
	warnings := b.Warnings
	if warnings == nil {
		warnings = []work.Warning{} // an empty list, not null
	}
	f := figures.Of(figures.FormatOf(b.Machine.Profile), b.Machine.ID, b.Clock)
	f.Add(b.span)
	f.On(b.Blank())
	return hatchFigures{
		Figures:     f,
		Rows:        b.Hatched.Rows,
		Spans:       b.Hatched.Spans,
		Warnings:    warnings,
		Advice:      b.advice,
		LaidDown:    b.laidDown(),
		Delays:      emit.LagNote(b.Moves, b.Machine.Profile),
		Heat:        b.heat.Figures(),
		Spread:      b.cool.Spread,
		Pauses:      b.cool.Paused,
		Correction:  correctionOf(b.Machine.Profile),
		TravelBound: b.travelBound(),
		Saved:       b.Routed.Saved().Seconds(),
		Gained:      b.Routed.Gained().Seconds(),
	}
}

// summary prints the one screen that says what the written file will do.
func (b made) summary(w io.Writer, file string, lines int) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line(b.Shown(), fmt.Sprintf("%s, %s", words.Size(b.Art.Page), words.Plural(len(b.Art.Shapes), "shape")))
	for i, f := range b.Groups {
		line(work.GroupName(i), b.fillWords(i, f.Setting))
		if angle := b.Fills[i].Spec.Angle; angle != nil && len(*angle) == 0 && f.Outline.When != hatch.Only &&
			!f.Contours {
			line("", better.BestAngleWords)
		}
		if when := f.Outline.When; when == hatch.Before || when == hatch.After {
			line("", edgeWords(f.Outline))
		}
	}
	if b.widthUnknown() {
		line("edges", "no inset: mark width not set")
	}
	for _, l := range b.recipeWords() {
		line(l[0], l[1])
	}
	line("rows", fmt.Sprintf("%s; marked %s", b.countWords(), words.Metres(b.Clock.MarkMM)))
	for _, l := range b.laserWords() {
		line(l[0], l[1])
	}
	line("time", figures.TimeWords(b.Clock.Parts, b.span))
	if b.heat != nil {
		for _, l := range b.heat.Lines() {
			line(l[0], l[1])
		}
	}
	for _, l := range b.cool.Lines() {
		line(l[0], l[1])
	}
	head := "clearance"
	if b.Moves.ForGalvo() {
		head = "reach"
	}
	line(head, b.room())
	for i, s := range b.sequenceWords() {
		line(words.OnlyFirst("sequence", i), s)
	}
	if t := b.travelBound(); t != nil {
		line("travel", t.words())
	}
	for i, s := range b.advice {
		line(words.OnlyFirst("advice", i), s)
	}
	line("machine", b.Machine.NameWords())
	line("written", fmt.Sprintf("%s, %s", file, words.Plural(lines, "line")))
	line("caution", settings.Caution)
}

// widthUnknown reports that edges are marked half a line too far out, since nothing tells how
// wide a line marks.
func (b made) widthUnknown() bool {
	return slices.ContainsFunc(b.Groups, func(f hatch.Group) bool {
		return f.Inset == 0 && f.MarkWidth == 0 && f.Outline.When != hatch.Only
	})
}

// sequenceWords say what the search has saved, where that is a second or more and can be told
// of the whole.
func (b made) sequenceWords() (all []string) {
	r, of := b.Routed, b.Clock.Total()
	if s := r.Saved(); s >= time.Second && words.Tells(s, of) {
		all = append(all, "saves "+words.Saving(s, of)+" over row by row")
	}
	if s := r.Gained(); r.Default > 0 && s >= time.Second && words.Tells(s, of) {
		all = append(all, "saves "+words.Saving(s, of)+" over the normal search")
	} else if r.Default > 0 {
		all = append(all, "the longer search saves next to nothing over the normal one")
	}
	return all
}

// recipeWords are the lines of the summary about the recipe, if there is one.
func (b made) recipeWords() [][2]string {
	if b.Recipe == nil {
		return nil
	}
	lines := [][2]string{{"recipe", b.Recipe.Words()}}
	if notes := strings.Join(strings.Fields(b.Recipe.Notes), " "); notes != "" {
		lines = append(lines, [2]string{"notes", notes})
	}
	return lines
}

func (b made) fillWords(i int, s path.Setting) string {
	f := b.Groups[i]
	var words []string
	if i > 0 {
		words = append(words, b.Job.Groups[i-1].Pick)
	}
	if f.Outline.When == hatch.Only {
		words = append(words, "outline only")
		s = f.Outline.Setting
	} else {
		words = append(words, rowWords(f)...)
	}
	asked := work.SettingOf(b.Fills[i].Spec, b.Machine)
	if f.Outline.When == hatch.Only {
		asked = s
	}
	return strings.Join(append(words, beamWordsOf(s, asked)), ", ")
}

// countWords counts what is marked.
func (b made) countWords() string {
	rows := fmt.Sprintf("%s in %s", words.Thousands(int64(b.Hatched.Rows)), words.Plural(b.Hatched.Spans, "span"))
	if b.Hatched.Lines > 0 {
		rows += ", and " + words.Plural(b.Hatched.Lines, "line")
	}
	return rows
}

// edgeWords says how an outline beside a fill is marked.
func edgeWords(o hatch.Outline) string {
	said := "outline before the fill"
	if o.When == hatch.After {
		said = "outline after the fill"
	}
	switch {
	case o.Offset > 0:
		said += fmt.Sprintf(", %s mm outwards", words.Decimal(o.Offset, 3))
	case o.Offset < 0:
		said += fmt.Sprintf(", %s mm inwards", words.Decimal(-o.Offset, 3))
	}
	return said + ", " + beamWords(o.Setting)
}

// beamWords says how fast and how strong.
func beamWords(s path.Setting) string { return beamWordsOf(s, s) }

// beamWordsOf says it of a setting as the file has it, and how strong was asked for.
func beamWordsOf(s, asked path.Setting) string {
	said := fmt.Sprintf("%s mm/s at %s", words.Number(s.SpeedMMPerS, 1), work.PowerWords(asked.Power, s.Power, "%"))
	if s.FrequencyHz > 0 {
		said += ", " + words.Number(s.FrequencyHz/1000, 3) + " kHz"
	}
	return said
}

// rowWords says how the rows of a fill lie.
func rowWords(f hatch.Group) []string {
	s := f.Setting.SpacingMM
	said := []string{fmt.Sprintf("%s mm (%s lines/inch)", words.Decimal(s, 4), words.Number(path.MMPerInch/s, 1))}
	switch {
	case f.Contours:
		said[0] += " contour-parallel"
	case f.OneWay:
		said[0] += " at " + work.AngleWords(f)
		said = append(said, "one way")
	default:
		said[0] += " at " + work.AngleWords(f)
		said = append(said, "both ways")
	}
	if f.Stretch {
		said[0] += ", stretched to whole rows"
	}
	if f.Skip > 1 {
		said = append(said, fmt.Sprintf("one row in %d first", f.Skip))
	}
	if f.Passes > 1 {
		said = append(said, words.Plural(f.Passes, "pass"))
	}
	if f.Passes > 1 && f.PassTurn != 0 {
		said[len(said)-1] += fmt.Sprintf(", each turned by %s degrees", words.Decimal(f.PassTurn, 3))
	}
	if f.Inset != 0 {
		said = append(said, "inset "+words.Decimal(f.Inset, 3)+" mm")
	}
	return said
}

// room says how much clearance the head needs, or what of its field the beam reaches.
func (b made) room() string {
	if b.Moves.ForGalvo() {
		f := b.Machine.Galvo.FieldMM
		text := fmt.Sprintf("%s of the %g x %g mm field", words.Size(b.Clock.Moves), f[0], f[1])
		if b.Moves.IsList() {
			return text
		}
		return text + ", whose middle is X0 Y0; its delays are the controller's own"
	}
	g := b.Machine.Gantry
	page, head := b.Art.Page, "none beyond the page"
	if sides := words.Sides(b.Clock.Moves, page, 1); sides != "" {
		head = "beyond the page " + sides
	}
	zero := "zero set by hand"
	if g.Zero == machine.ZeroBed {
		zero = fmt.Sprintf("zero on the bed, the page's corner at X%s Y%s", words.Decimal(page.Min.X, 3),
			words.Decimal(page.Min.Y, 3))
	}
	if b.Shifted {
		zero += ", moved there to make room for the run-up"
	}
	return fmt.Sprintf("%s, on a %g x %g mm bed; %s", head, g.BedMM[0], g.BedMM[1], zero)
}
