package ngc

import "math"

// Modal groups of G codes, by ten times the code (Table 4). Group 0 is the
// non-modal one; noGroup marks what is no code.
const noGroup = -1

var gGroup = func() (g [1000]int8) {
	for i := range g {
		g[i] = noGroup
	}
	for group, codes := range map[int8][]int{
		0:  {40, 100, 280, 300, 530, 920, 921, 922, 923},
		1:  {0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890},
		2:  {170, 180, 190},
		3:  {900, 910},
		5:  {930, 940},
		6:  {200, 210},
		7:  {400, 410, 420},
		8:  {430, 490},
		10: {980, 990},
		12: {540, 550, 560, 570, 580, 590, 591, 592, 593},
		13: {610, 611, 640},
	} {
		for _, c := range codes {
			g[c] = group
		}
	}
	return g
}()

// Modal groups of M codes (Table 4), and one of our own for the output of the extension.
var mGroup = func() (g [100]int8) {
	for i := range g {
		g[i] = noGroup
	}
	for group, codes := range map[int8][]int{
		4: {0, 1, 2, 30, 60}, 6: {6}, 7: {3, 4, 5}, 8: {7, 8, 9}, 9: {48, 49},
		outputGroup: {67},
	} {
		for _, c := range codes {
			g[c] = group
		}
	}
	return g
}()

// outputGroup is the group of M67, which sets an output in step with the motion.
const outputGroup = 10

// MostOutput is the highest number of an output.
const MostOutput = 99

// whole is how near to a whole number a code must be, G codes times ten.
const whole = 0.0001

// GCode returns ten times the code of a G word.
func (w Word) GCode() (int, error) {
	n := math.Round(10 * w.Value)
	if math.Abs(w.Value-n/10) > whole || n < 0 || n >= 1000 || gGroup[int(n)] == noGroup {
		return 0, fail("G%g is no code of RS274/NGC", w.Value)
	}
	return int(n), nil
}

// MCode returns the code of an M word.
func (w Word) MCode() (int, error) {
	n := math.Round(w.Value)
	if math.Abs(w.Value-n) > whole || n < 0 || n > 99 || mGroup[int(n)] == noGroup {
		return 0, fail("M%g is no code of RS274/NGC", w.Value)
	}
	return int(n), nil
}

// Program holds the modes that make a line right or wrong. The zero value is a
// controller at its start with no feed set.
type Program struct {
	motion  int // ten times the active code of group 1, plus 1; 0 for none
	inverse bool
	feed    float64
	Ended   bool
}

// codes is what one line holds, gathered in one pass.
type codes struct {
	letters uint32 // a bit for each letter but G and M
	gGroups uint32
	mGroups uint32
	mWords  int
	motion  int // as in Program; 0 when the line names none
	other   int // ten times the code of group 0; 0 when the line has none
	feed    float64
}

const axes = 1<<('X'-'A') | 1<<('Y'-'A') | 1<<('Z'-'A') | 1<<0 | 1<<1 | 1<<2

func (c *codes) has(letter byte) bool { return c.letters&(1<<(letter-'A')) != 0 }

// Check judges a parsed line by the rules for words on a line and the modes
// that the lines before it have set, and then sets those of this one.
func (p *Program) Check(l *Line) error {
	c := codes{feed: -1}
	for _, w := range l.Words {
		if err := c.word(w, p); err != nil {
			return err
		}
	}
	if err := p.axisWords(&c); err != nil {
		return err
	}
	if err := p.feedSet(&c); err != nil {
		return err
	}
	if c.other == 40 && !c.has('P') {
		return fail("G4 needs a P word")
	}
	return c.outputWords()
}

// outputWords wants the number of an output and its value beside M67.
func (c *codes) outputWords() error {
	if c.mGroups&(1<<outputGroup) != 0 && !(c.has('E') && c.has('Q')) {
		return fail("M67 needs an E word, the number of the output, and a Q word, its value")
	}
	return nil
}

func (c *codes) word(w Word, p *Program) error {
	switch w.Letter {
	case 'G':
		return c.g(w, p)
	case 'M':
		return c.m(w, p)
	case 'F', 'S', 'P', 'T':
		if w.Value < 0 {
			return fail("%c%g is negative", w.Letter, w.Value)
		}
	}
	switch {
	case w.Letter == 'F':
		c.feed = w.Value
	case w.Letter == 'E' && (w.Value != math.Trunc(w.Value) || w.Value < 0 || w.Value > MostOutput):
		return fail("E%g is no number of an output", w.Value)
	}
	if c.has(w.Letter) {
		return fail("two %c words on a line", w.Letter)
	}
	c.letters |= 1 << (w.Letter - 'A')
	return nil
}

func (c *codes) g(w Word, p *Program) error {
	code, err := w.GCode()
	if err != nil {
		return err
	}
	group := uint32(1) << gGroup[code]
	if c.gGroups&group != 0 {
		return fail("G%g and another G word of its modal group on a line", w.Value)
	}
	c.gGroups |= group
	switch {
	case gGroup[code] == 1:
		c.motion = code + 1
	case gGroup[code] == 0:
		c.other = code
	case code == 930 || code == 940:
		p.inverse = code == 930
	}
	return nil
}

func (c *codes) m(w Word, p *Program) error {
	code, err := w.MCode()
	if err != nil {
		return err
	}
	group := uint32(1) << mGroup[code]
	if c.mGroups&group != 0 {
		return fail("M%g and another M word of its modal group on a line", w.Value)
	}
	if c.mWords++; c.mWords > 4 {
		return fail("more than four M words on a line")
	}
	c.mGroups |= group
	if code == 2 || code == 30 {
		p.Ended = true
	}
	return nil
}

// takesAxes reports that a non-modal code uses the line's axis words.
func takesAxes(code int) bool {
	return code == 100 || code == 280 || code == 300 || code == 920
}

// axisWords finds out what the line's axis words are for.
func (p *Program) axisWords(c *codes) error {
	const cancel = 800 + 1
	given := c.letters&axes != 0
	named := c.motion != 0 && c.motion != cancel
	switch {
	case named && takesAxes(c.other):
		return fail("a motion code beside G%g, which wants the axis words too", float64(c.other)/10)
	case named && !given:
		return fail("G%g with no axis word", float64(c.motion-1)/10)
	case c.other == 920 && !given:
		return fail("G92 with no axis word") // section 3.5.18
	case c.motion == cancel && given && !takesAxes(c.other):
		return fail("axis words beside G80")
	}
	if c.motion != 0 {
		p.motion = c.motion
	}
	moves := given && !takesAxes(c.other)
	if moves && (p.motion == 0 || p.motion == cancel) {
		return fail("axis words with no active motion code")
	}
	if arc := p.motion == 21 || p.motion == 31; moves && arc {
		return arcWords(c)
	}
	return nil
}

func arcWords(c *codes) error {
	centre := c.has('I') || c.has('J') || c.has('K')
	if centre == c.has('R') {
		return fail("an arc needs either its centre (I, J, K) or its radius (R)")
	}
	return nil
}

// feedSet refuses motion at no feed.
func (p *Program) feedSet(c *codes) error {
	if c.feed >= 0 {
		p.feed = c.feed
	}
	rapid := p.motion <= 1
	moves := c.letters&axes != 0 && !takesAxes(c.other)
	switch {
	case !moves || rapid:
		return nil
	case p.feed == 0:
		return fail("motion with no feed set")
	case p.inverse && c.feed < 0:
		return fail("motion with no F word under G93")
	}
	return nil
}
