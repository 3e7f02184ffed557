package order_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/raster/paper"

	"github.com/stretchr/testify/require"
)

// differences are those of two orders on a galvo, whose rows do not overtravel.
func differences(t *testing.T, before, after order.Input) []string {
	t.Helper()
	all, err := order.Differences(plan(t, before), plan(t, after))
	require.NoError(t, err)
	return all
}

// What another order would make is told part by part, by hand: a hundred millimetres of 40 %
// of 50 W at 100 mm/s in rows 1 mm apart are 20 J/cm2.
func TestDifferencesOfOrders(t *testing.T) {
	fibre := func(parts int, change func(*job.Job)) order.Input { return input(t, "example-fibre", parts, change) }
	clock := func(in order.Input) string { return words.Time(plan(t, in).One.Clock.Total()) }
	plain := func() order.Input { return fibre(3, nil) }
	fast := fibre(3, func(j *job.Job) { j.Fill.Speed = value.Given(value.Number(200)) })
	moved := `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="3" y="6" width="10" height="10"/></svg>`
	high := strings.Replace(square, `width="10" height="10"`, `width="10" height="12"`, 1)
	split := strings.Replace(square, `<rect x="2" y="6" width="10" height="10"/>`,
		`<rect x="2" y="6" width="2" height="10"/><rect x="4" y="6" width="8" height="10"/>`, 1)
	for name, tt := range map[string]struct {
		before, after order.Input
		want          []string
	}{
		"nothing":  {plain(), plain(), []string{"the marks of all 3 parts stay the same"}},
		"one part": {fibre(1, nil), fibre(1, nil), []string{"the marks of the part stay the same"}},
		"speed": {plain(), fast, []string{
			fmt.Sprintf("a part takes %s instead of %s", clock(fast), clock(plain())),
			"hatch gets 10 J/cm2 instead of 20", "all 3 parts have other marks, or another sequence of them",
		}},
		"quantity": {plain(), fibre(5, nil), []string{"5 parts instead of 3", "the marks of all 3 parts stay the same"}},
		"place": {plain(), of(t, plain(), moved), []string{
			"the marks lie at X -7 to 3, Y -5.5 to 3.5 instead of X -8 to 2, Y -5.5 to 3.5",
			"all 3 parts have other marks, or another sequence of them",
		}},
		"size": {of(t, plain(), high), plain(), []string{
			fmt.Sprintf("a part takes %s instead of %s", clock(plain()), clock(of(t, plain(), high))),
			"100.0 mm are marked instead of 120.0 mm", "the marks are 10.0 x 9.0 mm instead of 10.0 x 11.0 mm",
			"all 3 parts have other marks, or another sequence of them",
		}},
		"the same drawn otherwise": {plain(), of(t, plain(), split), []string{"the marks of all 3 parts stay the same"}},
		"pockets": {plain(), fibre(3, func(j *job.Job) { j.Fixture.Skip = []int{4} }), []string{
			"the marks of all 3 parts stay the same", "3 pockets instead of 4"}},
		"gap": {input(t, "example-co2", 3, nil),
			input(t, "example-co2", 3, func(j *job.Job) { j.Fixture.Gap = []value.Length{6, 5} }), []string{
				"the marks of all 3 parts stay the same", "2 pockets elsewhere: 2, 4"}},
		"across": {input(t, "example-co2", 3, nil),
			input(t, "example-co2", 3, func(j *job.Job) { j.Fixture.Sequence = value.Given("across") }), []string{
				"the marks of all 3 parts stay the same",
				"a load is marked row after row across parts instead of part after part"}},
		"waits": {fibre(3, func(j *job.Job) { j.Fixture.Hold = value.Given(true) }),
			plain(), []string{"the marks of all 3 parts stay the same",
				"a load is marked part after part instead of part after part, with waits between"}},
		"blank": {input(t, "example-co2", 1, nil),
			input(t, "example-co2", 1, func(j *job.Job) { j.Blank.Thickness = length(2) }), []string{
				"the marks of the part stay the same", "a blank is 20 x 20 x 2 mm instead of 20 x 20 mm"}},
	} {
		require.Equal(t, tt.want, differences(t, tt.before, tt.after), name)
	}
}

// Parts of looks of their own are judged by themselves, and those that were drawn of other
// artwork are made to be compared, but no more than fifty.
func TestDifferencesOfParts(t *testing.T) {
	looks := func(parts int, art func(look int) string) order.Input {
		in := input(t, "example-fibre", parts, nil)
		for i := range in.Source.Parts {
			in.Source.Parts[i].Look = i
			in.Source.Parts[i].Texts = []paper.Fact{{Label: "no", Text: fmt.Sprint(i + 1)}}
		}
		in.Source.Draw = func(look int) (work.Drawing, error) {
			return work.Read(strings.NewReader(art(look)), in.Resolved)
		}
		return in
	}
	same := func(int) string { return square }
	third := func(look int) string {
		return map[bool]string{true: strings.Replace(square, `x="2"`, `x="4"`, 1), false: square}[look == 2]
	}
	require.Equal(t, []string{"part 3 has other marks, or another sequence of them",
		"the marks of the other 3 parts stay the same"}, differences(t, looks(4, same), looks(4, third)))
	first := func(look int) string {
		return map[bool]string{true: strings.Replace(square, `height="10"`, `height="12"`, 1), false: square}[look == 0]
	}
	got := differences(t, looks(4, same), looks(4, first))
	require.Regexp(t, `^part 1 takes \S+( s)? instead of \S+( s)?$`, got[0])
	require.Equal(t, []string{"120.0 mm are marked instead of 100.0 mm",
		"the marks are 10.0 x 11.0 mm instead of 10.0 x 9.0 mm", "part 1 has other marks, or another sequence of them",
		"the marks of the other 3 parts stay the same"}, got[1:])
	after := looks(4, same)
	after.Source.Parts[1].Texts = []paper.Fact{{Label: "no", Text: "two"}}
	require.Equal(t, []string{`part 2 reads "two" instead of "2"`, "the marks of the other 3 parts stay the same"},
		differences(t, looks(4, same), after))
	after.Source.Draw = func(look int) (work.Drawing, error) {
		if look == 3 {
			return work.Drawing{}, fmt.Errorf("it cannot be drawn")
		}
		return work.Read(strings.NewReader(square), after.Resolved)
	}
	_, err := order.Differences(plan(t, looks(4, same)), plan(t, after))
	require.EqualError(t, err, "part 4: it cannot be drawn")
	// Of other words in the drawing that mark nothing the strokes tell that they are the same.
	hidden := func(look int) string { return strings.Replace(square, "</svg>", `<path d="M1 1h1"/></svg>`, 1) }
	require.Equal(t, []string{"2 parts not compared: 51, 52", "the marks of the other 50 parts stay the same"},
		differences(t, looks(52, same), looks(52, hidden)))
}

// No more are made of many strokes: of 100 stripes 10 mm high in rows 10 um apart a part has
// 200,000 points, so that the third comparison passes the million that are compared.
func TestDifferencesOfManyStrokes(t *testing.T) {
	stripes := func(y float64) order.Input {
		in := input(t, "example-fibre", 5, func(j *job.Job) {
			j.Fill.Spacing, j.Effort = &value.Spacing{MM: 0.01}, value.Given("none")
		})
		var all strings.Builder
		for i := range 100 {
			fmt.Fprintf(&all, `<path d="M%g %gv10h.05v-10z"/>`, 2+float64(i)/10, y)
		}
		art := strings.Replace(square, `<rect x="2" y="6" width="10" height="10"/>`, all.String(), 1)
		for i := range in.Source.Parts {
			in.Source.Parts[i].Look = i
		}
		in.Source.Draw = func(int) (work.Drawing, error) { return work.Read(strings.NewReader(art), in.Resolved) }
		return in
	}
	fine := differences(t, stripes(5), stripes(6))
	require.Equal(t, []string{"3 of 5 parts (1 to 3) have other marks, or another sequence of them",
		"2 parts not compared: 4, 5"}, fine[len(fine)-2:])
}
