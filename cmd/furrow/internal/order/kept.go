package order

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/words"
)

// Old is an order's folder that is read again.
type Old struct {
	Record
	Dir string
}

// Open reads the record of an order's folder.
func Open(dir string) (Old, error) {
	name := filepath.Join(dir, RecordName)
	data, err := os.ReadFile(name)
	if info, bad := os.Stat(dir); bad == nil && !info.IsDir() {
		return Old{}, fault.Usagef("%s is a file, not the folder of an order", dir).
			Hintf("name a folder that furrow order made")
	}
	if errors.Is(err, fs.ErrNotExist) {
		return Old{}, fault.Usagef("folder %s holds no %s", dir, RecordName).
			Hintf("name a folder that furrow order made")
	}
	if err != nil {
		return Old{}, fault.Usagef("%w", err)
	}
	r, err := ParseRecord(name, data)
	if err != nil {
		return Old{}, err
	}
	if _, there := r.Input(JobFile); !there {
		return Old{}, fault.Usagef("%s names no job that the order was made from: it was cut short or changed", name).
			Hintf("make the order anew with furrow order, into another folder")
	}
	return Old{Record: r, Dir: dir}, nil
}

// Kept reads what the folder keeps, and refuses what is not as it was.
func (o Old) Kept() (all []Kept, err error) {
	for _, in := range o.Inputs {
		if !product.LocalName(in.Kept) {
			return nil, fault.Usagef("%s: %q is no name inside the folder", filepath.Join(o.Dir, RecordName), in.Kept)
		}
		name := filepath.Join(o.Dir, filepath.FromSlash(in.Kept))
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, fault.Unreadable(err)
		}
		if digest(data) != in.SHA256 {
			return nil, fault.Workf("%s is not as it was kept", name).
				Hintf("put the kept file back, or make the order from the files of today with furrow order")
		}
		all = append(all, Kept{Role: in.Role, Name: o.Outside(in), BuiltIn: in.BuiltIn, Data: data})
	}
	return all, nil
}

// Outside names the file that an input was read from.
func (o Old) Outside(in InputFile) string {
	if filepath.IsAbs(in.Name) || in.BuiltIn {
		return in.Name
	}
	return filepath.Join(o.Dir, filepath.FromSlash(in.Name))
}

// Inside names the file that an input is kept in.
func (o Old) Inside(in InputFile) string { return filepath.Join(o.Dir, filepath.FromSlash(in.Kept)) }

// Changed lists the roles of inputs that are another thing today than what is kept,
// with what there is to say of each. now holds those of today.
func Changed(kept, now []Kept) (all []Change) {
	for _, k := range kept {
		i := slices.IndexFunc(now, k.sameAs)
		switch {
		case i < 0 || now[i].Data == nil:
			all = append(all, Change{Role: k.Role, Words: fmt.Sprintf("%s %s is gone", k.Role, k.Name)})
		case digest(now[i].Data) != digest(k.Data):
			all = append(all, Change{Role: k.Role, There: true, Words: fmt.Sprintf("%s %s has changed",
				k.Role, now[i].Name)})
		}
	}
	return all
}

// sameAs reports that another input is what k is, as it was or is: of fonts there are many.
func (k Kept) sameAs(n Kept) bool { return k.Role == n.Role && (k.Role != Font || k.Name == n.Name) }

// Change is an input that is another thing today.
type Change struct {
	Role  Role
	There bool // there is one today
	Words string
}

// FileOfLoad names the file that a load runs; that of all loads where none is named.
func (o Old) FileOfLoad(load int) (string, error) {
	rows, err := o.parts()
	if err != nil {
		return "", err
	}
	files, alike := map[int]string{}, true
	for _, r := range rows {
		files[r.load] = r.file
		alike = alike && r.file == rows[0].file
	}
	if load == 0 && len(files) > 0 && alike {
		load = rows[0].load
	}
	if files[load] == "" {
		return "", notAmong(load, len(files))
	}
	return files[load], nil
}

// notAmong is a load that an order does not have, 0 where none is named.
func notAmong(load, loads int) error {
	if load == 0 {
		return fault.Usagef("the order has %s", words.Plural(loads, "load")).Hintf("add --load N to say which")
	}
	return fault.Usagef("the order has %s, and no load %d", words.Plural(loads, "load"), load)
}

// Filling is a load that runs a file: which part sits in which pocket.
type Filling struct {
	Load  int
	Parts []int       // in the sequence in which they are marked
	In    map[int]int // the part in each pocket
}

// Fillings lists the loads that run a file of the folder, of whatever run of the order;
// none where no table of parts names it.
func (o Old) Fillings(file string) (all []Filling, err error) {
	tables, err := filepath.Glob(filepath.Join(o.Dir, "*parts.csv"))
	if err != nil {
		return nil, fault.Usagef("%w", err)
	}
	for _, name := range tables {
		rows, err := partsIn(name)
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			if r.file == file {
				all = filled(all, r)
			}
		}
	}
	return all, nil
}

// filled adds a part to its load.
func filled(all []Filling, r partRow) []Filling {
	i := slices.IndexFunc(all, func(f Filling) bool { return f.Load == r.load })
	if i < 0 {
		i, all = len(all), append(all, Filling{Load: r.load, In: map[int]int{}})
	}
	all[i].Parts, all[i].In[r.pocket] = append(all[i].Parts, r.part), r.part
	return all
}

// partRow is a line of a table of parts.
type partRow struct {
	part, load, pocket int
	file               string
}

// parts reads parts.csv.
func (o Old) parts() ([]partRow, error) { return partsIn(filepath.Join(o.Dir, "parts.csv")) }

// partsIn reads a table of parts.
func partsIn(name string) (all []partRow, err error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fault.Usagef("%s: %w", name, err)
	}
	for _, r := range rows[min(1, len(rows)):] {
		row, ok := readPart(r)
		if !ok {
			return nil, fault.Usagef("%s: not as it was made", name)
		}
		all = append(all, row)
	}
	return all, nil
}

func readPart(r []string) (row partRow, ok bool) {
	if len(r) < 4 || !product.LocalName(r[3]) {
		return row, false
	}
	row.file = r[3]
	for i, to := range []*int{&row.part, &row.load, &row.pocket} {
		n, err := strconv.Atoi(r[i])
		if err != nil {
			return row, false
		}
		*to = n
	}
	return row, true
}
