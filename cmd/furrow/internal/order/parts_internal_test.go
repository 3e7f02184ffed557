package order

import (
	"image"
	"image/color"
	"os"
	"path/filepath"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) path.Rect { return path.Rect{Min: pt(x0, y0), Max: pt(x1, y1)} }

// bare is an order on a machine that nothing was made of: blanks of 30 x 20 mm, whose page
// lies at 5,5, and parts of these looks.
func bare(t *testing.T, machine string, looks ...int) *Order {
	t.Helper()
	m, err := settings.FindMachine(machine)
	require.NoError(t, err)
	o := &Order{
		Input: Input{Resolved: job.Resolved{Machine: &m}, Name: "load"}, Blank: pt(30, 20), parts: map[int]Part{},
	}
	o.One.Art.Page = rect(5, 5, 35, 25)
	for i, l := range looks {
		p := Part{Number: i + 1, Look: l}
		o.Numbers, o.Source.Parts, o.parts[i+1] = append(o.Numbers, i+1), append(o.Source.Parts, p), p
	}
	return o
}

// Rows run across blanks of one look that lie side by side and are not turned, where they
// are asked to.
func TestRunsOfSeats(t *testing.T) {
	o := bare(t, "example-co2", 7, 7, 7, 8, 7, 7, 7, 7, 7)
	l := Load{Load: fixture.Load{Number: 1}}
	for i, p := range []fixture.Pocket{{At: pt(0, 0)}, {At: pt(40, 0)}, {At: pt(80, 0)}, {At: pt(120, 0)}, {At: pt(0,
		30)},
		{At: pt(40, 30)}, {At: pt(80, 30), Turn: 180}, {At: pt(120, 30)}, {At: pt(160, 30)}} {
		p.Number = i + 1
		l.Seats = append(l.Seats, fixture.Seat{Part: i + 1, Pocket: p})
	}
	require.Equal(t, []run{{0, 1}, {1, 2}, {2, 3}, {3, 4}, {4, 5}, {5, 6}, {6, 7}, {7, 8}, {8, 9}}, o.runs(l))
	across := "across"
	o.Job.Fixture.Sequence = &across
	require.Equal(t, []run{{0, 3}, {3, 4}, {4, 6}, {6, 7}, {7, 9}}, o.runs(l))
}

// What a file says is read off its lines however they are cut into pieces: where each note
// stands, how many lines there are, and the last check sum.
func TestFactsOfAFile(t *testing.T) {
	const file = "(furrow)\n(part 1 pocket 1)\nG1 X1\n(part 10 pocket 2)\n(part 2 pocket 2) \nG1 X2 ; part 3\n" +
		"crc 01234567\n(whole 9 lines crc 89abcdef)\nM2\n"
	for size := 1; size <= len(file); size += 3 {
		f := newFacts([]emit.Note{{Text: "part 1 pocket 1"}, {Text: "part 2 pocket 2"}, {Text: "part 3"},
			{Text: "never"}})
		for rest := file; rest != ""; {
			n := min(size, len(rest))
			took, err := f.Write([]byte(rest[:n]))
			require.NoError(t, err)
			require.Equal(t, n, took)
			rest = rest[n:]
		}
		require.Equal(t, 9, f.lines)
		require.Equal(t, "89abcdef", f.crc)
		require.Equal(t, []int{2, 5, 6}, f.first)
		require.Equal(t, digest([]byte(file)), f.sum.hex())
		require.Equal(t, []int{2, 5, 5, 6, 0, 0}, f.firstLines([]run{{0, 1}, {1, 3}, {3, 4}, {4, 6}}))
	}
	f := newFacts(nil)
	_, err := f.Write([]byte("job 1\nend 12 0badcafe\n"))
	require.NoError(t, err)
	require.Equal(t, "0badcafe", f.crc)
}

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
	o.Source.First = []int{3, 1}
	require.Equal(t, [][]int{{6}, {2, 5}, {1, 3}, {4}}, numbers(o))
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
	p, err := pictureOf(img, 254)
	require.NoError(t, err)
	require.InDelta(t, 3, p.WMM, 1e-12)
	require.InDelta(t, 2, p.HMM, 1e-12)
	back, err := p.Image()
	require.NoError(t, err)
	require.Equal(t, img.Rect, back.Bounds())
	r, _, _, _ := back.At(11, 7).RGBA()
	require.Equal(t, uint32(9*257), r)
	for i, c := range []color.RGBA{{R: 9, G: 9, B: 8, A: 255}, {R: 9, G: 8, B: 9, A: 255}, {R: 8, G: 9, B: 9, A: 255}} {
		one := image.NewRGBA(image.Rect(0, 0, 3, 1))
		one.SetRGBA(i, 0, c)
		require.Same(t, one, greyOr(one))
	}
}

// How far the head goes about a blank: on a gantry with its moves, on a galvo with its
// marks, both turned with the blank. Of 30 x 20 mm, x and y turned by 90 degrees come to
// 20 - y and x.
func TestBeyondABlank(t *testing.T) {
	near := func(want, got path.Rect) {
		t.Helper()
		require.InDelta(t, 0, want.Min.Dist(got.Min)+want.Max.Dist(got.Max), 1e-9, "%v", got)
	}
	gantry, galvo := bare(t, "example-co2"), bare(t, "example-fibre")
	for _, o := range []*Order{gantry, galvo} {
		o.One.Clock = clock.Report{Moves: rect(3, 8, 37, 20), Marks: rect(7, 8, 33, 20)}
	}
	near(rect(-2, 3, 32, 15), gantry.beyond(0))
	near(rect(2, 3, 28, 15), galvo.beyond(0))
	near(rect(5, -2, 17, 32), gantry.beyond(90))
	near(rect(2, 5, 28, 17), galvo.beyond(180))
	// By hand, X0 Y0 of the first blank has to be 2 mm in the bed.
	bed := gantry.Machine.Gantry.BedMM
	near(rect(-2, 0, bed[0]-2, bed[1]), gantry.area().Room)
	gantry.One.Clock.Moves = rect(6, 1, 37, 20)
	near(rect(0, -4, bed[0], bed[1]-4), gantry.area().Room)
	gantry.Machine.Gantry.Zero = "bed"
	near(gantry.Machine.Gantry.Bed(), gantry.area().Room)
	field := galvo.Machine.Galvo.FieldMM
	near(rect(-field[0]/2, -field[1]/2, field[0]/2, field[1]/2), galvo.area().Room)
	galvo.Job.Fixture.Gap = []value.Length{3, 5}
	require.InDelta(t, 5, galvo.area().GapMM, 0)
	galvo.Job.Fixture.Gap = []value.Length{6, 5}
	require.InDelta(t, 6, galvo.area().GapMM, 0)
}

// Pockets are a pitch apart, or a gap beyond the room that a turned blank takes.
func TestGridOfTheJob(t *testing.T) {
	o := bare(t, "example-co2")
	require.Equal(t, fixture.Grid{Columns: 1, Rows: 1, Pitch: pt(30, 20)}, o.grid())
	columns, rows, turn, yes := value.Count(3), value.Count(2), value.Number(90), true
	f := &o.Job.Fixture
	f.Columns, f.Rows, f.Turn, f.HalfTurns = &columns, &rows, &turn, &yes
	f.Gap, f.First = []value.Length{4, 6}, []value.Length{7, 9}
	g := o.grid()
	require.InDelta(t, 0, g.Pitch.Dist(pt(24, 36)), 1e-9)
	g.Pitch = path.Point{}
	require.Equal(t, fixture.Grid{Columns: 3, Rows: 2, First: pt(7, 9), Turn: 90, HalfTurns: true}, g)
	f.Pitch = []value.Length{50, 60}
	require.Equal(t, pt(50, 60), o.grid().Pitch)
	require.Equal(t, path.Point{}, pair([]value.Length{4}))
}

// Names of what is kept: the last part on any platform, the role where that says nothing,
// and a number where it is taken.
func TestNamesOfWhatIsKept(t *testing.T) {
	for name, want := range map[string]string{
		"a.svg": "a.svg", "/x/y/a.svg": "a.svg", `C:\x\a.svg`: "a.svg", "": "artwork", "-": "artwork",
		"x/..": "artwork",
		"x/.":  "artwork", "x/": "artwork", "..a": "..a",
	} {
		require.Equal(t, want, base(name, Artwork), name)
	}
	taken := map[string]bool{}
	for _, want := range []string{"kept/a.b.svg", "kept/a.b-2.svg", "kept/a.b-3.svg"} {
		require.Equal(t, want, free("kept/a.b.svg", taken))
	}
	require.Equal(t, "kept/a", free("kept/a", taken))
	require.Equal(t, "kept/a-2", free("kept/a", taken))
	require.Equal(t, "../b/c.svg", seenFrom("/x/a", "/x/b/c.svg"))
	require.Equal(t, "c.svg", seenFrom("a", filepath.Join("a", "c.svg")))
	require.Equal(t, "job:7", fromWords("tags.toml:7", "tags.toml"))
	require.Equal(t, "recipe", fromWords("recipe", "tags.toml"))
	require.Equal(t, "tags.toml:7", fromWords("tags.toml:7", ""))
}

// The values of the whole have no group, those of the first pick are of group 1.
func TestValuesOfAJob(t *testing.T) {
	w, h, one, two := value.Length(20), value.Length(30), value.Number(100), value.Number(200)
	j := job.Resolved{Job: job.Job{Name: "tags.toml", Blank: job.Blank{Material: "slate", Width: &w, Height: &h}}}
	j.Fills = []job.ResolvedFill{
		{Spec: job.Fill{Speed: &one}, From: map[string]string{"speed_mm_s": "tags.toml:5"}},
		{Spec: job.Fill{Speed: &two, Power: &one}, From: map[string]string{"speed_mm_s": "recipe",
			"power_percent": "flag"}},
	}
	got := map[string]Value{}
	for _, v := range valuesOf(j) {
		got[v.Group+" "+v.Key] = v
	}
	group := work.GroupName(1)
	require.Equal(t, map[string]Value{
		" blank.material": {Key: "blank.material", Value: "slate", From: "job"},
		" blank.width":    {Key: "blank.width", Value: "20mm", From: "job"}, " blank.height": {Key: "blank.height",
			Value: "30mm", From: "job"},
		" speed_mm_s":            {Key: "speed_mm_s", Value: "100", From: "job:5"},
		group + " speed_mm_s":    {Group: group, Key: "speed_mm_s", Value: "200", From: "recipe"},
		group + " power_percent": {Group: group, Key: "power_percent", Value: "100", From: "flag"},
	}, got)
}

// A run takes the place of loads of its own name alone.
func TestWhatARunTakesThePlaceOf(t *testing.T) {
	o := bare(t, "example-co2")
	var before Record
	for _, n := range []string{"load-01.nc", "load-12.nc", "load-1x.nc", "load-01.mvl", "part-3-01.nc", "proof.pdf",
		"loaded.nc"} {
		before.Outputs = append(before.Outputs, Output{Name: n, SHA256: "old"})
	}
	stale := o.stale(before)
	require.Equal(t, []string{"load-01.nc", "load-12.nc"}, stale)
	r := Record{Outputs: []Output{{Name: "proof.pdf"}, {Name: "load-01.nc"}}}
	r.addOld(before, stale)
	require.Equal(t, []Output{
		{Name: "load-01.mvl", SHA256: "old"}, {Name: "load-01.nc"}, {Name: "load-1x.nc", SHA256: "old"},
		{Name: "loaded.nc", SHA256: "old"}, {Name: "part-3-01.nc", SHA256: "old"}, {Name: "proof.pdf"},
	}, r.Outputs)
	require.Equal(t, "proof.pdf", o.named("proof.pdf"))
	o.Name = "part-3"
	require.Equal(t, "part-3-proof.pdf", o.named("proof.pdf"))
	require.Equal(t, []string{"part-3-01.nc"}, o.stale(before))
}

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
	thick := value.Length(1.25)
	o.Job.Blank.Thickness, o.Job.Blank.Material = &thick, "slate"
	require.Equal(t, "30 x 20 x 1.25 mm, slate", o.blankWords())

	require.Equal(t, "one blank at a time", o.fixtureWords())
	require.Equal(t, "X0 Y0 set by hand to the lower-left corner of the blank", o.zeroWords())
	two := value.Count(2)
	o.Job.Fixture.Columns, o.Job.Fixture.Skip, o.Skipped = &two, []int{4}, []int{2}
	o.Pockets = []fixture.Pocket{{Number: 3, At: pt(1.25, -2)}, {Number: 5}}
	require.Equal(t, "2 pockets; the lower-left corner of pocket 3 at X1.25 Y-2 mm; pocket 2, 4 stays empty",
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
	require.Equal(t, "50.0 x 12.5 mm of the 175 x 175 mm field", bare(t, "example-fibre").clearance(m))
}

// How a group is filled, where its focus is and whether there is air.
func TestWordsOfAGroup(t *testing.T) {
	o := bare(t, "example-co2")
	o.Fills = make([]job.ResolvedFill, 2)
	o.One.Groups = []hatch.Group{{Angles: []float64{30}, Passes: 1}, {Angles: []float64{0}, Passes: 3, Contours: true}}
	require.Equal(t, "rows at 30 degrees", o.fillWords(0))
	require.Equal(t, "contour-parallel, 3 passes", o.fillWords(1))
	require.Equal(t, "on the material's surface", o.focusWords(0))
	off := value.Length(-2.5)
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

// Lines of parts.csv that nobody here wrote are refused.
func TestPartsThatAreNotAsMade(t *testing.T) {
	dir := t.TempDir()
	o := Old{Dir: dir}
	_, err := o.parts()
	require.Error(t, err)
	for text, want := range map[string]string{
		"part,load,pocket,file\n1,1,1\n": "wrong number of fields", "a,b,c\n1,1,1\n": "not as it was made",
		"part,load,pocket,file\n1,x,1,a.nc\n":    "not as it was made",
		"part,load,pocket,file\n1,1,1,../a.nc\n": "not as it was made",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"), []byte(text), 0o600))
		_, err := o.parts()
		require.ErrorContains(t, err, want, text)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"),
		[]byte("part,load,pocket,file\n1,4,1,a.nc\n2,4,2,a.nc\n"), 0o600))
	rows, err := o.parts()
	require.NoError(t, err)
	require.Equal(t, []partRow{{4, "a.nc"}, {4, "a.nc"}}, rows)
	file, err := o.FileOfLoad(0)
	require.NoError(t, err)
	require.Equal(t, "a.nc", file)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"), nil, 0o600))
	rows, err = o.parts()
	require.NoError(t, err)
	require.Empty(t, rows)
}
