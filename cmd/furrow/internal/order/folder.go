package order

import (
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"furrow/cmd/furrow/internal/fault"
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
	Loading time.Duration
}

// File is a load's, as it was written.
type File struct {
	Name   string
	Loads  []Load // that it runs
	Time   time.Duration
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
	f, err := product.NewFolder(dir, RecordName)
	if err != nil {
		return Written{}, notOurs(err)
	}
	w := Written{Runs: len(o.Loads)}
	err = o.fill(f, dir, size, kept, &w)
	w.Changes, err = f.End(err, before.names())
	return w, err
}

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

// names lists the files that the record says were made.
func (r Record) names() (all []string) {
	for _, out := range r.Outputs {
		if product.LocalName(out.Name) {
			all = append(all, out.Name)
		}
	}
	for _, in := range r.Inputs {
		if product.LocalName(in.Kept) {
			all = append(all, in.Kept)
		}
	}
	return all
}

// fill writes the files of the folder.
func (o *Order) fill(f *product.Folder, dir string, size paper.Size, kept []Kept, w *Written) error {
	r := o.record(kept)
	for i, in := range r.Inputs {
		if err := f.Write(in.Kept, bytesOf(kept[i].Data)); err != nil {
			return err
		}
	}
	var shown Made
	for _, l := range o.Loads {
		if !l.First {
			continue
		}
		m, err := o.Make(l)
		if err != nil {
			return err
		}
		file, err := o.writeLoad(f, m)
		if err != nil {
			return err
		}
		w.add(o, file)
		r.Outputs = append(r.Outputs, Output{Name: file.Name, SHA256: file.SHA256, Lines: file.Lines, CRC: file.CRC})
		if len(shown.Seats) == 0 {
			shown = m
		}
	}
	return o.papers(f, dir, size, shown, w, r)
}

// add counts a file for each of its loads.
func (w *Written) add(o *Order, file File) {
	w.Files = append(w.Files, file)
	for _, l := range file.Loads {
		w.Marking += file.Time
		w.Loading += time.Duration(len(l.Seats)) * o.loading()
	}
}

// papers writes what people read, and the record of all of it.
func (o *Order) papers(f *product.Folder, dir string, size paper.Size, shown Made, w *Written, r Record) error {
	for _, p := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"parts.csv", func(out io.Writer) error { return o.partsCSV(out, w.Files) }},
		{"proof.pdf", func(out io.Writer) error { return o.proof(out, size) }},
		{"sheet.pdf", func(out io.Writer) error { return o.sheet(out, size, shown, *w) }},
	} {
		sum := newSum()
		if err := f.Write(p.name, func(out io.Writer) error { return p.write(io.MultiWriter(out, sum)) }); err != nil {
			return err
		}
		r.Outputs = append(r.Outputs, Output{Name: p.name, SHA256: sum.hex()})
	}
	if _, err := os.Stat(filepath.Join(dir, LogName)); err != nil {
		if err := f.Write(LogName, bytesOf(runlog.Heads())); err != nil {
			return err
		}
	}
	return f.Write(RecordName, r.encode)
}

func bytesOf(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// record begins the record.
func (o *Order) record(kept []Kept) Record {
	r := Record{
		Furrow: 1, Version: o.Version, Machine: o.Machine.ID, Profile: o.Machine.Hash(), Parts: o.Quantity(),
		Values: valuesOf(o.Resolved), Inputs: keep(kept),
	}
	if o.Recipe != nil {
		r.Recipe = o.Recipe.ID
	}
	return r
}

// writeLoad writes the file of a load.
func (o *Order) writeLoad(f *product.Folder, m Made) (File, error) {
	file := File{Name: m.File, Loads: o.loadsOf(m.File), Time: m.Clock.Total(), Parts: m.Parts}
	facts := newFacts(m.Moves.Notes)
	err := f.Write(m.File, func(w io.Writer) error { return o.encode(io.MultiWriter(w, facts), m) })
	file.Lines, file.CRC, file.SHA256 = facts.lines, facts.crc, facts.sum.hex()
	file.First = facts.firstLines(len(m.Seats))
	return file, err
}

// encode writes the moves of a load in the machine's format.
func (o *Order) encode(w io.Writer, m Made) error {
	comments := o.comments(m)
	if m.Moves.ForGalvo() {
		return markvec.Encoder{Comments: comments}.Encode(w, m.Moves)
	}
	return gcode.Encoder{Profile: o.Machine.Controller(), Comments: comments}.Encode(w, m.Moves)
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
