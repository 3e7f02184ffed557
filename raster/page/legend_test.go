package page_test

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/page"
)

// key sets a key's words beside its sample of 1.8·40 = 72 px, and returns where the
// next one begins, 2·40 px further on.
func (p *plain) key(x, y float64, label string) float64 {
	p.word(ink, x+72+20, y+40, 0, label)
	return x + 72 + 20 + p.width(label) + 80
}

// Places are a cross, a disc or a circle at their millimetres, light below.
func TestPlacesStandAtTheirMillimetres(t *testing.T) {
	s := ruled()
	at := func(x, y float64) path.Rect {
		return path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x, Y: y}}
	}
	s.Frames = []page.Frame{
		{Rect: at(10, 20), Pattern: page.Cross, Label: "zero"},
		{Rect: at(20, 20), Pattern: page.Disc, Label: "begin"},
		{Rect: at(30, 20), Pattern: page.Circle, Label: "end"},
	}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+24+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	want.rulers(x0)
	y := 72 + 220 + 1.5
	cross := func(x, y, width float64, c color.RGBA) { // arms of 0.6·40
		want.box(c, x-24, y-width/2, 48, width)
		want.box(c, x-width/2, y-24, width, 48)
	}
	cross(x0+240+1.5, y, 12, paper)
	cross(x0+240+1.5, y, 6, ink)
	want.disc(paper, x0+440+1.5, y, 14)
	want.disc(ink, x0+440+1.5, y, 10)
	want.ring(paper, x0+640+1.5, y, 20, 12)
	want.ring(ink, x0+640+1.5, y, 20, 6)
	y = 72 + 600 + 112
	x := want.key(72, y, "zero")
	cross(72+36, y+10+18, 12, paper)
	cross(72+36, y+10+18, 6, ink)
	want.disc(ink, math.Floor(x)+36, y+10+18, 10)
	x = want.key(x, y, "begin")
	want.ring(ink, math.Floor(x)+36, y+10+18, 18, 6)
	want.key(x, y, "end")
	want.word(ink, 72, y+54+24+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// Keys of areas and of movement, which fill a line and go on in the next.
func TestKeysOfAreas(t *testing.T) {
	s := ruled()
	red := color.RGBA{200, 40, 60, 255}
	labels := []string{"areas that are marked twice by rows", "rows as wide as their mark is",
		"beam-off movement between the rows"}
	s.Keys = []page.Key{{page.Filled, red, labels[0]}, {page.Centred, red, labels[1]}, {page.Dotted, red, labels[2]}}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+2*54+24+54+60, 40)
	want.picture(got.Plot(), field)
	want.rulers(want.ruledLeft("mm"))
	y := 72 + 600 + 112.0
	want.box(red, 72, y+10, 72, 36)
	want.box(quiet, 72, y+10, 72, 3)
	want.box(quiet, 72, y+10+33, 72, 3)
	want.box(quiet, 72, y+10, 3, 36)
	want.box(quiet, 72+69, y+10, 3, 36)
	x := want.key(72, y, labels[0])
	want.box(red, math.Floor(x), y+10, 72, 36)
	want.box(table, math.Floor(x), y+10+18, 72, 3)
	end := want.key(x, y, labels[1])
	require.Greater(t, end+92+want.width(labels[2]), 72.0+1760, "no room in this line")
	want.line(red, 3, 72, y+54+10+18+1.5, 72+72, y+54+10+18+1.5, 3, 6)
	want.key(72, y+54, labels[2])
	want.word(ink, 72, y+2*54+24+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// scaled draws a scale's ramp of four colours from y on, 44·0.75·40 = 1320 px long and
// 0.9·40 high below its label, in a frame, with ticks of 0.35·40.
func (p *plain) scaled(y float64, ramp colour.Ramp, labels ...string) {
	for i, c := range ramp {
		p.box(c, 72+float64(330*i), y+54, 330, 36)
	}
	p.box(quiet, 72, y+54, 1320, 3)
	p.box(quiet, 72, y+54+33, 1320, 3)
	p.box(quiet, 72, y+54, 3, 36)
	p.box(quiet, 72+1317, y+54, 3, 36)
	for i, l := range labels {
		n := float64(len(labels) - 1)
		x := 72 + math.Round(1317*float64(i)/n)
		p.box(ink, x, y+90, 3, 14)
		along := 0.5
		switch i {
		case 0:
			along = 0
		case len(labels) - 1:
			along = 1
		}
		p.word(ink, x+1.5, y+90+12+40, along, l)
	}
}

var four = colour.Ramp{{0, 32, 77, 255}, {92, 109, 112, 255}, {160, 160, 80, 255}, {255, 234, 70, 255}}

// A scale of 0 to 25 and more, named, with the highest value at its right end.
func TestScaleIsLabelled(t *testing.T) {
	s := ruled()
	s.Scale = &page.Scale{Label: "density, lines/mm", Ramp: four, Top: 25, More: true, Note: "highest 31.4"}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+156+24+54+60, 40)
	want.picture(got.Plot(), field)
	want.rulers(want.ruledLeft("mm"))
	y := 72 + 600 + 112.0
	want.word(ink, 72, y+40, 0, "density, lines/mm")
	want.word(quiet, 72+1320, y+40, 1, "highest 31.4")
	want.scaled(y, four, "0", "5", "10", "15", "20", "25 +")
	want.word(ink, 72, y+54+90-36+12+54-18+24+40, 0, "tag.svg") // 0.3·40 and a line below the ramp, 0.6·40 to the next
	want.requireLike(t, got.Image())
	require.Equal(t, image.Rect(75, 841, 72+1317, 871), got.ScaleAt())
}

// A note that has no room beside the scale's name stands below; labels without room
// for their neighbours' half a letter's height are left out, but for the last.
func TestScaleWithoutRoom(t *testing.T) {
	s := ruled()
	long := "lines laid down on each millimetre across"
	note := "the highest value, for which there is no room, is 31.4"
	s.Scale = &page.Scale{Label: long, Ramp: four, Note: note, Ticks: []string{
		"none at all of it", "a quarter of it all", "a half of it, or nearly half", "three quarters", "everything",
	}}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+156+54+24+54+60, 40)
	want.picture(got.Plot(), field)
	want.rulers(want.ruledLeft("mm"))
	y := 72 + 600 + 112.0
	want.word(ink, 72, y+40, 0, long)
	want.scaled(y, four, "none at all of it", "", "a half of it, or nearly half", "", "everything")
	want.word(quiet, 72, y+156+40, 0, note)
	want.word(ink, 72, y+156+54+24+40, 0, "tag.svg")
	require.Greater(t, want.width(long)+want.width(note)+40, 1320.0)
	want.requireLike(t, got.Image())
}

// Small pictures stand beside the legend with their words below, and in the right place
// of the whole.
func TestInsetsStandAtTheRight(t *testing.T) {
	s := ruled()
	small := image.NewRGBA(image.Rect(7, 9, 7+200, 9+100))
	draw.Draw(small, small.Rect, image.NewUniform(field), image.Point{}, draw.Src)
	s.Insets = []page.Inset{{Image: small, Label: "lens"}, {Image: small, Label: "in the field of 175 x 175 mm"}}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+100+86+54+60, 40)
	want.picture(got.Plot(), field)
	want.rulers(want.ruledLeft("mm"))
	second := math.Ceil(want.width(s.Insets[1].Label)) // wider than its picture
	x, y := 72+1760-second-40-200, 784.0
	for _, x := range []float64{x, x + 240} {
		want.box(field, x, y, 200, 100)
		want.box(quiet, x, y, 200, 3)
		want.box(quiet, x, y+97, 200, 3)
		want.box(quiet, x, y, 3, 100)
		want.box(quiet, x+197, y, 3, 100)
	}
	want.word(ink, x, y+100+8+40, 0, "lens")
	want.word(ink, x+240, y+100+8+40, 0, s.Insets[1].Label)
	want.word(ink, 72, y+100+86+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
	require.Equal(t, 300, page.InsetPx(40))
}

// Rings stand round their places with their numbers to the right of them, or where
// there is room.
func TestRingsStandRoundTheirPlaces(t *testing.T) {
	s := ruled()
	s.Rings = []page.Ring{
		{At: path.Point{X: 10, Y: 20}, Pattern: page.Circle, Number: "1", Label: "gap"},
		{At: path.Point{X: 46.5, Y: 20}, Pattern: page.Circle, Number: "2", Label: "gap"},
		{At: path.Point{X: 20, Y: 20}, Pattern: page.DashedCircle, Number: "", Label: ""},
		{At: path.Point{X: 10, Y: -8}, Pattern: page.Circle, Number: "3", Label: "below the picture"},
	}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+24+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	want.rulers(x0)
	y := 72 + 220.0
	for _, x := range []float64{x0 + 240, x0 + 970} {
		want.ring(paper, x, y, 36, 12)
		want.ring(ink, x, y, 36, 6)
	}
	want.ring(paper, x0+440, y, 36, 12)
	for i := range 8 { // 48 pieces of 7.5 degrees, from the right on: four there, two not
		for j := range 4 {
			a, b := float64(6*i+j)*math.Pi/24, float64(6*i+j+1)*math.Pi/24
			want.line(ink, 6, x0+440+36*math.Cos(a), y+36*math.Sin(a), x0+440+36*math.Cos(b), y+36*math.Sin(b))
		}
	}
	number := func(x, y float64, n string) {
		w := want.width(n)
		want.box(paper, x-w/2-3, y-27, w+6, 54)
		want.word(ink, x, y-27+40, 0.5, n)
	}
	number(x0+240+36+6+want.width("1")/2, y, "1")
	// To the right the picture ends 30 px on: the next place is up and to the right, the
	// one after that straight up.
	number(x0+970, y-36-6-27, "2")
	y = 72 + 600 + 112
	want.ring(ink, 72+36, y+10+18, 18, 6)
	want.key(72, y, "gap")
	want.word(ink, 72, y+54+24+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// A film's time has a scale of its own above the other, from where that one goes down by the
// height of a scale and 0.6·40.
func TestTimeStandsAboveTheScale(t *testing.T) {
	s := ruled()
	s.Time = &page.Scale{Label: "time, s", Ramp: four, Top: 40}
	s.Scale = &page.Scale{Label: "density, lines/mm", Ramp: four, Top: 2, Note: "highest 1.9"}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+2*(156+24)+54+60, 40)
	want.picture(got.Plot(), field)
	want.rulers(want.ruledLeft("mm"))
	y := 72 + 600 + 112.0 // 54, 36, 0.3·40 and 54 are 156
	want.word(ink, 72, y+40, 0, "time, s")
	want.scaled(y, four, "0", "10", "20", "30", "40")
	want.word(ink, 72, y+180+40, 0, "density, lines/mm")
	want.word(quiet, 72+1320, y+180+40, 1, "highest 1.9")
	want.scaled(y+180, four, "0", "0.5", "1", "1.5", "2")
	want.word(ink, 72, y+360+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
	require.Equal(t, image.Rect(75, 841, 72+1317, 871), got.TimeAt())
	require.Equal(t, image.Rect(75, 1021, 72+1317, 1051), got.ScaleAt())
}

// Keys of lines of a colour and of a circle with gaps, of which six of 48 pieces are four drawn.
func TestKeysOfLines(t *testing.T) {
	s := ruled()
	red := color.RGBA{200, 40, 60, 255}
	s.Keys = []page.Key{{page.Lined, red, "outline"}, {page.DashedCircle, color.RGBA{}, "gap"},
		{page.Dashed, red, "blank"}}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+24+54+60, 40)
	want.picture(got.Plot(), field)
	want.rulers(want.ruledLeft("mm"))
	y := 72 + 600 + 112.0
	want.line(red, 3, 72, y+10+18+1.5, 72+72, y+10+18+1.5)
	x := want.key(72, y, "outline")
	cx, cy := math.Floor(x)+36, y+10+18
	for i := range 48 {
		if i%6 < 4 {
			a, b := float64(i)*math.Pi/24, float64(i+1)*math.Pi/24
			want.line(ink, 6, cx+18*math.Cos(a), cy+18*math.Sin(a), cx+18*math.Cos(b), cy+18*math.Sin(b))
		}
	}
	x = want.key(x, y, "gap")
	a := math.Floor(x)
	want.outline(want.Rect, a+1.5, y+10+1.5, a+72+1.5, y+46+1.5, 16, 12)
	want.key(x, y, "blank")
	want.word(ink, 72, y+54+24+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}
