package gcode

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Problem is a line that a controller might refuse, or do something else with
// than what was meant.
type Problem struct {
	Line    int // 1-based; 0 when it is the file as a whole
	Rule    Rule
	Message string
	Hint    string // what to do; may be empty
	More    int    // how many later lines have the same problem
}

func (p *Problem) Error() string {
	if p.Line == 0 {
		return p.Message
	}
	if p.More > 0 {
		return fmt.Sprintf("line %d and %d more: %s", p.Line, p.More, p.Message)
	}
	return fmt.Sprintf("line %d: %s", p.Line, p.Message)
}

// kind returns the rule and the message without its numbers, which tell one kind of
// problem from another.
func (p *Problem) kind() string {
	return string(p.Rule) + strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '.' || r == '-' {
			return -1
		}
		return r
	}, p.Message)
}

// Read reads a file as a strict controller would. With the section of a
// profile, S is scaled by it and only its words are taken; with its zero value
// the controller is unknown, and S is taken to be 1000 at full power. Read goes
// over the file once, to refuse what is wrong with it before any move is used;
// the error is then a *Problem. Play reads it again each time, in constant
// memory.
//
// Settings are the combinations of feed, power and air in the file. Comments
// are not believed, except that they name the profile that the file was made
// for.
func Read(r io.ReaderAt, controller machine.GCode) (emit.Moves, error) {
	return read(r, func() *interpreter { return newInterpreter(controller) })
}

func read(r io.ReaderAt, fresh func() *interpreter) (emit.Moves, error) {
	first := fresh()
	first.settings = map[settingKey]uint16{}
	for _, err := range first.play(r) {
		if err != nil {
			return emit.Moves{}, err
		}
	}
	m := emit.Moves{Header: first.header, Settings: first.list}
	m.Play = func(yield func(emit.Move, error) bool) {
		again := fresh()
		again.settings, again.list = first.settings, first.list
		again.frozen = true
		for mv, err := range again.play(r) {
			if !yield(mv, err) {
				return
			}
		}
	}
	return m, nil
}

// Audit reads a file to its end and returns at most limit kinds of problem, each
// with its first line, among them lines that are longer than small controllers
// take. The error is that of reading.
func Audit(r io.Reader, controller machine.GCode, limit int) ([]*Problem, error) {
	in := newInterpreter(controller)
	in.settings = map[settingKey]uint16{}
	in.maxLine = maxLine
	var found []*Problem
	first := map[string]*Problem{}
	in.report = func(p *Problem) bool {
		if same := first[p.kind()]; same != nil {
			same.More++
			return true
		}
		first[p.kind()] = p
		found = append(found, p)
		return len(found) < limit
	}
	err := in.run(r, func(emit.Move) bool { return true })
	if errors.Is(err, errStopped) {
		err = nil
	}
	return found, err
}

// LineOf returns the line (1-based) of the move with an index in what Read
// returns for the same file, or 0 where there is none.
func LineOf(r io.ReaderAt, controller machine.GCode, move int) int {
	in := newInterpreter(controller)
	in.settings = map[settingKey]uint16{}
	in.report = func(*Problem) bool { return false }
	line := 0
	in.run(io.NewSectionReader(r, 0, 1<<62), func(emit.Move) bool { // Read has seen its errors
		if move == 0 {
			line = in.n
		}
		move--
		return line == 0
	})
	return line
}

// play runs the file from its start and stops at the first problem.
func (in *interpreter) play(r io.ReaderAt) func(yield func(emit.Move, error) bool) {
	return func(yield func(emit.Move, error) bool) {
		var first *Problem
		in.report = func(p *Problem) bool {
			first = p
			return false
		}
		err := in.run(io.NewSectionReader(r, 0, 1<<62), func(mv emit.Move) bool { return yield(mv, nil) })
		switch {
		case first != nil:
			yield(emit.Move{}, first)
		case err != nil && !errors.Is(err, errStopped):
			yield(emit.Move{}, err)
		}
	}
}

var errStopped = errors.New("stopped")

// run reads lines until the end of the file, a read error, or errStopped when
// yield or report has had enough.
func (in *interpreter) run(r io.Reader, yield func(emit.Move) bool) error {
	in.yield = yield
	br := bufio.NewReaderSize(r, bufferSize)
	for {
		text, err := br.ReadSlice('\n')
		if errors.Is(err, bufio.ErrBufferFull) {
			in.n++
			in.unclear(RuleText, "", "the line is longer than any controller takes: this is no G-code")
			return errStopped
		}
		if err != nil && err != io.EOF {
			return err
		}
		if len(text) > 0 {
			in.next(text)
			if in.behind != nil {
				in.behind(text)
			}
		}
		if err == io.EOF {
			in.finish()
		}
		if in.stopped {
			return errStopped
		}
		if err == io.EOF {
			return nil
		}
	}
}

// settingKey is what tells one setting of a file from another.
type settingKey struct {
	speed, power float64
	air          bool
}

// setting returns the index of the setting that holds now.
func (in *interpreter) setting(speed, power float64) uint16 {
	k := settingKey{speed, power, in.air}
	if k == in.lastKey { // the zero key is no mark's
		return in.last
	}
	i, ok := in.settings[k]
	if !ok && !in.frozen {
		i = in.newSetting(k)
	}
	in.lastKey, in.last = k, i
	return i
}

func (in *interpreter) newSetting(k settingKey) uint16 {
	if len(in.list) > 1<<16-1 {
		in.unclear(RuleSettings, "", "more than 65,536 combinations of feed and power")
		return 0
	}
	i := uint16(len(in.list))
	in.list = append(in.list, path.Setting{
		Name:        fmt.Sprintf("%.4g mm/s, %.4g percent", k.speed, 100*k.power),
		SpeedMMPerS: k.speed, Power: k.power, Air: k.air,
	})
	in.settings[k] = i
	return i
}
