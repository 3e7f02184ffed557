package markvec

import (
	"fmt"
	"io"
	"math"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
)

// defaultDotMS is the longest dot where no profile says otherwise, ms.
const defaultDotMS = 1000

// Audit reads a list to its end and returns what the form allows and a player should
// still never be given, at most limit problems. Where the machine's profile is given,
// the list must be one for it. A list that breaks the form is an error.
func Audit(r io.Reader, profile *machine.Profile, limit int) ([]*FormError, error) {
	d, err := NewReader(r)
	if err != nil {
		return nil, err
	}
	a := auditor{reader: d, profile: profile, limit: limit, longestDotUS: defaultDotMS * 1000}
	if profile != nil && profile.Galvo != nil {
		if ms := profile.Galvo.LongestDotMS; ms > 0 {
			a.longestDotUS = int64(ms * 1000)
		}
		if err := a.head(); err != nil {
			return nil, err
		}
	}
	for {
		rec, err := d.Next()
		if err == io.EOF {
			a.unused()
			return a.found, nil
		}
		if err != nil {
			return nil, err
		}
		a.record(&rec)
	}
}

type auditor struct {
	reader       *Reader
	profile      *machine.Profile // or nil
	limit        int
	found        []*FormError
	longestDotUS int64
	said         emit.Header // what the comments say of the list

	at      path.Point // in steps
	started bool
	setting uint16 // in force
	lines   []int  // of each setting, 0 once it is used
	gate    gate
	amiss   string // what is wrong with the list's third line, unless a comment says that it is meant
}

// head compares the second and third line with the profile.
func (a *auditor) head() error {
	want, err := emit.ListHeader(*a.profile)
	if err != nil {
		return err
	}
	w, h := a.reader.Field()
	if got := (path.Point{X: mm(int32(w)), Y: mm(int32(h))}); got != want.Field {
		a.add(2, RuleField, "the field of %s is %g x %g mm, not %g x %g", a.profile.ID, want.Field.X,
			want.Field.Y, got.X, got.Y)
	}
	if got := a.reader.Corrected(); got != want.Corrected {
		a.amiss = fmt.Sprintf("corrected %t, and lists for %s are corrected %t", got, a.profile.ID, want.Corrected)
	}
	return nil
}

// judgeCorrected tells what is wrong with the third line, once: of a list that is bare on
// purpose nothing is.
func (a *auditor) judgeCorrected() {
	if a.amiss != "" && (!a.said.Bare || a.reader.Corrected()) {
		a.add(3, RuleCorrected, "%s", a.amiss)
	}
	a.amiss = ""
}

func (a *auditor) record(rec *Record) {
	switch rec.Op {
	case Comment:
		if !a.reader.vectors {
			readHeader(rec.Text, &a.said)
		}
	case Setting:
		a.lines = append(a.lines, rec.Line)
		a.matches(rec)
	case Use:
		a.setting = rec.N
		a.judgeCorrected()
	case Wait, Hold:
		a.gate.rest(rec)
	case Dot:
		a.lines[a.setting] = 0
		a.dot(rec)
	case Jump, Mark, Move, Guide:
		a.lines[a.setting] = 0
		a.vector(rec)
	case End:
		if a.said.Profile == "" && a.said.Program != "" {
			a.add(rec.Line, RuleMaker, "the comment that names the profile is missing: the list was changed")
		}
	}
}

// matches compares a setting with the profile.
func (a *auditor) matches(rec *Record) {
	if a.profile == nil || a.profile.Galvo == nil {
		return
	}
	s, got := a.reader.Setting(rec.N)
	if want := a.profile.Scanner(s); got != want && !a.said.Stepped {
		key, is, due := firstDifference(values(s, got), values(s, want))
		a.add(rec.Line, RuleDelays, "%s %d, and that of %s is %d", key, is, a.profile.ID, due)
	}
	for _, w := range pulse.OutOfRange(s, *a.profile) {
		a.add(rec.Line, RuleSource, "%s", w)
	}
}

// firstDifference returns the first key in which two settings differ, with both values.
func firstDifference(a, b [len(keys)]int64) (key string, x, y int64) {
	for i := range keys {
		if a[i] != b[i] {
			return keys[i], a[i], b[i]
		}
	}
	return "", 0, 0
}

func (a *auditor) dot(rec *Record) {
	s, _ := a.reader.Setting(a.setting)
	a.gate.dot()
	switch us := int64(rec.T); {
	case s.Power == 0:
		a.add(rec.Line, RulePower, "a dot of no power")
	case us > a.longestDotUS:
		a.add(rec.Line, RuleDot, "a dot of %d us, and the longest is %d us: it would burn in", us, a.longestDotUS)
	}
}

func (a *auditor) vector(rec *Record) {
	s, c := a.reader.Setting(a.setting)
	to := path.Point{X: float64(rec.X), Y: float64(rec.Y)}
	way := to.Sub(a.at)
	if a.started && way == (path.Point{}) {
		a.add(rec.Line, RuleLength, "a move of no length")
	}
	if rec.Op == Mark && s.Power == 0 {
		a.add(rec.Line, RulePower, "a mark of no power")
	}
	if wrong := a.gate.vector(rec.Op, way, s, c); wrong != "" {
		a.add(rec.Line, RuleGate, "%s", wrong)
	}
	a.at, a.started = to, true
}

func (a *auditor) unused() {
	for _, line := range a.lines {
		if line > 0 {
			a.add(line, RuleUnused, "nothing uses this setting")
		}
	}
}

func (a *auditor) add(line int, rule Rule, format string, args ...any) {
	if len(a.found) < a.limit {
		a.found = append(a.found, &FormError{Line: line, Rule: rule, Msg: fmt.Sprintf(format, args...)})
	}
}

// gate follows the beam's gate. It closes off us behind the commanded end of a mark;
// the mirrors, whose lag the laser-on delay is set to, begin to follow a jump on us
// behind its command. So the gate is closed in time when no less than off - on passes
// from the end of a mark to the command of the jump, and opens again behind a gap only
// if it has closed in it.
type gate struct {
	chain   bool            // the last record is an M or D
	marked  bool            // it has been open, and elapsed counts since
	dark    bool            // a record with the beam off came since
	elapsed float64         // us
	last    machine.Scanner // of the last record of the chain
	setting path.Setting    // its other half
	jumpUS  float64         // wait behind the last jump; math.Inf where the beam was told to rest
	dir     path.Point      // of the last record of the chain
}

// vector takes a record that moves by a way in steps, and says what is wrong.
func (g *gate) vector(op Op, way path.Point, s path.Setting, c machine.Scanner) (wrong string) {
	length := way.Len()
	chain := op == Mark || op == Move
	if g.chain && (!chain || !sameChain(g.setting, s, g.last, c)) {
		g.close()
	}
	switch op {
	case Jump, Guide:
		if g.marked && g.elapsed < float64(g.last.OffUS-g.last.OnUS) {
			wrong = fmt.Sprintf("the gate is still open when the jump starts: the wait is %.4g us, and off less on "+
				"is %d us",
				g.elapsed, g.last.OffUS-g.last.OnUS)
		}
		g.marked, g.dark, g.jumpUS = false, false, 0
		if op == Jump {
			g.jumpUS = c.JumpWait(length).Seconds() * 1e6
		}
		return wrong
	case Mark:
		wrong = g.open(way, s, c)
	case Move:
		g.elapsed += g.corner(way, c) + 100*length/s.SpeedMMPerS
		g.dark, g.jumpUS = true, math.Inf(1)
	}
	g.chain, g.last, g.setting = true, c, s
	if length > 0 {
		g.dir = way
	}
	return wrong
}

// open judges the start of a mark, and takes its end.
func (g *gate) open(way path.Point, s path.Setting, c machine.Scanner) (wrong string) {
	g.elapsed += g.corner(way, c)
	switch {
	case g.marked && g.dark && g.elapsed < float64(g.last.OffUS-c.OnUS)+leastUS:
		wrong = fmt.Sprintf("the gap before it takes %.4g us, and the gate needs more than %d us to close: it stays "+
			"open", g.elapsed, g.last.OffUS-c.OnUS)
	case !g.marked && float64(-c.OnUS) > g.jumpUS:
		wrong = fmt.Sprintf("the gate opens %d us before the mark, and the jump before it ends %.4g us before it",
			-c.OnUS, g.jumpUS)
	}
	g.marked, g.dark, g.elapsed, g.jumpUS = true, false, 0, math.Inf(1)
	return wrong
}

// leastUS is less than any step of a list takes, us.
const leastUS = 1e-6

func (g *gate) corner(way path.Point, c machine.Scanner) float64 {
	if !g.chain || g.dir == (path.Point{}) || way == (path.Point{}) {
		return 0
	}
	return c.CornerWait(g.dir.Dot(way)/(g.dir.Len()*way.Len())).Seconds() * 1e6
}

// close ends a chain.
func (g *gate) close() {
	g.elapsed += float64(g.last.MarkUS)
	g.chain, g.dir = false, path.Point{}
}

// rest takes a wait or a stop, with the beam off.
func (g *gate) rest(rec *Record) {
	if g.chain {
		g.close()
	}
	g.dark, g.jumpUS = true, math.Inf(1)
	g.elapsed += float64(rec.T)
	if rec.Op == Hold {
		g.elapsed = math.Inf(1)
	}
}

// dot takes a dot, which has a gate of its own.
func (g *gate) dot() {
	if g.chain {
		g.close()
	}
	g.marked, g.dark, g.jumpUS = false, false, math.Inf(1)
}

func sameChain(s, t path.Setting, a, b machine.Scanner) bool {
	return a == b && s.SpeedMMPerS == t.SpeedMMPerS && s.FrequencyHz == t.FrequencyHz && s.PulseNS == t.PulseNS
}
