package order

import (
	"testing"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/path"
	"furrow/raster/paper"

	"github.com/stretchr/testify/require"
)

// What is said of so many of a number of parts.
func TestWordsOfAComparison(t *testing.T) {
	before, after := bare(t, "example-co2", 1, 1, 1, 1, 1, 1), bare(t, "example-co2", 1, 1, 1, 1, 1, 1)
	said := func(figures bool, c comparison) []string {
		c.before, c.after = before, after
		return c.words(figures)
	}
	const look = ", though time, dose, size and place of those of part 1 all stay the same: look at it (furrow preview)"
	for i, tt := range []struct {
		figures bool
		c       comparison
		want    []string
	}{
		{false, comparison{parts: 6, same: 6}, []string{"the marks of all 6 parts stay the same"}},
		{false, comparison{parts: 1, same: 1}, []string{"the marks of the part stay the same"}},
		{false, comparison{parts: 6, same: 5, marks: []int{2}}, []string{
			"part 2 has other marks, or another sequence of them", "the marks of the other 5 parts stay the same"}},
		{false, comparison{parts: 6, same: 1, marks: []int{1, 2, 3, 4, 6}}, []string{
			"5 of 6 parts (1 to 4, 6) have other marks, or another sequence of them" + look,
			"the marks of the other part stay the same"}},
		{true, comparison{parts: 6, marks: []int{1, 2, 3, 4, 5, 6}}, []string{
			"all 6 parts have other marks, or another sequence of them"}},
		{false, comparison{parts: 1, marks: []int{1}}, []string{
			"part 1 has other marks, or another sequence of them" + look}},
		{false, comparison{parts: 6, uncompared: []int{1}}, []string{"1 part not compared: 1"}},
		{false, comparison{}, nil},
	} {
		require.Equal(t, tt.want, said(tt.figures, tt.c), i)
	}
	after.Numbers = []int{2, 3}
	require.Equal(t, []string{"2 parts instead of 6", "part 1 has other marks, or another sequence of them"},
		said(false, comparison{parts: 2, marks: []int{1}}), "not the first that is made")
	after.Machine.Gantry.BedMM[0]++
	require.Equal(t, []string{"2 parts instead of 6", "what is asked for on all 2 parts stays the same, and the profile " +
		"is another in what alters the marks or their safety"}, said(false, comparison{parts: 2, same: 2}))
}

// Of scattered numbers the first five are told, of parts that read otherwise the first three.
func TestFewOfMany(t *testing.T) {
	require.Equal(t, "1, 3, 5, 7, 9", few([]int{1, 3, 5, 7, 9}))
	require.Equal(t, "1, 3, 5, 7, 9 and 2 more", few([]int{1, 3, 5, 7, 9, 11, 13}))
	require.Equal(t, "1 to 90", few(upTo(90)))
	text := func(all ...string) (facts []paper.Fact) {
		for _, s := range all {
			facts = append(facts, paper.Fact{Label: "name", Text: s})
		}
		return facts
	}
	c := comparison{before: bare(t, "example-co2", 1, 2, 3, 4, 5), after: bare(t, "example-co2", 1, 2, 3, 4, 5), parts: 5}
	for n, texts := range [][2][]paper.Fact{
		{text("oak"), text("ash")}, {text("oak", "1990"), text("elm", "1990")}, {text("oak", "a"), text("ash", "b")},
		{text("oak"), nil}, {nil, text("fir", "b")},
	} {
		p, q := c.before.parts[n+1], c.after.parts[n+1]
		p.Texts, q.Texts = texts[0], texts[1]
		c.before.parts[n+1], c.after.parts[n+1] = p, q
	}
	const first = `part 1 reads "ash" instead of "oak", part 2 reads "elm" instead of "oak", part 3 reads "ash" and "b" ` +
		`instead of "oak" and "a"`
	const fourth = `part 4 reads nothing of its own instead of "oak"`
	for want, reads := range map[string][]int{
		fourth: {4},
		`part 5 reads "fir" and "b" instead of nothing of its own`:                    {5},
		"3 of 5 parts read otherwise: " + first:                                       {1, 2, 3},
		"all 5 parts read otherwise: " + first + " and 2 more":                        {1, 2, 3, 4, 5},
		`2 of 5 parts read otherwise: part 1 reads "ash" instead of "oak", ` + fourth: {1, 4},
	} {
		c.reads = reads
		require.Equal(t, want, c.readWords())
	}
}

func upTo(n int) (all []int) {
	for i := range n {
		all = append(all, i+1)
	}
	return all
}

// Programs are alike to the last point, setting, stroke and rest.
func TestAlikePrograms(t *testing.T) {
	made := func(change func(*path.Program)) path.Program {
		p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1}}, Rests: []path.Rest{{Before: 1, For: 2}}}
		p.Append(path.Stroke{}, pt(0, 0), pt(1, 0))
		if change != nil {
			change(&p)
		}
		return p
	}
	require.True(t, alike(made(nil), made(nil)))
	for i, change := range []func(*path.Program){
		func(p *path.Program) { p.Settings[0].Power = 0.5 }, func(p *path.Program) { p.Points[1].Y = 1e-9 },
		func(p *path.Program) { p.Strokes[0].Sweep = 1 }, func(p *path.Program) { p.Rests[0].For++ },
		func(p *path.Program) { p.Rests = nil },
	} {
		require.False(t, alike(made(nil), made(change)), i)
	}
}

// Pockets are told by their numbers, or by how many there are.
func TestWherePocketsLieElsewhere(t *testing.T) {
	before, after := bare(t, "example-co2"), bare(t, "example-co2")
	before.Pockets = []fixture.Pocket{{Number: 1}, {Number: 3, At: pt(40, 0)}}
	after.Pockets = []fixture.Pocket{{Number: 1}, {Number: 3, At: pt(40, 0)}}
	require.Empty(t, before.liesElsewhere(after))
	after.Pockets[1].Turn = 180
	require.Equal(t, []string{"1 pocket elsewhere: 3"}, before.liesElsewhere(after))
	after.Pockets[0].At = pt(0, 0.001)
	after.Blank.Size = pt(30, 21)
	require.Equal(t, []string{"a blank is 30 x 21 mm instead of 30 x 20 mm", "2 pockets elsewhere: 1, 3"},
		before.liesElsewhere(after))
	after.Pockets = after.Pockets[:1]
	require.Equal(t, []string{"a blank is 30 x 21 mm instead of 30 x 20 mm", "1 pocket instead of 2"},
		before.liesElsewhere(after))
}
