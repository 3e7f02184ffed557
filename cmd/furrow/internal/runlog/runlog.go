// Package runlog keeps what was made and how long it took: a plain CSV that is
// only ever added to, one line a run.
package runlog

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/lockedfile"
)

// Run is a line of the log. Empty texts and zeros are what is not known.
type Run struct {
	Date      string // YYYY-MM-DD
	File      string
	SHA256    string // of the file
	Machine   string
	Profile   string // hash of the machine's profile
	Load      int
	Parts     string // "1-12"
	Predicted Split
	MeasuredS float64 // by a watch, or by the program that sent the file; time held is left out
	Note      string
	What      What
}

// Split is a predicted time and what it is made of, s.
type Split struct {
	TotalS                                             float64
	MarkS, OvertravelS, TurnS, TravelS, CornerS        float64
	JumpS, JumpDelayS, MarkDelayS, CornerDelayS, WaitS float64
}

// What says what kind of line it is.
type What string

// The kinds of line.
const (
	Ran       What = "ran"       // marked
	Dry       What = "dry"       // run with the beam off
	Stopped   What = "stopped"   // before its end
	Doubtful  What = "doubtful"  // in a time far off what was predicted, which nobody has said to be right
	Accepted  What = "accepted"  // the first article
	Withdrawn What = "withdrawn" // strikes a line before it that is alike but for its kind and note
)

// Withdraws reports that r strikes a line.
func (r Run) Withdraws(line Run) bool {
	line.Note, line.What = r.Note, Withdrawn
	return r == line
}

// standing leaves out the lines that later ones strike, and those.
func standing(lines []Run) (runs []Run) {
	for _, r := range lines {
		if r.What != Withdrawn {
			runs = append(runs, r)
			continue
		}
		for i := len(runs) - 1; i >= 0; i-- {
			if r.Withdraws(runs[i]) {
				runs = slices.Delete(runs, i, i+1)
				break
			}
		}
	}
	return runs
}

// columns are the heads of the file, in its sequence. What stands last, and is
// never empty, so that a line that was cut off can be told.
var columns = []string{
	"date", "file", "sha256", "machine", "profile", "load", "parts", "predicted_s",
	"mark_s", "overtravel_s", "turn_s", "travel_s", "corner_s", "jump_s", "jump_delay_s", "mark_delay_s",
	"corner_delay_s", "wait_s",
	"measured_s", "note", "what",
}

// numbers are pointers to those of a run, by their column.
func (r *Run) numbers() map[string]*float64 {
	p := &r.Predicted
	return map[string]*float64{
		"predicted_s": &p.TotalS, "mark_s": &p.MarkS, "overtravel_s": &p.OvertravelS, "turn_s": &p.TurnS,
		"travel_s": &p.TravelS,
		"corner_s": &p.CornerS, "jump_s": &p.JumpS, "jump_delay_s": &p.JumpDelayS, "mark_delay_s": &p.MarkDelayS,
		"corner_delay_s": &p.CornerDelayS, "wait_s": &p.WaitS, "measured_s": &r.MeasuredS,
	}
}

func (r *Run) texts() map[string]*string {
	return map[string]*string{
		"date": &r.Date, "file": &r.File, "sha256": &r.SHA256, "machine": &r.Machine, "profile": &r.Profile,
		"parts": &r.Parts, "note": &r.Note,
		"what": (*string)(&r.What),
	}
}

// Append adds a run to the log of a name, which it makes where there is none. Two
// programs may do so at once.
func Append(name string, r Run) error {
	if err := r.check(); err != nil {
		return err
	}
	f, err := lockedfile.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return err
	}
	head, err := toBeginWith(f)
	if err == nil {
		_, err = f.Write(append(head, line(r.row())...)) // in one piece
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

func (r Run) check() error {
	switch r.What {
	case Ran, Dry, Stopped, Doubtful, Accepted, Withdrawn:
	default:
		return fmt.Errorf("%q is no kind of line of a log", r.What)
	}
	for column, v := range r.numbers() {
		if !(*v >= 0) || math.IsInf(*v, 0) {
			return fmt.Errorf("%s: %g is no time", column, *v)
		}
	}
	return nil
}

// toBeginWith returns what has to stand before a new line: the heads in an empty
// file, and the end of a line that was cut off.
func toBeginWith(f *lockedfile.File) ([]byte, error) {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, err
	}
	if size == 0 {
		return line(columns), nil
	}
	var last [1]byte
	if _, err := f.ReadAt(last[:], size-1); err != nil {
		return nil, err
	}
	if last[0] != '\n' {
		return []byte("\n"), nil
	}
	return nil, nil
}

func (r Run) row() (row []string) {
	numbers, texts := r.numbers(), r.texts()
	for _, c := range columns {
		switch {
		case c == "load" && r.Load > 0:
			row = append(row, strconv.Itoa(r.Load))
		case numbers[c] != nil && *numbers[c] > 0:
			row = append(row, strconv.FormatFloat(*numbers[c], 'f', -1, 64))
		case texts[c] != nil:
			row = append(row, plain(*texts[c]))
		default:
			row = append(row, "")
		}
	}
	return row
}

// MarshalText returns the line of a run, as the log has it.
func (r Run) MarshalText() ([]byte, error) {
	return bytes.TrimSuffix(line(r.row()), []byte("\n")), r.check()
}

// UnmarshalText reads a line of a log.
func (r *Run) UnmarshalText(text []byte) (err error) {
	*r, err = parseLine(string(text))
	return err
}

// plain keeps a text on its line.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, s)
}

func line(row []string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(row)
	w.Flush() // a buffer takes all
	return b.Bytes()
}

// Heads returns what an empty log holds.
func Heads() []byte { return line(columns) }

// Damaged is a line that could not be read, and was left out.
type Damaged struct {
	Line int
	Why  error
}

func (d Damaged) Error() string { return fmt.Sprintf("line %d: %v", d.Line, d.Why) }

// Read returns the runs of a log that stand, without those that a later line withdraws,
// and the lines that are damaged. A log that is not there is empty.
func Read(name string) ([]Run, []Damaged, error) {
	f, err := lockedfile.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || info.Size() > maxBytes {
		return nil, nil, cmp.Or(err, fmt.Errorf("the log is larger than %d MB", maxBytes>>20))
	}
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, nil, err
	}
	runs, damaged := parse(data)
	return standing(runs), damaged, nil
}

// maxBytes bounds a log: a run a minute for some years.
const maxBytes = 256 << 20

// parse reads a log line by line: texts hold no line ends, so that a damaged line
// takes no other with it.
func parse(data []byte) (runs []Run, damaged []Damaged) {
	for i, text := range strings.Split(string(data), "\n") {
		text = strings.TrimSuffix(text, "\r")
		if text == "" || i == 0 && text == strings.Join(columns, ",") {
			continue
		}
		r, err := parseLine(text)
		if err != nil {
			damaged = append(damaged, Damaged{Line: i + 1, Why: err})
			continue
		}
		runs = append(runs, r)
	}
	return runs, damaged
}

func parseLine(text string) (r Run, err error) {
	row, err := csv.NewReader(strings.NewReader(text)).Read()
	switch {
	case err != nil:
		return r, err
	case len(row) != len(columns):
		return r, fmt.Errorf("%d values instead of %d", len(row), len(columns))
	}
	numbers, texts := r.numbers(), r.texts()
	for i, c := range columns {
		switch {
		case texts[c] != nil:
			*texts[c] = row[i]
		case row[i] == "":
		case c == "load":
			r.Load, err = strconv.Atoi(row[i])
		default:
			*numbers[c], err = strconv.ParseFloat(row[i], 64)
		}
		if err != nil {
			return r, fmt.Errorf("%s: %q is not a number", c, row[i])
		}
	}
	return r, r.check()
}
