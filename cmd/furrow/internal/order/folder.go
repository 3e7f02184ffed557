package order

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/raster/paper"
)

// LogName is the log in an order's folder.
const LogName = "runs.csv"

// Written is what was made of an order.
type Written struct {
	Changes product.Changes
	Files   []File // one for each different load
	Runs    int    // of all files together
	Marking time.Duration
	Span    figures.Span // of the marking
	Loading time.Duration
	Across  string // what rows across parts save, in words
}

// File is a load's, as it was written.
type File struct {
	Name   string
	Loads  []Load // that it runs
	Time   time.Duration
	Span   figures.Span
	Lines  int
	CRC    string
	SHA256 string
	Parts  []time.Duration // of its seats
	First  []int           // line at which each seat's part begins; 0 where the file says nothing of it
}

// Write makes the folder of an order: whole, or not at all.
func (o *Order) Write(dir string, size paper.Size, kept []Kept) (Written, error) {
	before, err := recordOf(dir)
	if err != nil {
		return Written{}, err
	}
	if err := o.unchanged(dir, before); err != nil {
		return Written{}, err
	}
	f, err := product.NewFolder(dir, RecordName)
	if err != nil {
		return Written{}, notOurs(err)
	}
	o.draws = true
	w := Written{Runs: len(o.Loads)}
	err = o.fill(f, dir, size, kept, before, &w)
	w.Changes, err = f.End(err, o.stale(before))
	return w, err
}

// stale lists the files of an earlier run that this one takes the place of: those of
// loads of the same name. What other runs made of the order stays.
func (o *Order) stale(before Record) (all []string) {
	for _, out := range before.Outputs {
		if o.isLoad(out.Name) && product.LocalName(out.Name) {
			all = append(all, out.Name)
		}
	}
	return all
}

// isLoad reports that a file is a load's of this run.
func (o *Order) isLoad(name string) bool {
	rest, ok := strings.CutPrefix(name, o.Name+"-")
	return ok && strings.Trim(strings.TrimSuffix(rest, "."+o.ending()), "0123456789") == ""
}

// named is what a paper is called that is made for some of the parts.
func (o *Order) named(name string) string {
	if o.Name == "load" {
		return name
	}
	return o.Name + "-" + name
}

// CheckFolder refuses a folder that an order cannot go to.
func CheckFolder(dir string) error { return notOurs(product.CheckFolder(dir, RecordName)) }

func notOurs(err error) error {
	if _, not := err.(*product.NotOurs); not {
		return fault.Usagef("%w", err).Hintf("name a new folder, or one that furrow order made")
	}
	return err
}

// recordOf reads the record of a folder that is there, if one is.
func recordOf(dir string) (Record, error) {
	name := filepath.Join(dir, RecordName)
	data, err := os.ReadFile(name)
	if err != nil {
		return Record{}, nil // there is none, or none that counts
	}
	return ParseRecord(name, data)
}

// fill writes the files of the folder.
func (o *Order) fill(f *product.Folder, dir string, size paper.Size, kept []Kept, before Record, w *Written) error {
	r := o.record(dir, kept)
	for i, in := range r.Inputs {
		if err := f.Write(in.Kept, bytesOf(kept[i].Data)); err != nil {
			return err
		}
	}
	shown, err := o.makeLoads(w, func(m Made) (File, error) {
		file, err := o.writeLoad(f, m)
		r.Outputs = append(r.Outputs, Output{Name: file.Name, SHA256: file.SHA256, Lines: file.Lines, CRC: file.CRC})
		return file, err
	})
	if err != nil {
		return err
	}
	if err := o.papers(f, size, shown, w, &r); err != nil {
		return err
	}
	if o.Trace {
		if err := o.writeTrace(f, &r); err != nil {
			return err
		}
	}
	if err := o.beginLog(f, dir); err != nil {
		return err
	}
	r.addOld(before, o.stale(before))
	return f.Write(RecordName, r.encode)
}

// Try makes every load and writes nothing: what does not fit is told, and how long it
// takes.
func (o *Order) Try() (Written, error) {
	w := Written{Runs: len(o.Loads)}
	_, err := o.makeLoads(&w, o.fileOf)
	return w, err
}

// makeLoads makes each different load and a file of it. It returns the first.
func (o *Order) makeLoads(w *Written, file func(m Made) (File, error)) (shown Made, err error) {
	for _, l := range o.Loads {
		if !l.First {
			continue
		}
		m, err := o.Make(l)
		if err == nil && len(shown.Seats) == 0 {
			shown, w.Across, err = o.worthIt(m)
			m = shown
		}
		if err != nil {
			return Made{}, err
		}
		f, err := file(m)
		if err != nil {
			return Made{}, err
		}
		w.add(o, f)
	}
	return shown, nil
}

// unchanged refuses to write over what somebody has changed by hand since it was made.
func (o *Order) unchanged(dir string, before Record) error {
	papers := []string{o.named("parts.csv"), o.named("proof.pdf"), o.named("sheet.pdf")}
	for _, out := range before.Outputs {
		if !product.LocalName(out.Name) || !o.isLoad(out.Name) && !slices.Contains(papers, out.Name) {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(out.Name)))
		if err != nil {
			continue // it is made again
		}
		if sum := sha256.Sum256(data); out.SHA256 != "" && hex.EncodeToString(sum[:]) != out.SHA256 {
			return fault.Workf("%s in %s was changed since it was made, and would be overwritten", out.Name, dir).
				Hintf("rename it to keep it, or delete it")
		}
	}
	return nil
}

// addOld adds what earlier runs made and this one does not.
func (r *Record) addOld(before Record, stale []string) {
	for _, out := range before.Outputs {
		made := slices.ContainsFunc(r.Outputs, func(o Output) bool { return o.Name == out.Name })
		if !made && !slices.Contains(stale, out.Name) {
			r.Outputs = append(r.Outputs, out)
		}
	}
	slices.SortFunc(r.Outputs, func(a, b Output) int { return strings.Compare(a.Name, b.Name) })
}

// beginLog makes the log of a folder that has none.
func (o *Order) beginLog(f *product.Folder, dir string) error {
	if _, err := os.Stat(filepath.Join(dir, LogName)); err == nil {
		return nil
	}
	return f.Write(LogName, bytesOf(runlog.Heads()))
}

// add counts a file for each of its loads.
func (w *Written) add(o *Order, file File) {
	w.Files = append(w.Files, file)
	for _, l := range file.Loads {
		w.Marking += file.Time
		w.Span.Low, w.Span.High, w.Span.Assumed = w.Span.Low+file.Span.Low, w.Span.High+file.Span.High,
			file.Span.Assumed
		w.Loading += time.Duration(len(l.Seats)) * o.loading()
	}
}

// papers writes what people read.
func (o *Order) papers(f *product.Folder, size paper.Size, shown Made, w *Written, r *Record) error {
	for _, p := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{o.named("parts.csv"), func(out io.Writer) error { return o.partsCSV(out, w.Files) }},
		{o.named("proof.pdf"), func(out io.Writer) error { return o.proof(out, size) }},
		{o.named("sheet.pdf"), func(out io.Writer) error { return o.sheet(out, size, shown, *w) }},
	} {
		sum := newSum()
		if err := f.Write(p.name, func(out io.Writer) error { return p.write(io.MultiWriter(out, sum)) }); err != nil {
			return err
		}
		r.Outputs = append(r.Outputs, Output{Name: p.name, SHA256: sum.hex()})
	}
	return nil
}

func bytesOf(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// record begins the record.
func (o *Order) record(dir string, kept []Kept) Record {
	r := Record{
		Furrow: 1, Version: o.Version, Machine: o.Machine.ID, Profile: o.Machine.Hash(), Parts: o.Quantity(),
		Values: valuesOf(o.Resolved), Inputs: keep(dir, kept),
		Flags: o.Flags,
	}
	if o.Recipe != nil {
		r.Recipe = o.Recipe.ID
	}
	return r
}

// fileOf is what is known of a load's file before it is written.
func (o *Order) fileOf(m Made) (File, error) {
	span, err := figures.SpanOf(m.Moves, o.Machine.Profile, m.Clock)
	return File{Name: m.File, Loads: o.loadsOf(m.File), Time: m.Clock.Total(), Span: span, Parts: m.Parts}, err
}

// writeLoad writes the file of a load.
func (o *Order) writeLoad(f *product.Folder, m Made) (File, error) {
	file, err := o.fileOf(m)
	if err != nil {
		return File{}, err
	}
	facts := newFacts(m.Moves.Notes)
	err = f.Write(m.File, func(w io.Writer) error { return o.encode(io.MultiWriter(w, facts), m) })
	file.Lines, file.CRC, file.SHA256 = facts.lines, facts.crc, facts.sum.hex()
	file.First = facts.firstLines(m.Runs)
	return file, err
}

// encode writes the moves of a load in the machine's format.
func (o *Order) encode(w io.Writer, m Made) error {
	comments := o.comments(m)
	if m.Moves.IsList() {
		return markvec.Encoder{Comments: comments}.Encode(w, m.Moves)
	}
	moves := m.Moves
	moves.Header.Time = m.Clock.Total()
	return gcode.Encoder{Profile: o.Machine.Controller(), Comments: comments}.Encode(w, moves)
}

// partsCSV writes a line for each part.
func (o *Order) partsCSV(w io.Writer, files []File) error {
	out := csv.NewWriter(w)
	out.Write(append([]string{"part", "load", "pocket", "file", "first_line", "predicted_s"}, o.textHeads()...))
	for _, l := range o.Loads {
		file := files[slices.IndexFunc(files, func(f File) bool { return f.Name == l.File })]
		for i, s := range l.Seats {
			row := []string{strconv.Itoa(s.Part), strconv.Itoa(l.Number), strconv.Itoa(s.Pocket.Number), l.File, "",
				strconv.FormatFloat(file.Parts[i].Seconds(), 'f', 3, 64)}
			if file.First[i] > 0 {
				row[4] = strconv.Itoa(file.First[i])
			}
			for _, t := range o.parts[s.Part].Texts {
				row = append(row, t.Text)
			}
			out.Write(row)
		}
	}
	out.Flush()
	return out.Error()
}

// textHeads are the columns of what is each part's own.
func (o *Order) textHeads() (heads []string) {
	for _, t := range o.parts[o.Numbers[0]].Texts {
		heads = append(heads, t.Label)
	}
	return heads
}

// comments are what the file says of itself.
func (o *Order) comments(m Made) []string {
	lines := []string{"furrow " + o.Version, fmt.Sprintf("%s, %s", o.title(), o.whatLoad(m))}
	return append(append(lines, "clearance: "+o.clearance(m)), o.Machine.Cautions()...)
}
