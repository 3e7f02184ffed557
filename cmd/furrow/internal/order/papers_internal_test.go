package order

import (
	"image"
	"image/color"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"

	"github.com/stretchr/testify/require"
)

// Looks that a person should see first come first, the rest by their parts' numbers; a run
// of single parts shows those alone.
func TestLooksInTheirSequence(t *testing.T) {
	numbers := func(o *Order) (all [][]int) {
		for _, l := range o.looks() {
			var some []int
			for _, p := range l {
				some = append(some, p.Number)
			}
			all = append(all, some)
		}
		return all
	}
	o := bare(t, "example-co2", 0, 1, 0, 2, 1, 3)
	require.Equal(t, [][]int{{1, 3}, {2, 5}, {4}, {6}}, numbers(o))
	require.Empty(t, o.proofNotes())
	o.Source.First = []int{3, 1}
	require.Len(t, o.proofNotes(), 1)
	require.Contains(t, o.proofNotes()[0], "come first")
	require.Equal(t, [][]int{{6}, {2, 5}, {1, 3}, {4}}, numbers(o))
	yes := true
	o.Job.Order.AsListed = &yes
	require.Equal(t, [][]int{{1, 3}, {2, 5}, {4}, {6}}, numbers(o))
	require.Empty(t, o.proofNotes())
	o.Job.Order.AsListed = nil
	o.Name, o.Numbers = "part-3", []int{3, 4, 5}
	require.Equal(t, [][]int{{5}, {3}, {4}}, numbers(o))
	require.True(t, o.differ())
	require.False(t, bare(t, "example-co2", 4, 4, 4).differ())
}

// Many pictures are coarser than few or than one that is shown many times.
func TestDotsOfPictures(t *testing.T) {
	looks := func(n, each int) (all []int) {
		for i := range n {
			all = append(all, i*each)
		}
		return all
	}
	require.InDelta(t, 200, bare(t, "example-co2", looks(12, 1)...).dots(), 0)
	require.InDelta(t, 127, bare(t, "example-co2", looks(13, 1)...).dots(), 0)
	require.InDelta(t, 200, bare(t, "example-co2", looks(13, 0)...).dots(), 0)
	for mm, want := range map[float64]float64{20: 0.25, 180: 0.25, 360: 0.5, 198: 0.275} {
		require.InDelta(t, want, readable(mm), 1e-12, mm)
	}
	o := density.Options{}
	require.InDelta(t, 1, wide(o, rect(0, 0, 0.5, 0.2)), 0)
	require.InDelta(t, 7, wide(o, rect(1, 1, 3, 8)), 0)
	o.Pockets = []density.Pocket{{Rect: rect(-20, 0, -10, 4)}}
	require.InDelta(t, 23, wide(o, rect(1, 1, 3, 8)), 0)
	o.Blank = rect(0, -30, 10, 20)
	require.InDelta(t, 50, wide(o, rect(1, 1, 3, 8)), 0)
	o.Bed = rect(0, 0, 600, 400)
	require.InDelta(t, 620, wide(o, rect(1, 1, 3, 8)), 0)
}

// Grey pictures are kept as grey ones; of 254 dots an inch ten are a millimetre.
func TestPicturesOfPaper(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 30, 20))
	for i := range img.Pix {
		img.Pix[i] = byte(i / 4)
	}
	img.SetRGBA(11, 7, color.RGBA{R: 9, G: 9, B: 9, A: 255})
	grey, ok := greyOr(img).(*image.Gray)
	require.True(t, ok)
	require.Equal(t, byte(9), grey.GrayAt(11, 7).Y)
	require.Equal(t, byte(1*30+2), grey.GrayAt(2, 1).Y)
	part := cropped(img, image.Rect(10, 5, 14, 8))
	require.Equal(t, image.Rect(0, 0, 4, 3), part.Rect)
	require.Equal(t, byte(9), part.RGBAAt(1, 2).R)
	for _, before := range []int{0, mostUnpacked - 30*20, mostUnpacked - 30*20 + 1} {
		o := &Order{unpacked: before}
		p, err := o.pictureOf(img, 254)
		require.NoError(t, err)
		require.InDelta(t, 3, p.WMM, 1e-12)
		require.InDelta(t, 2, p.HMM, 1e-12)
		back, err := p.Image()
		require.NoError(t, err)
		require.IsType(t, grey, back)
		require.Equal(t, grey.Pix, back.(*image.Gray).Pix)
		again, err := p.Image()
		require.NoError(t, err)
		require.Equal(t, before+30*20 > mostUnpacked, again != back, "one that was packed is unpacked anew")
		require.Equal(t, before+30*20, o.unpacked)
	}
	for i, c := range []color.RGBA{{R: 9, G: 9, B: 8, A: 255}, {R: 9, G: 8, B: 9, A: 255}, {R: 8, G: 9, B: 9, A: 255}} {
		one := image.NewRGBA(image.Rect(0, 0, 3, 1))
		one.SetRGBA(i, 0, c)
		require.Same(t, one, greyOr(one))
	}
}

// How a group is filled, where its focus is and whether there is air.
func TestWordsOfAGroup(t *testing.T) {
	o := bare(t, "example-co2")
	o.Fills = make([]job.ResolvedFill, 2)
	o.One.Groups = []hatch.Group{{Angles: []float64{30}, Passes: 1}, {Angles: []float64{0}, Passes: 3, Contours: true}}
	require.Equal(t, "rows at 30 degrees", o.fillWords(0))
	require.Equal(t, "contour-parallel, 3 passes", o.fillWords(1))
	require.Equal(t, "on the material's surface", o.focusWords(0))
	off := value.Length(-2.50049)
	o.Fills[1].Spec.FocusOffset = &off
	require.Equal(t, "-2.5 mm from the focus", o.focusWords(1))
	require.Equal(t, "on", airWords(true))
	require.Equal(t, "off", airWords(false))
	s := sheetFile(File{Name: "load-01.nc", Lines: 12, CRC: "0badcafe", Time: 90 * time.Second, Loads: []Load{
		{Load: fixture.Load{Seats: []fixture.Seat{{Part: 5}, {Part: 6}}}},
		{Load: fixture.Load{Seats: []fixture.Seat{{Part: 1}, {Part: 2}}}},
	}})
	require.Equal(t, []int{1, 2, 5, 6}, s.Parts)
	require.Equal(t, 2, s.Runs)
	require.Equal(t, "1:30", s.Time)
	require.Equal(t, 12, s.Lines)
}

// Of a part's strokes those are letters that lie in a text without width: no rows, no
// outlines beside it, none of a text that is filled.
func TestLetteringOfAPart(t *testing.T) {
	text := func(x, width float64) (s path.Shape) {
		s.Width = width
		s.Centre.MoveTo(pt(x, 5))
		s.Centre.LineTo(pt(x+10, 8))
		return s
	}
	s := work.Strokes{Art: path.Artwork{Shapes: []path.Shape{text(10, path.Hairline/2), text(30, 0.4), text(50, 0)}}}
	line := path.Stroke{Kind: path.LineStroke, Setting: 1}
	s.Program.Append(line, pt(10, 5), pt(14, 8), pt(20, 6))
	s.Program.Append(line, pt(9, 5), pt(14, 8)) // out of it
	s.Program.Append(path.Stroke{Kind: path.SpanStroke}, pt(12, 6), pt(18, 6))
	s.Program.Append(line, pt(31, 6), pt(38, 7))
	s.Program.Append(line, pt(51, 6), pt(58, 7))
	s.Program.Append(line, pt(12, 6), pt(18, 6))
	got := lettering(s)
	require.Len(t, got.Strokes, 2)
	require.Equal(t, []path.Point{pt(10, 5), pt(14, 8), pt(20, 6)}, got.PointsOf(0))
	require.Equal(t, []path.Point{pt(12, 6), pt(18, 6)}, got.PointsOf(1))
	require.Equal(t, uint16(1), got.Strokes[1].Setting)
	two := joined(got, got.Transform(path.Translate(100, 0)))
	require.Equal(t, []path.Point{pt(112, 6), pt(118, 6)}, two.PointsOf(3))
	o := bare(t, "example-co2", 7)
	o.letters = map[int]path.Program{7: got}
	turned := o.lettersIn(fixture.Seat{Part: 1, Pocket: fixture.Pocket{At: pt(200, 0), Turn: 180}})
	require.InDelta(t, 200+30-12, turned.PointsOf(1)[0].X, 1e-9)
	require.InDelta(t, 20-6, turned.PointsOf(1)[0].Y, 1e-9)
}

// The sheet tells the loading where there is some, and no more warnings than it has room for.
func TestWhatASheetSays(t *testing.T) {
	o := bare(t, "example-co2", 1, 1, 1)
	for _, text := range []string{"a", "b", "c", "d", "e"} {
		o.One.Warnings = append(o.One.Warnings, work.Warning{Message: text})
	}
	customer := "arboretum"
	o.Job.Order.Customer, o.Version = &customer, "1.2"
	b := o.bench(Made{}, Written{Marking: time.Minute, Files: []File{{Name: "load-01.nc"}, {Name: "load-02.nc"}}})
	require.Equal(t, []string{"1:00", "", "", "arboretum", "furrow 1.2"},
		[]string{b.Marking, b.Loading, b.Total, b.Customer, b.Made})
	require.Equal(t, []string{"Note: a", "Note: b", "Note: c", "Note: d"}, b.Notes)
	require.Equal(t, "load-02.nc", b.Files[1].Name)
	require.Equal(t, 3, b.Quantity)
	require.True(t, b.FirstArticle)
	b = o.bench(Made{}, Written{Marking: time.Minute, Loading: 90 * time.Second})
	require.Equal(t, []string{"1:00", "1:30", "2:30"}, []string{b.Marking, b.Loading, b.Total})
	// A dose that is not known is not told.
	for dose, want := range map[float64][]string{0: nil, 12.34: {"Dose", "12.3 J/cm2"}} {
		var got []string
		addDose(func(label, text string) { got = append(got, label, text) }, pulse.Facts{DoseJPerCM2: dose})
		require.Equal(t, want, got)
	}
}
