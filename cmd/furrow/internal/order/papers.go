package order

import (
	"fmt"
	"image"
	"io"
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
	"furrow/raster/density"
	"furrow/raster/page"
	"furrow/raster/paper"
)

// mostLooks is how many different parts are drawn on a proof: more would be a book.
const mostLooks = 60

// proof writes what the customer signs.
func (o *Order) proof(w io.Writer, size paper.Size) error {
	p := sheet.Proof{
		Order: o.title(), Customer: value.Or(o.Job.Order.Customer, ""), Quantity: o.Quantity(), Due: o.due(), Blank: o.blankWords(),
	}
	looks := o.looks()
	for _, l := range looks[:min(len(looks), mostLooks)] {
		part, err := o.proofPart(l)
		if err != nil {
			return err
		}
		p.Parts = append(p.Parts, part)
	}
	if left := len(looks) - len(p.Parts); left > 0 {
		p.Left = left
	}
	return p.Encode(w, size)
}

// looks lists the parts of each look, in the sequence of their first parts.
func (o *Order) looks() (all [][]Part) {
	where := map[int]int{}
	for _, p := range o.Source.Parts {
		i, had := where[p.Look]
		if !had {
			i = len(all)
			where[p.Look] = i
			all = append(all, nil)
		}
		all[i] = append(all[i], p)
	}
	return all
}

// proofPart draws a look on its blank.
func (o *Order) proofPart(parts []Part) (sheet.ProofPart, error) {
	p := sheet.ProofPart{Texts: parts[0].Texts}
	for _, x := range parts {
		p.Numbers = append(p.Numbers, x.Number)
	}
	s, err := o.strokes(parts[0].Look)
	if err != nil {
		return p, err
	}
	subject, err := o.alone(s)
	if err != nil {
		return p, err
	}
	p.Picture, err = o.draw(subject, "finish", func(d *density.Options) {
		d.Blank, d.BlankName = o.lies(o.One), "blank"
		d.Bed, d.Zero, d.Keep, d.Crop = path.Rect{}, "", nil, false
		d.Caption = page.Caption{Name: o.blankWords()}
	})
	return p, err
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

// dotsPerInch is how finely pictures of papers are drawn: finer than most printers
// show greys.
const dotsPerInch = 200

// draw draws a picture for paper.
func (o *Order) draw(s view.Subject, show string, change func(*density.Options)) (sheet.Picture, error) {
	opts, err := view.Picture{Show: &show}.Options(s, false)
	if err != nil {
		return sheet.Picture{}, err
	}
	change(&opts)
	opts.DPI, opts.Size = dotsPerInch, 0
	longest := 400.0 // mm that a paper can show at most, smaller than true
	if side := max(opts.Blank.W(), opts.Blank.H(), s.Program.Bounds().W(), s.Program.Bounds().H()); side > longest {
		opts.DPI *= longest / side
	}
	p, err := density.Picture(s.Program, opts)
	if err != nil {
		return sheet.Picture{}, err
	}
	return pictureOf(p.Image(), opts.DPI), nil
}

// pictureOf is an image of so many dots an inch at its true size.
func pictureOf(img *image.RGBA, dpi float64) sheet.Picture {
	mm := path.MMPerInch / dpi
	return sheet.Picture{Image: img, WMM: float64(img.Rect.Dx()) * mm, HMM: float64(img.Rect.Dy()) * mm}
}

// sheet writes what lies beside the machine.
func (o *Order) sheet(w io.Writer, size paper.Size, shown Made, made Written) error {
	b := sheet.Bench{
		Order: o.title(), Customer: value.Or(o.Job.Order.Customer, ""), Quantity: o.Quantity(), Due: o.due(),
		Blank: o.blankWords(), Fixture: o.fixtureWords(), Zero: o.zeroWords(), Room: o.clearance(shown),
		Machine: o.Machine.NameWords(), Recipe: o.recipeWords(), Settings: o.settings(),
		Marking: words.Duration(made.Marking), Total: words.Duration(made.Marking + made.Loading),
		FirstArticle: o.FirstArticle(), Cautions: o.Machine.Cautions(), Made: "furrow " + o.Version,
	}
	if made.Loading > 0 {
		b.Loading = words.Duration(made.Loading)
	}
	for _, f := range made.Files {
		b.Files = append(b.Files, sheetFile(f))
	}
	for _, warning := range o.One.Warnings {
		b.Notes = append(b.Notes, "Note: "+warning.String())
	}
	b.Notes = b.Notes[:min(len(b.Notes), mostNotes)]
	var err error
	if b.Load, err = o.loadPicture(shown); err != nil {
		return err
	}
	return b.Encode(w, size)
}

// mostNotes is how many warnings a sheet has room for.
const mostNotes = 4

func sheetFile(f File) sheet.File {
	s := sheet.File{Name: f.Name, Lines: f.Lines, CRC: f.CRC, Time: words.ClockTime(f.Time), Runs: len(f.Loads)}
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
			d.Pockets = append(d.Pockets, density.Pocket{Number: seat.Pocket.Number, Rect: seat.Pocket.Room(o.Blank)})
		}
		d.Caption = page.Caption{Name: m.File}
	})
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
		add("Speed", words.Decimal(l[i].Set.SpeedMMPerS, 3)+" mm/s")
		add("Power", words.Decimal(100*l[i].Set.Power, 2)+" percent")
		if l[i].Set.FrequencyHz > 0 {
			add("Pulses", fmt.Sprintf("%s kHz, %s ns", words.Decimal(l[i].Set.FrequencyHz/1000, 3), words.Decimal(l[i].Set.PulseNS, 0)))
		}
		if l[i].Set.SpacingMM > 0 {
			add("Spacing", words.Decimal(l[i].Set.SpacingMM, 4)+" mm")
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
		add("Dose", words.Decimal(f.DoseJPerCM2, 1)+" J/cm2")
	}
}

func (o *Order) fillWords(i int) string {
	p := o.One.Parts[i]
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
		return words.Decimal(off, 3) + " mm from the focus"
	}
	return "on the material's surface"
}

func airWords(on bool) string {
	if on {
		return "on"
	}
	return "off"
}
