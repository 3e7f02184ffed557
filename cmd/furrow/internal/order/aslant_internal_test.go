package order

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
)

// A file tells of blanks that lie aslant by their middle and their turn, of those that lie along
// X and Y and of circles by the rectangle that they take. An oval of 60 x 20 mm at 30 degrees takes
// 52.915 x 34.641 mm from 5,7 on, so that its middle is at 31.458,24.321, a rectangle 61.962 x
// 47.321 mm, and then its middle is at 35.981,30.660.
func TestBlanksThatLieAslant(t *testing.T) {
	for _, tt := range []struct {
		blank fixture.Blank
		turn  float64
		said  string
	}{
		{fixture.Blank{Size: pt(60, 60), Round: true}, 45, "round blank 60 x 60 mm at X5 Y7, bleed 0.5 mm"},
		{fixture.Blank{Size: pt(60, 20), Round: true}, 30,
			"round blank 60 x 20 mm about X31.458 Y24.321, turned by 30 degrees, bleed 0.5 mm"},
		{fixture.Blank{Size: pt(60, 20), Round: true}, 90, "round blank 20 x 60 mm at X5 Y7, bleed 0.5 mm"},
		{fixture.Blank{Size: pt(60, 20)}, 210,
			"blank 60 x 20 mm about X35.981 Y30.66, turned by 30 degrees, bleed 0.5 mm"},
		{fixture.Blank{Size: pt(60, 20)}, -90, "blank 20 x 60 mm at X5 Y7, bleed 0.5 mm"},
		{fixture.Blank{Size: pt(60, 20)}, 360, "blank 60 x 20 mm at X5 Y7, bleed 0.5 mm"},
	} {
		o := &Order{Blank: tt.blank}
		l := Load{Load: fixture.Load{Seats: []fixture.Seat{{Part: 1,
			Pocket: fixture.Pocket{Number: 1, At: path.Point{X: 5, Y: 7}, Turn: tt.turn}}}}}
		require.Empty(t, o.blanks(l), "of a size that is not known")
		o.Job.Blank.Width, o.Job.Blank.Height = value.Given(value.Length(60)), value.Given(value.Length(20))
		o.Job.Blank.Bleed = value.Given(value.Length(0.5))
		told := o.blanks(l)
		require.Len(t, told, 1)
		require.Equal(t, tt.said, told[0].Comment())
	}
	for i := range 500 { // wherever it lies, its width and height come out alike
		p := fixture.Pocket{At: pt(0.1*float64(i), 0.37*float64(i)), Turn: 30}
		require.Zero(t, level(p.Form(fixture.Blank{Size: pt(33.3, 33.3), Round: true})).Turn)
	}
}

// Where a pocket has no corner to measure from the sheet names its middle: that of a circle of 60
// mm from 5,7 on is 35,37.
func TestMiddleOfAPocket(t *testing.T) {
	o := &Order{Blank: fixture.Blank{Size: pt(60, 60), Round: true}}
	o.Job.Fixture.Columns = value.Given(value.Count(1))
	o.Pockets = []fixture.Pocket{{Number: 1, At: pt(5, 7)}}
	require.Equal(t, "1 pocket; the middle of pocket 1 at X35 Y37 mm", o.fixtureWords())
	o.Blank.Round = false
	require.Equal(t, "1 pocket; the lower-left corner of pocket 1 at X5 Y7 mm", o.fixtureWords())
	o.Pockets[0].Turn = 45 // 60·√2/2 = 42.426 from the corner of its room
	require.Equal(t, "1 pocket; the middle of pocket 1 at X47.426 Y49.426 mm; each blank turned by 45 degrees "+
		"counter-clockwise", o.fixtureWords())
}

// The sheet says how blanks lie that are turned, by their pockets where they differ.
func TestTurnsInWords(t *testing.T) {
	for want, turns := range map[string][]float64{
		"": {0, 360, -360},
		"; each blank turned by 30 degrees counter-clockwise":     {30, 390, -330},
		"; turned by 180 degrees counter-clockwise: pockets 2, 4": {0, 180, 0, 180},
		"; turned by 12.5 degrees counter-clockwise: pocket 1; turned by 90 degrees counter-clockwise: pockets 2, 3": {
			12.5, 90, 90, 0},
		"; blanks turned as the picture shows": {0, 10, 20, 30},
	} {
		o := &Order{}
		for i, turn := range turns {
			o.Pockets = append(o.Pockets, fixture.Pocket{Number: i + 1, Turn: turn})
		}
		require.Equal(t, want, o.turnWords())
	}
}
