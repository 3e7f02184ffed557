package swatch

import (
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// The measures of a card, mm. They are our own: lettering is read at arm's length.
const (
	titleHigh = 2.0 // of capitals in the title
	headHigh  = 1.8 // and beside the patches, where there is room
	leastHigh = 0.9 // what can still be read under a loupe
	leading   = 1.7 // from line to line, in heights of a capital
	edge      = 1.0 // left free round the card
	apart     = 1.2 // between the heads and the patches
	narrowest = 42  // a card is made as wide, where there is room, for its title
	openSteps = 8   // values of a range on a card whose blank is not known
)

// mostPatches bounds what is made at one go, and with it the file of patches.
const mostPatches = 2500

// grid is a card in the making, or several alike.
type grid struct {
	Spec
	room      path.Point // that a card may take
	columns   int        // on a card
	rows      int
	high      float64 // of the heads' capitals
	rowHead   float64 // width of the heads of rows
	title     []string
	cardWidth float64
	out       []Left // whole columns and rows
}

// Grid lays out columns and rows of patches on as many cards as they need.
func Grid(s Spec) ([]Card, error) {
	if s.cell == nil && (s.Columns.Kind == share || s.Rows.Kind == share) {
		return nil, fault.Usagef("%s is no setting to vary", share.Word).
			Hintf("furrow swatch power makes the card of it")
	}
	g := grid{Spec: s, room: roomOf(s)}
	if err := g.fit(); err != nil {
		return nil, err
	}
	if g.prune() {
		if len(g.out) > 0 && (g.none(g.Columns) || g.none(g.Rows)) {
			return nil, g.nothing()
		}
		if err := g.fit(); err != nil {
			return nil, err
		}
	}
	if n := len(g.cols()) * len(g.rws()); n > mostPatches {
		return nil, fault.Usagef("%s patches: use %s at most", words.Thousands(int64(n)), words.Thousands(mostPatches)).
			Hintf("say how many values there are, as speed=200:1200:20")
	}
	var cards []Card
	total := count(len(g.cols()), g.columns) * count(len(g.rws()), g.rows)
	for r := 0; r < len(g.rws()); r += g.rows {
		for c := 0; c < len(g.cols()); c += g.columns {
			card := g.card(c, r)
			card.Number, card.Of = len(cards)+1, total
			cards = append(cards, card)
		}
	}
	cards[0].Out = append(g.out, cards[0].Out...)
	return byHeight(cards), nil
}

// count is how many pieces of a size n takes.
func count(n, size int) int { return (n + size - 1) / size }

// roomOf returns how large a card may be, mm: the blank less its margin, or what the
// machine reaches.
func roomOf(s Spec) path.Point {
	if s.Blank != (path.Point{}) {
		return path.Point{X: s.Blank.X - 2*s.MarginMM, Y: s.Blank.Y - 2*s.MarginMM}
	}
	if s.Machine.IsGalvo() {
		return path.Point{X: s.Machine.Galvo.FieldMM[0], Y: s.Machine.Galvo.FieldMM[1]}
	}
	return path.Point{X: s.Machine.Gantry.BedMM[0], Y: s.Machine.Gantry.BedMM[1]}
}

// cols and rws are the values of an axis; one of no kind where it is not given.
func (g *grid) cols() []float64 { return orOne(g.Columns) }
func (g *grid) rws() []float64  { return orOne(g.Rows) }

func orOne(a Axis) []float64 {
	if !a.Given() {
		return []float64{0}
	}
	return a.Values
}

// fit finds how many patches a card takes, and with that the values of open ranges.
func (g *grid) fit() (err error) {
	pitch := g.PatchMM + g.GapMM
	g.high = min(headHigh, g.PatchMM/3)
	g.rowHead = g.headWidth()
	across := int(math.Floor((g.room.X - 2*edge - g.rowHead - apart + g.GapMM) / pitch))
	if g.Columns, err = g.Columns.Filled(g.open(across)); err != nil {
		return err
	}
	g.columns = min(across, len(g.cols()))
	if g.columns < 1 {
		return g.tooSmall()
	}
	g.shrinkHeads(pitch)
	g.cardWidth = max(min(narrowest, g.room.X), g.rowHead+apart+2*edge+float64(g.columns)*pitch-g.GapMM)
	g.title = wrapped(g.titleItems(), titleHigh, g.cardWidth-2*edge)
	up := int(math.Floor((g.room.Y - g.above() - 2*edge + g.GapMM) / pitch))
	if g.Rows, err = g.Rows.Filled(g.open(up)); err != nil {
		return err
	}
	if g.rows = min(up, len(g.rws())); g.rows < 1 {
		return g.tooSmall()
	}
	return nil
}

// open is how many values a range takes that leaves it to the card.
func (g *grid) open(fits int) int {
	if g.Blank == (path.Point{}) {
		return min(fits, openSteps)
	}
	return min(fits, mostValues)
}

func (g *grid) tooSmall() error {
	return fault.Workf("a card of %s x %s mm has no room for a patch of %s mm with its labels",
		words.Decimal(g.room.X, 1), words.Decimal(g.room.Y, 1), words.Decimal(g.PatchMM, 2)).
		Hintf("make the patches smaller with --patch, or the blank larger")
}

// headWidth returns what the heads of the rows take: "12  0.125".
func (g *grid) headWidth() float64 {
	if !g.Rows.Given() {
		return width("1", g.high)
	}
	values := g.Rows.Values
	if len(values) == 0 {
		values = append(g.Rows.spread(openSteps), g.Rows.from, g.Rows.to)
	}
	var texts []string
	for i, v := range values {
		texts = append(texts, rowHead(i, g.Rows, v))
	}
	return widest(texts, g.high)
}

func rowHead(i int, a Axis, v float64) string {
	if !a.Given() {
		return fmt.Sprint(i + 1)
	}
	return fmt.Sprintf("%d  %s", i+1, a.Kind.Number(v))
}

// shrinkHeads makes the heads of columns as small as the widest asks for.
func (g *grid) shrinkHeads(pitch float64) {
	var texts []string
	for _, v := range g.cols() {
		if g.Columns.Given() {
			texts = append(texts, g.Columns.Kind.Number(v))
		}
	}
	if w := widest(texts, g.high); w > pitch-0.8 {
		g.high = max(leastHigh, g.high*(pitch-0.8)/w)
	}
}

// above is the height of the title and the heads of columns.
func (g *grid) above() float64 {
	return g.titleHeight() + 2*leading*g.high + apart
}

// titleItems are what the card says of itself.
func (g *grid) titleItems() []string {
	items := []string{g.Machine.ID, g.Material}
	if g.Columns.Given() {
		items = append(items, "across: "+g.Columns.Kind.Word+" "+g.Columns.Kind.Unit)
	}
	if g.Rows.Given() {
		items = append(items, "down: "+g.Rows.Kind.Word+" "+g.Rows.Kind.Unit)
	}
	for _, v := range g.fixed() {
		items = append(items, v.Kind.Word+" "+v.Kind.Words(v.V))
	}
	return append(append(items, g.Date), g.Remarks...)
}

// shown reports that a fixed value is worth its place: not what everybody expects.
func shown(k Kind, v float64) bool {
	switch k.Word {
	case "angle", "focus":
		return v != 0
	case "passes":
		return v != 1
	case "pulse":
		return false
	}
	return true
}

// card lays out the card whose first patch is in column c and row r.
func (g *grid) card(c, r int) Card {
	card := Card{Spec: g.Spec}
	nc, nr := min(g.columns, len(g.cols())-c), min(g.rows, len(g.rws())-r)
	pitch := g.PatchMM + g.GapMM
	card.Size = path.Point{X: g.cardWidth, Y: g.above() + 2*edge + float64(nr)*pitch - g.GapMM}
	heads := g.lettered(&card)
	corner := path.Point{X: edge + g.rowHead + apart, Y: heads - 2*leading*g.high - apart + (leading-1)*g.high}
	columns, rows := map[int]bool{}, map[int]bool{}
	for j := range nr {
		for i := range nc {
			at := corner.Add(path.Point{X: float64(i) * pitch, Y: -float64(j)*pitch - g.PatchMM})
			if card.put(g.patch(c+i, r+j), at, g.PatchMM) {
				columns[i], rows[j] = true, true
			}
		}
	}
	for i := range nc {
		if columns[i] {
			g.columnHead(&card, c+i, path.Point{X: corner.X + float64(i)*pitch + g.PatchMM/2, Y: heads - g.high/2})
		}
	}
	for j := range nr {
		if rows[j] {
			at := path.Point{X: edge + g.rowHead, Y: corner.Y - float64(j)*pitch - g.PatchMM/2}
			card.label(rowHead(r+j, g.Rows, g.rws()[r+j]), at, g.high, 1)
		}
	}
	return card
}

// lettered adds the title at the top of a card, and returns where what is below begins.
func (g *grid) lettered(c *Card) (top float64) {
	top = c.Size.Y - edge
	for _, line := range g.title {
		c.label(line, path.Point{X: edge, Y: top - titleHigh/2}, titleHigh, 0)
		top -= leading * titleHigh
	}
	return top
}

// titleHeight is that of the lines of the title.
func (g *grid) titleHeight() float64 { return float64(len(g.title)) * leading * titleHigh }

// holds refuses a card that is larger than its room.
func (g *grid) holds(size path.Point, remedy string) error {
	if size.X <= g.room.X+1e-9 && size.Y <= g.room.Y+1e-9 {
		return nil
	}
	return fault.Workf("the card takes %s x %s mm, and there are %s x %s mm", words.Decimal(size.X, 1),
		words.Decimal(size.Y, 1), words.Decimal(g.room.X, 1), words.Decimal(g.room.Y, 1)).Hintf("%s", remedy)
}

// columnHead letters the name of a column, and its value below.
func (g *grid) columnHead(card *Card, c int, at path.Point) {
	letter, _ := splitName(Name(c, 0))
	card.label(letter, at, g.high, 0.5)
	if g.Columns.Given() {
		card.label(g.Columns.Kind.Number(g.cols()[c]), at.Sub(path.Point{Y: leading * g.high}), g.high, 0.5)
	}
}

func splitName(name string) (letters, number string) {
	for i, r := range name {
		if r >= '0' && r <= '9' {
			return name[:i], name[i:]
		}
	}
	return name, ""
}

func (c *Card) label(text string, at path.Point, high, anchor float64) {
	c.Labels = append(c.Labels, Label{Text: text, At: at, HighMM: high, Anchor: anchor})
}

// put puts a patch in its place, unless the machine cannot mark it.
func (c *Card) put(p Patch, at path.Point, side float64) bool {
	if why := unfit(c.Spec.Machine.Profile, p, settingOf(p.Fill, c.Spec.Machine)); why != "" {
		c.Out = append(c.Out, Left{p.Name, why})
		return false
	}
	p.Box = path.Rect{Min: at, Max: at.Add(path.Point{X: side, Y: side})}
	p.Shapes = square(p.Box)
	p.Fill = asFiled(p.Fill, c.Spec.Machine)
	c.Patches = append(c.Patches, p)
	return true
}

// patch returns what is in a column and row.
func (g *grid) patch(c, r int) Patch {
	p := Patch{Name: Name(c, r), Fill: g.Fill}
	if g.cell != nil {
		p.Fill = g.cell(g.Fill, g.cols()[c], g.rws()[r])
	}
	for _, a := range []struct {
		axis Axis
		v    float64
	}{{g.Columns, g.cols()[c]}, {g.Rows, g.rws()[r]}} {
		if a.axis.Given() {
			if g.cell == nil {
				p.Fill = a.axis.Kind.With(p.Fill, a.v)
			}
			p.Values = append(p.Values, Value{a.axis.Kind, a.v})
		}
		if a.axis.Kind.Word == "focus" {
			p.stop = 1 + slices.Index(a.axis.Values, a.v)
		}
	}
	return p
}
