package swatch

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
)

// card makes the card of a word.
func card(t *testing.T, word string, r Request) []Card {
	t.Helper()
	c, err := CalibrationOf(word)
	require.NoError(t, err)
	cards, err := c.Make(r)
	require.NoError(t, err)
	return cards
}

func refused(t *testing.T, word, want string, r Request) {
	t.Helper()
	c, err := CalibrationOf(word)
	require.NoError(t, err)
	_, err = c.Make(r)
	require.ErrorContains(t, err, want)
}

// A beam is twice as wide at the root of 3 times the Rayleigh length, pi d2 / (4 M2 lambda)
// (ISO 11146-1): of 0.15 mm at 10.6 um 2.89 mm, of 0.08 mm at 450 nm 19.3 mm, of 0.06 mm
// at 1064 nm 4.60 mm; heights go a third of that from step to step, in tenths of a mm. A
// gantry gets a file for each height, a galvo waits.
func TestFocusCard(t *testing.T) {
	steps := map[string]float64{"example-co2": 1, "example-diode": 6.4, "example-fibre": 1.5}
	for machine, step := range steps {
		f := plain(100, 50, 0.2)
		if machine == "example-fibre" {
			f.Frequency = &value.Frequency{Hz: 50_000}
		}
		cards := card(t, "focus", Request{Machine: machine, Fill: f})
		s := cards[0].Spec
		require.Equal(t, "focus", s.Kind)
		values(t, []float64{-3 * step, -2 * step, -step, 0, step, 2 * step, 3 * step}, s.Rows)
		values(t, []float64{0, 90}, s.Columns)
		require.Equal(t, 1.0, s.Fill.Spacing.MM)
		require.Equal(t, value.Count(1), *s.Fill.Passes)
		require.InDelta(t, 0, float64(*s.Fill.Cross)+float64(*s.Fill.PassTurn), 0)
		require.Nil(t, s.Fill.MarkWidth)
		if machine == "example-fibre" {
			require.Len(t, cards, 1)
			_, ok := cards[0].Height()
			require.False(t, ok, "it has several")
			var holds int
			for _, p := range cards[0].sequence() {
				if p.Hold {
					holds++
				}
			}
			require.Equal(t, 7, holds)
			continue
		}
		require.Len(t, cards, 7)
		for i, c := range cards {
			require.Equal(t, [2]int{i + 1, 7}, [2]int{c.Number, c.Of})
			require.Len(t, c.Patches, 2)
			mm, ok := c.Height()
			require.True(t, ok)
			require.InDelta(t, float64(i-3)*step, mm, 1e-9)
			require.Equal(t, i == 0, len(c.Labels) > 0, "lettered once")
			require.Equal(t, fmt.Sprintf("B%d", i+1), c.Patches[1].Name)
			require.Zero(t, c.Patches[1].stop)
		}
	}
	_, ok := Card{}.Height()
	require.False(t, ok)
	_, ok = card(t, "width", Request{Machine: "example-co2", Fill: plain(100, 50, 1)})[0].Height()
	require.False(t, ok)
	refused(t, "focus", "--columns: the card for focus varies angle there, not speed",
		Request{Machine: "example-co2", Columns: axis(t, "speed=1,2"), Fill: plain(100, 50, 1)})
	refused(t, "focus", "--rows: the card for focus varies focus there, not speed",
		Request{Machine: "example-co2", Rows: axis(t, "speed=1,2"), Fill: plain(100, 50, 1)})
	given := card(t, "focus", Request{Machine: "example-co2", Rows: axis(t, "focus=1,2"), Columns: axis(t, "angle=45"),
		Fill: plain(100, 50, 1)})
	require.Len(t, given, 2)
	values(t, []float64{45}, given[0].Spec.Columns)
}

// What a card has of its own need not be given, and is not told as fixed: the lines of the
// focus card lie a millimetre apart, each comb has its power, and a ramp no rows.
func TestWhatCardsHaveOfTheirOwn(t *testing.T) {
	f := job.Fill{Speed: number(100), Power: number(50)}
	require.Equal(t, 1.0, card(t, "focus", Request{Machine: "example-co2", Fill: f})[0].Spec.Fill.Spacing.MM)
	for word, fixed := range map[string]string{"reversal": "spacing 0.2 mm", "ramp": "speed 100 mm/s, power 50 %"} {
		f.Spacing = &value.Spacing{MM: 0.2}
		require.Equal(t, fixed, fixedWords(card(t, word, Request{Machine: "example-co2", Fill: f})[0].Spec), word)
	}
}

// Spacings fall by equal ratios from three spots to two fifths of one, in micrometres.
func TestWidthCard(t *testing.T) {
	s := card(t, "width", Request{Machine: "example-co2", Fill: plain(100, 50, 1)})[0].Spec
	values(t, []float64{0.45, 0.36, 0.288, 0.23, 0.184, 0.147, 0.117, 0.094, 0.075, 0.06}, s.Columns)
	require.True(t, s.Columns.Ratios)
	values(t, []float64{0, 90}, s.Rows)
	s = card(t, "width", Request{Machine: "example-diode", Fill: job.Fill{Speed: number(100),
		Power: number(50)}})[0].Spec
	require.InDelta(t, 0.36, s.Columns.Values[0], 1e-9, "of the wider way of the spot, 0.12 mm")
	require.InDelta(t, 0.048, s.Columns.Values[9], 1e-9)
	refused(t, "width", "--rows: the card for width varies angle there, not spacing",
		Request{Machine: "example-co2", Rows: axis(t, "spacing=0.1mm,0.2mm"), Fill: plain(100, 50, 1)})
}

// Each patch has the dose of full power at 200 mm/s, if the source gives the share of its
// row: 80 % of which 115 % are given are marked at 200 x 0.8 x 1.15 = 184 mm/s. Column A is
// full power all the way down.
func TestPowerCard(t *testing.T) {
	c := card(t, "power", Request{Machine: "example-co2", Fill: plain(100, 50, 0.2)})[0]
	values(t, []float64{100, 80, 60, 50, 40, 30, 20, 10}, c.Spec.Columns)
	values(t, []float64{130, 115, 100, 90, 80, 70, 60, 50, 40}, c.Spec.Rows)
	require.Len(t, c.Patches, 72)
	for i, p := range c.Patches {
		percent, share := c.Spec.Columns.Values[i%8], c.Spec.Rows.Values[i/8]
		require.InDelta(t, percent, float64(*p.Fill.Power), 1e-9)
		if i%8 == 0 {
			share = 100
		}
		require.InDelta(t, 2*percent*share/100, float64(*p.Fill.Speed), 1e-3, p.Name)
	}
	require.NotContains(t, fixedWords(c.Spec), "speed")
	_, rows := tableOf([]Made{{Card: c}})
	require.Equal(t, []string{"B1", "80", "130"}, rows[1][:3], "the list has the share too")
	require.Equal(t, []string{"H9", "10", "40"}, rows[71][:3])
	// No faster than the machine at 130 %; 100 % comes first, whatever is asked for.
	c = card(t, "power", Request{Machine: "example-co2", Fill: plain(300, 50, 0.2),
		Columns: axis(t, "power=50,25,100")})[0]
	values(t, []float64{100, 50, 25}, c.Spec.Columns)
	require.InDelta(t, 500/1.3, float64(*c.Patches[0].Fill.Speed), 1e-3)
	c = card(t, "power", Request{Machine: "example-co2", Fill: plain(100, 50, 0.2), Columns: axis(t, "power=50,25"),
		Rows: axis(t, "share=100")})[0]
	values(t, []float64{100, 50, 25}, c.Spec.Columns)
	refused(t, "power", "the card needs a power that marks the material at that speed",
		Request{Machine: "example-co2", Fill: job.Fill{Speed: number(200), Spacing: &value.Spacing{MM: 1}}})
	refused(t, "power", "no speed", Request{Machine: "example-co2", Fill: job.Fill{Power: number(20),
		Spacing: &value.Spacing{MM: 1}}})
	refused(t, "power", "--rows: the card for power varies share there, not speed",
		Request{Machine: "example-co2", Rows: axis(t, "speed=1,2"), Fill: plain(100, 50, 1)})
}

// The share of a power is of that card's rows alone.
func TestShareIsNoSetting(t *testing.T) {
	r := Request{Machine: "example-co2", Fill: plain(100, 50, 0.2), Columns: axis(t, "share=50,200")}
	for range 2 {
		_, err := Grid(spec(t, r))
		require.EqualError(t, err, "share is no setting to vary")
		r.Columns, r.Rows = axis(t, "speed=1,2"), r.Columns
	}
	require.EqualError(t, new(Letters).Set("share=50"), "share is no setting of the lettering")
	require.ErrorContains(t, new(Axis).Set("share=0.5,90"), "0.5 is out of range: use 1 to 200 percent")
	require.Error(t, new(Axis).Set("share=90,201"))
}

// At another speed the power keeps the dose, in tenths of a percent rounded up, between
// what the source has at the least and all of it.
func TestPowerThatKeepsTheDose(t *testing.T) {
	s := Spec{Machine: found(t, "example-co2"), Fill: plain(300, 45, 1)}
	for speed, want := range map[float64]float64{75: 11.3, 600: 90, 900: 100, 150: 22.5, 3: 1} {
		f := s.atDose(speed)
		require.InDelta(t, want, float64(*f.Power), 1e-9, speed)
		require.InDelta(t, speed, float64(*f.Speed), 0)
	}
	s.Machine.Laser.FloorPercent = 15
	require.InDelta(t, 15, float64(*s.atDose(75).Power), 0)
	s.Fill.Power = nil
	require.Nil(t, s.atDose(75).Power)
	require.Equal(t, []float64{2.5, 5}, axisOf("speed", 2.5, 2.5001, 5).Values)
}

// Each card is found by its word, and says how it is read with the names that it has.
func TestCalibrationsAndReadings(t *testing.T) {
	var words []string
	f := File{Machine: "my-galvo", Recipe: "slate", Patches: []Record{{Name: "A1"}, {Name: "B1"}, {Name: "C1"}}}
	for _, c := range Calibrations() {
		words = append(words, c.Word)
		text := strings.Join(c.Reading(f, "card.toml"), "\n")
		require.Contains(t, text, "furrow machines set my-galvo ", c.Word)
	}
	require.Equal(t, []string{"focus", "width", "ramp", "reversal", "delays", "power"}, words)
	_, err := CalibrationOf("spot")
	require.EqualError(t, err, `swatch: unknown card "spot"`)
	text := strings.Join(Reading(f, "card.toml"), "\n")
	require.Contains(t, text, "furrow recipes save NAME --from card.toml --patch B1")
	require.Contains(t, text, "furrow swatch --finer B1 --from card.toml -o FINER")
	f.Rows = &AxisRecord{Setting: "speed", Values: []float64{20, 82.5}}
	require.Contains(t, strings.Join(reversalReading(f, ""), "\n"), " --reversal 20=OFFSET,82.5=OFFSET")
	require.Equal(t, " (the card is of slate)", ofRecipe(f))
	require.Empty(t, ofRecipe(File{}))
	for _, d := range delays {
		require.Contains(t, strings.Join(delaysReading(f, ""), "\n"),
			fmt.Sprintf("%s: furrow machines set my-galvo %s=VALUE", d.read, d.key))
	}
}

// Each card says on itself how it is read.
func TestCardsSayHowTheyAreRead(t *testing.T) {
	for _, c := range Calibrations() {
		r := Request{Machine: "example-co2", Fill: plain(200, 45, 0.1)}
		if c.Word == "delays" {
			r = Request{Machine: "example-fibre", Fill: withPulses(plain(1000, 50, 0.1))}
		}
		var said strings.Builder
		for _, l := range card(t, c.Word, r)[0].Labels {
			said.WriteString(l.Text + "\n")
		}
		require.Contains(t, said.String(), "read: ", c.Word)
	}
}

// The files of a card's heights go by rising steps, whichever patch of it comes first.
func TestFilesOfHeights(t *testing.T) {
	c := Card{Spec: Spec{Machine: found(t, "example-co2")}, Labels: make([]Label, 1), Out: make([]Left, 1),
		Lines:   make([]Polyline, 1),
		Patches: []Patch{{Name: "B1", stop: 2}, {Name: "C1", stop: 3}, {Name: "A2", stop: 1}, {Name: "B2", stop: 2}}}
	var names []string
	for i, one := range byHeight([]Card{c}) {
		require.Equal(t, [2]int{i + 1, 3}, [2]int{one.Number, one.Of})
		require.Equal(t, i == 0, len(one.Labels)+len(one.Out)+len(one.Lines) > 0)
		var here []string
		for _, p := range one.Patches {
			here = append(here, p.Name)
			require.Zero(t, p.stop)
		}
		names = append(names, strings.Join(here, " "))
	}
	require.Equal(t, []string{"A2", "B1 B2", "C1"}, names)
	require.Equal(t, 2, c.Patches[0].stop, "the card stays")
	c.Spec.Machine = found(t, "example-fibre")
	require.Len(t, byHeight([]Card{c}), 1)
}
