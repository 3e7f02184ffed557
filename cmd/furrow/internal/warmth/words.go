package warmth

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
)

// Lines tell the estimate on a screen, each with its head.
func (e *Estimate) Lines() [][2]string {
	lines := [][2]string{{"heat", e.riseWords()}}
	add := func(text string) { lines = append(lines, [2]string{"", text}) }
	if e.From == "" {
		add("how much of the beam the blank takes in is not known: from none to all of it")
	}
	if e.NotThin != "" {
		add("the blank is no thin plate: " + e.NotThin)
	}
	if e.Pulsed {
		add("what a single pulse does to its spot is another matter, which this does not tell")
	}
	for i, text := range e.warpWords() {
		lines = append(lines, [2]string{words.OnlyFirst("warp", i), text})
	}
	return lines
}

// riseWords tell the mean and, with the map, the hottest place.
func (e *Estimate) riseWords() string {
	text := e.between(e.Mean.Highest, "+") + " on average"
	if m := e.Map; m != nil {
		text += fmt.Sprintf(", hottest +%s K near X%s Y%s after %s", Kelvin(e.Most*m.Peak),
			words.Decimal(m.PeakAt.X, 0),
			words.Decimal(m.PeakAt.Y, 0), words.Time(words.Seconds(m.PeakS)))
	}
	return text + ", as " + e.Material.ID
}

// between words a rise of all of the beam as the range of what is taken in.
func (e *Estimate) between(k float64, sign string) string {
	if e.Least == e.Most {
		return sign + Kelvin(e.Most*k) + " K"
	}
	return fmt.Sprintf("%s%s to %s%s K", sign, Kelvin(e.Least*k), sign, Kelvin(e.Most*k))
}

// warpWords compare how much warmer the plate is than its rim with what makes a
// plate bow, and promise nothing.
func (e *Estimate) warpWords() []string {
	if e.FreeK == 0 || e.NotThin != "" {
		return nil
	}
	over, say := e.Most*e.OverRim(), "no sign of it"
	if over >= e.FreeK {
		say = "may bow"
	}
	how := "at most %s K"
	if e.Map != nil {
		how = "on average up to %s K"
	}
	return []string{
		fmt.Sprintf("%s: "+how+" warmer than its rim; held all round it bows from %s K (edges can turn) or %s K "+
			"(clamped)",
			say, Kelvin(over), Kelvin(e.FreeK), Kelvin(e.ClampedK)),
		"a loose plate is pressed less than a held one: an upper bound, not a promise",
	}
}

// Kelvin writes a rise as finely as an estimate deserves.
func Kelvin(k float64) string {
	if k < 9.95 {
		return words.Number(k, 1)
	}
	return words.Number(k, 0)
}

// Figures are the estimate for programs: ranges are of the least and the most that is
// taken in.
type Figures struct {
	Material  string      `json:"material"`
	Absorbed  [2]float64  `json:"absorbed_fraction"`
	From      string      `json:"absorbed_from"` // recipe, material or not known
	MeanK     [2]float64  `json:"mean_highest_k"`
	EndK      [2]float64  `json:"mean_at_end_k"`
	HottestK  *[2]float64 `json:"hottest_k,omitempty"`
	HottestAt *[2]float64 `json:"hottest_at_mm,omitempty"`
	HottestS  float64     `json:"hottest_after_s,omitempty"`
	Ends      []GroupEnd  `json:"group_ends,omitempty"`
	OverRimK  [2]float64  `json:"mean_over_rim_k"`
	Bound     bool        `json:"mean_over_rim_is_bound"`
	BowsK     *[2]float64 `json:"held_plate_bows_k,omitempty"` // edges that can turn, clamped
	NotThin   string      `json:"not_thin,omitempty"`
	Pulsed    bool        `json:"pulses_left_out,omitempty"`
}

// GroupEnd is the state of the plate when a group is done.
type GroupEnd struct {
	Group       string     `json:"group"`
	AtS         float64    `json:"at_s"`
	MeanK       [2]float64 `json:"mean_k"`
	DifferenceK [2]float64 `json:"difference_k"`
}

// Figures returns the estimate for programs; nil of nil.
func (e *Estimate) Figures() *Figures {
	if e == nil {
		return nil
	}
	f := Figures{
		Material: e.Material.ID, Absorbed: e.span(1), From: e.From, MeanK: e.span(e.Mean.Highest),
		EndK:     e.span(e.Mean.End),
		OverRimK: e.span(e.OverRim()), Bound: e.Map == nil, NotThin: e.NotThin, Pulsed: e.Pulsed,
	}
	if f.From == "" {
		f.From = "not known"
	}
	if e.FreeK > 0 {
		f.BowsK = &[2]float64{e.FreeK, e.ClampedK}
	}
	if m := e.Map; m != nil {
		hottest := e.span(m.Peak)
		f.HottestK, f.HottestAt, f.HottestS = &hottest, &[2]float64{m.PeakAt.X, m.PeakAt.Y}, m.PeakS
		for i, end := range m.Ends {
			group := "all"
			if i < len(e.Groups) {
				group = e.Groups[i]
			}
			f.Ends = append(f.Ends, GroupEnd{Group: group, AtS: end.AtS, MeanK: e.span(end.Mean),
				DifferenceK: e.span(end.Difference())})
		}
	}
	return &f
}

func (e *Estimate) span(k float64) [2]float64 { return [2]float64{e.Least * k, e.Most * k} }

// Rise words the highest mean rise for a table, K, and a dash where it is not known.
func (f *Figures) Rise() string {
	switch {
	case f == nil:
		return "-"
	case f.MeanK[0] == f.MeanK[1]:
		return Kelvin(f.MeanK[1])
	}
	return Kelvin(f.MeanK[0]) + " to " + Kelvin(f.MeanK[1])
}
