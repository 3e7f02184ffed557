package order

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"io/fs"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/sheet"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/view"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"
	"furrow/raster/page"
	"furrow/raster/paper"
)

// FirstPicture draws the first part on its blank.
func (o *Order) FirstPicture() (sheet.Picture, error) {
	o.draws = true
	if _, err := o.strokes(o.parts[o.Numbers[0]].Look); err != nil {
		return sheet.Picture{}, err
	}
	err := o.drawLook()
	return o.pictures[o.look.number], err
}

// Fonts are the folders with fonts for its papers: those that its artwork is set from.
func (o *Order) Fonts() ([]fs.FS, error) {
	all, err := work.FontFolders(o.Job.Artwork.Fonts, nil)
	if kept := o.Resolved.Fonts; err == nil && kept != nil && kept.Kept != nil {
		all = slices.Insert(all, 0, kept.Kept)
	}
	return all, err
}

// Title names the order.
func (o *Order) Title() string { return o.title() }

// BlankWords says what lies in a pocket.
func (o *Order) BlankWords() string { return o.blankWords() }

// drawLook draws the look that was made last on its blank, for the proof. Where nothing is
// written it only tells whether that could be done.
func (o *Order) drawLook() error {
	if _, had := o.pictures[o.look.number]; had {
		return nil
	}
	subject, err := o.alone(o.look.strokes)
	if err != nil || !o.draws {
		return err
	}
	letters := lettering(o.look.strokes)
	o.letters[o.look.number] = letters
	p, err := o.draw(subject, "finish", func(d *density.Options) {
		d.Blank, d.BlankName = o.lies(o.One), "blank"
		d.Bed, d.Zero, d.Keep, d.Crop = path.Rect{}, "", nil, false
		d.Caption = page.Caption{Name: words.Size(o.lies(o.One))}
		at := o.lies(o.One).Min
		d.Fine = letters.Transform(path.Translate(at.X, at.Y))
	})
	o.pictures[o.look.number] = p
	return err
}

// alone is what there is to see of a part that is worked on alone, where the job
// places it.
func (o *Order) alone(s work.Strokes) (view.Subject, error) {
	w := o.One
	at := o.lies(w).Min
	w.Strokes = s.Moved(path.Translate(at.X, at.Y))
	var err error
	if w.Moves, err = emit.Plan(w.Program, o.Machine.Profile); err != nil {
		return view.Subject{}, err
	}
	return view.OfWork(w)
}

// The dots an inch of pictures: finer than most printers show greys, and fine enough
// to read where there are many.
const (
	fineDots   = 200
	plainDots  = 127
	fewPicture = 12
)

// readableDots is the dots an inch times mm of width at which the text of a picture,
// which is no smaller than 15 dots, can be read where a page's width holds all of it.
const readableDots = 31000

// wide is the longer side of what a picture shows, mm.
func wide(o density.Options, marks path.Rect) float64 {
	for _, p := range o.Pockets {
		marks = marks.Union(path.Form{Rect: p.Rect, Round: o.Round, Turn: p.Turn}.Bounds())
	}
	for _, r := range []path.Rect{o.Bed, o.Blank} {
		if r.W() > 0 {
			marks = marks.Union(r)
		}
	}
	return max(marks.W(), marks.H(), 1)
}

func (o *Order) dots() float64 {
	if len(o.Numbers) > fewPicture && o.differ() {
		return plainDots
	}
	return fineDots
}

// draw draws a picture for paper.
func (o *Order) draw(s view.Subject, show string, change func(*density.Options)) (sheet.Picture, error) {
	opts, err := view.Picture{Show: &show}.Options(s, 0)
	if err != nil {
		return sheet.Picture{}, err
	}
	change(&opts)
	opts.Size, opts.FineMM = 0, readable(wide(opts, s.Program.Bounds()))
	opts.DPI = min(o.dots(), readableDots/wide(opts, s.Program.Bounds()))
	p, err := density.Picture(s.Program, opts)
	if err != nil {
		return sheet.Picture{}, err
	}
	o.wider = o.wider || len(opts.Fine.Strokes) > 0 && opts.FineMM > opts.MarkWidthMM
	img := p.Image()
	if show == "finish" && o.differ() { // many side by side need no rulers
		img = cropped(img, p.Plot())
	}
	return o.pictureOf(img, opts.DPI)
}

// mostUnpacked is how many dots pictures may have that wait as they are for their pages: to pack
// one takes as long as to draw it, but an order may have many.
const mostUnpacked = 4 << 20

// pictureOf is an image of so many dots an inch at its true size.
func (o *Order) pictureOf(img *image.RGBA, dpi float64) (sheet.Picture, error) {
	mm, shown := path.MMPerInch/dpi, greyOr(img)
	p := sheet.Picture{
		Image: func() (image.Image, error) { return shown, nil },
		WMM:   float64(img.Rect.Dx()) * mm, HMM: float64(img.Rect.Dy()) * mm,
	}
	if o.unpacked += img.Rect.Dx() * img.Rect.Dy(); o.unpacked <= mostUnpacked {
		return p, nil
	}
	var packed bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&packed, shown)
	p.Image = func() (image.Image, error) { return png.Decode(bytes.NewReader(packed.Bytes())) }
	return p, err
}

// cropped returns a part of a picture as one of its own.
func cropped(img *image.RGBA, r image.Rectangle) *image.RGBA {
	part := image.NewRGBA(image.Rect(0, 0, r.Dx(), r.Dy()))
	draw.Draw(part, part.Rect, img, r.Min, draw.Src)
	return part
}

// greyOr returns a picture without colours in a quarter of the memory.
func greyOr(img *image.RGBA) image.Image {
	grey := image.NewGray(img.Rect)
	for i := range grey.Pix {
		p := img.Pix[4*i : 4*i+3 : 4*i+3]
		if p[0] != p[1] || p[1] != p[2] {
			return img
		}
		grey.Pix[i] = p[0]
	}
	return grey
}

// sheet writes what lies beside the machine.
func (o *Order) sheet(w io.Writer, size paper.Size, shown Made, made Written) (err error) {
	b := o.bench(shown, made)
	if b.Fonts, err = o.Fonts(); err != nil {
		return err
	}
	if b.Load, err = o.loadPicture(shown); err != nil {
		return err
	}
	return b.Encode(w, size)
}

// bench is what the sheet says, but for its picture and its fonts.
func (o *Order) bench(shown Made, made Written) sheet.Bench {
	b := sheet.Bench{
		Order: o.title(), Customer: value.Or(o.Job.Order.Customer, ""), Quantity: o.Quantity(), Due: o.due(),
		Blank: o.blankWords(), Fixture: o.fixtureWords(), Zero: o.zeroWords(), Room: o.clearance(shown),
		Machine: o.Machine.NameWords(), Recipe: o.recipeWords(), Settings: o.settings(),
		Marking:      words.Time(made.Marking),
		FirstArticle: o.FirstArticle() && o.makesFirst(), Cautions: o.Machine.Cautions(), Made: "furrow " + o.Version,
	}
	if len(o.Numbers) < o.Quantity() {
		b.Parts = o.partsWords()
	}
	if made.Loading > 0 {
		b.Loading, b.Total = words.Time(made.Loading), words.Time(made.Marking+made.Loading)
	}
	for _, f := range made.Files {
		b.Files = append(b.Files, sheetFile(f))
	}
	for _, text := range work.Told(o.One.Warnings) {
		b.Notes = append(b.Notes, "Note: "+text)
	}
	b.Notes = b.Notes[:min(len(b.Notes), mostNotes)]
	return b
}

// mostNotes is how many warnings a sheet has room for.
const mostNotes = 4

func sheetFile(f File) sheet.File {
	s := sheet.File{Name: f.Name, Lines: f.Lines, CRC: f.CRC, Time: words.Time(f.Time), Runs: len(f.Loads)}
	for _, l := range f.Loads {
		for _, seat := range l.Seats {
			s.Parts = append(s.Parts, seat.Part)
		}
	}
	slices.Sort(s.Parts)
	return s
}

// loadPicture draws the first load as it lies.
func (o *Order) loadPicture(m Made) (sheet.Picture, error) {
	w := o.One
	w.Moves, w.Clock = m.Moves, m.Clock
	s, err := view.OfWork(w)
	if err != nil {
		return sheet.Picture{}, err
	}
	return o.draw(s, "rows", func(d *density.Options) {
		d.Blank = path.Rect{}
		for _, seat := range m.Seats {
			f := level(seat.Pocket.Form(o.Blank))
			d.Pockets = append(d.Pockets, density.Pocket{Number: seat.Pocket.Number, Rect: f.Rect, Turn: f.Turn})
		}
		d.Caption = page.Caption{Name: m.File}
		for _, seat := range m.Seats {
			d.Fine = joined(d.Fine, o.lettersIn(seat))
		}
	})
}

// askedPower is that of a fill before it is rounded to the file's steps; of an outline alone
// that of the file.
func (o *Order) askedPower(i int, set path.Setting) float64 {
	if o.One.Groups[i].Outline.When == hatch.Only {
		return set.Power
	}
	return work.SettingOf(o.Fills[i].Spec, o.Machine).Power
}

// settings words how each group of the artwork is marked.
func (o *Order) settings() (all []sheet.Setting) {
	for i := range o.Fills {
		l := o.One.Laid()
		if i >= len(l) {
			break
		}
		f := l[i].Facts()
		s := sheet.Setting{Group: l[i].Name}
		add := func(label, text string) { s.Facts = append(s.Facts, paper.Fact{Label: label, Text: text}) }
		add("Speed", words.Number(l[i].Set.SpeedMMPerS, 3)+" mm/s")
		add("Power", work.PowerWords(o.askedPower(i, l[i].Set), l[i].Set.Power, "percent"))
		if l[i].Set.FrequencyHz > 0 {
			add("Pulses", fmt.Sprintf("%s kHz, %s ns", words.Number(l[i].Set.FrequencyHz/1000, 3),
				words.Number(l[i].Set.PulseNS, 0)))
		}
		if l[i].Set.SpacingMM > 0 {
			add("Spacing", words.Number(l[i].Set.SpacingMM, 4)+" mm")
		}
		add("Fill", o.fillWords(i))
		addDose(add, f)
		add("Focus", o.focusWords(i))
		add("Air", airWords(l[i].Set.Air))
		all = append(all, s)
	}
	return all
}

func addDose(add func(label, text string), f pulse.Facts) {
	if f.DoseJPerCM2 > 0 {
		add("Dose", words.Number(f.DoseJPerCM2, 1)+" J/cm2")
	}
}

func (o *Order) fillWords(i int) string {
	p := o.One.Groups[i]
	text := "rows at " + work.AngleWords(p)
	if p.Contours {
		text = "contour-parallel"
	}
	if p.Passes > 1 {
		text += fmt.Sprintf(", %d passes", p.Passes)
	}
	return strings.TrimSpace(text)
}

func (o *Order) focusWords(i int) string {
	if off := float64(value.Or(o.Fills[i].Spec.FocusOffset, 0)); off != 0 {
		return words.Number(off, 3) + " mm from the focus"
	}
	if h := o.Machine.Laser.FocusHeightMM; h > 0 {
		return "on the material's surface, at a height of " + words.Decimal(h, 2) + " mm"
	}
	return "on the material's surface"
}

func airWords(on bool) string {
	if on {
		return "on"
	}
	return "off"
}
