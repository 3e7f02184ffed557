package order

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Words of a summary.
func TestWordsOfAnOrder(t *testing.T) {
	o := bare(t, "example-co2", 1, 1, 1, 1, 1)
	require.Equal(t, "5 parts", o.partsWords())
	o.Numbers = []int{2}
	require.Equal(t, "part 2 of 5", o.partsWords())
	o.Numbers = []int{1, 2, 3, 5}
	require.Equal(t, "parts 1 to 3, 5 of 5", o.partsWords())
	require.True(t, o.FirstArticle())
	no := false
	o.Job.Order.FirstArticle = &no
	require.False(t, o.FirstArticle())
	require.False(t, bare(t, "example-co2", 1).FirstArticle())

	require.Equal(t, "2:00 marking; loading time not included", o.timeWords(Written{Marking: 2 * time.Minute}))
	require.Equal(t, "2:00 marking and 0:30 loading: 2:30 in all",
		o.timeWords(Written{Marking: 2 * time.Minute, Loading: 30 * time.Second}))
	for want, c := range map[string]product.Changes{
		"new, 1 file": {Fresh: true, Added: []string{"a"}}, "nothing changed": {Same: []string{"a"}},
		"new a, b; rewritten c; removed d": {Added: []string{"a", "b"}, Altered: []string{"c"},
			Taken: []string{"d"}},
		"rewritten c": {Altered: []string{"c"}},
	} {
		require.Equal(t, want, changeWords(c))
	}
	require.Equal(t, "30 x 20 mm", o.blankWords())
	o.Blank.Size = pt(30.126, 20.134)
	require.Equal(t, "30.13 x 20.13 mm", o.blankWords())
	o.Blank.Size = pt(30, 20)
	thick := value.Length(1.25)
	o.Job.Blank.Thickness, o.Job.Blank.Material = &thick, "slate"
	require.Equal(t, "30 x 20 x 1.25 mm, slate", o.blankWords())

	require.Equal(t, "one blank at a time", o.fixtureWords())
	require.Equal(t, "X0 Y0 set by hand to the lower-left corner of the blank", o.zeroWords())
	two := value.Count(2)
	o.Job.Fixture.Columns, o.Job.Fixture.Skip, o.Skipped = &two, []int{4}, []int{2}
	o.Pockets = []fixture.Pocket{{Number: 3, At: pt(1.25, -2)}, {Number: 5}}
	require.Equal(t, "2 pockets; the lower-left corner of pocket 3 at X1.25 Y-2 mm; pockets 2, 4 stay empty",
		o.fixtureWords())
	require.Equal(t, "X0 Y0 set by hand; the pockets are measured from there", o.zeroWords())
	o.Machine.Gantry.Zero = "bed"
	require.Equal(t, "X0 Y0 is that of the bed", o.zeroWords())
	require.Equal(t, "the middle of the field", bare(t, "example-fibre").zeroWords())

	day := func(text string) (d value.Date) {
		require.NoError(t, d.UnmarshalText([]byte(text)))
		return d
	}
	due := day("2026-12-18")
	require.Empty(t, o.due())
	require.Empty(t, o.Late(day("2030-01-01")))
	o.Job.Order.Due = &due
	require.Equal(t, "2026-12-18", o.due())
	require.Empty(t, o.Late(due))
	require.Empty(t, o.Late(day("2026-12-17")))
	require.Equal(t, "the order was due on 2026-12-18", o.Late(day("2026-12-19")))
	change := value.Number(2.5)
	require.Zero(t, o.loading())
	o.Job.Order.Loading = &change
	require.Equal(t, 2500*time.Millisecond, o.loading())
	require.Empty(t, o.recipeWords())
}

// The head needs what its moves go beyond the blanks that are there.
func TestClearance(t *testing.T) {
	o := bare(t, "example-co2", 1, 1)
	m := Made{Load: Load{Load: fixture.Load{Seats: []fixture.Seat{{Part: 1, Pocket: fixture.Pocket{At: pt(0, 0)}},
		{Part: 2, Pocket: fixture.Pocket{At: pt(40, 0), Turn: 90}}}}}}
	m.Clock.Moves = rect(0, 0, 60, 30)
	require.Equal(t, "the head stays within the blanks", o.clearance(m))
	m.Clock.Moves = rect(-4, 0, 60, 30)
	require.Contains(t, o.clearance(m), "beyond the blanks the head needs 4.0 mm left")
	m.Clock.Marks = rect(0, 0, 50, 12.5)
	galvo := bare(t, "example-fibre")
	require.Equal(t, "50.0 x 12.5 mm of the 175 x 175 mm field", galvo.clearance(m))
	galvo.Machine.Galvo.FieldMM = [2]float64{175, 110}
	require.Equal(t, "50.0 x 12.5 mm of the 175 x 110 mm field", galvo.clearance(m))
}

// What stands for what a job does not say, and how a bed that is too small is told.
func TestWordsForWhatIsNotSaid(t *testing.T) {
	o := bare(t, "example-co2")
	o.One.Job.Artwork.File = "dir/tag.svg"
	require.Equal(t, "tag.svg", o.title())
	name := "tree tags"
	o.Job.Order.Name = &name
	require.Equal(t, "tree tags", o.title())
	o.Recipe = &settings.Recipe{Recipe: machine.Recipe{ID: "slate", Material: "black slate"}}
	require.Equal(t, "slate: slate, black slate, invented example", o.recipeWords())
	o.Machine.Laser.FocusHeightMM = 52.5
	o.Fills = make([]job.ResolvedFill, 1)
	require.Equal(t, "on the material's surface, at a height of 52.5 mm", o.focusWords(0))
	const rest = " of the fixture, or a smaller pitch; fixture.fill = true lays out as many as fit"
	for want, travel := range map[string]path.Rect{
		"fewer columns": rect(0, 0, 601, 400), "fewer rows": rect(0, 0, 600, 401),
		"fewer columns and fewer rows": rect(0, 0, 601, 401),
	} {
		require.Equal(t, want+rest, o.fewer(&emit.BedError{Bed: rect(0, 0, 600, 400), Travel: travel}))
	}
	require.Equal(t, filepath.Join("out", "kept", "a.svg"), Old{Dir: "out"}.Inside(InputFile{Kept: "kept/a.svg"}))
	other := errors.New("other")
	require.Equal(t, other, o.wrong(other))
	require.NoError(t, o.wrong(nil))
}

// Half a percent of a minute is 0.3 s, and is told in steps of half a second.
func TestHowMuchLonger(t *testing.T) {
	for by, want := range map[time.Duration]string{
		-time.Second: "as long", 0: "as long", 200 * time.Millisecond: "as long", 300 * time.Millisecond: "0.5 s more",
		7 * time.Second: "7 s more",
	} {
		require.Equal(t, want, longer(by, time.Minute), by)
	}
}
