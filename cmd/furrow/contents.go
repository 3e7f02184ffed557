package main

import (
	"bufio"
	"bytes"
	"cmp"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/words"
)

// contents is what a file says that it marks, and what its order knows of that.
type contents struct {
	places  []place
	restOf  string        // the file of which it is the rest; "" for a whole one
	filling order.Filling // of the order's load; the zero value where none is known
	loads   []int         // that run the file, where it is not known which is run
}

// place is what a file names from a line on: a part in its pocket; of a file that several
// loads run its pocket; of rows that run across parts their pockets.
type place struct {
	line    int // lines before it
	note    string
	pockets []int
	parts   []int // none where the file names pockets alone, and the load is not known
}

func (p place) words() string {
	if len(p.parts) == 0 {
		return p.note
	}
	return counted("part", p.parts) + " " + counted("pocket", p.pockets)
}

// counted is "part 3", or "parts 3 to 5".
func counted(noun string, numbers []int) string {
	if len(numbers) > 1 {
		noun += "s"
	}
	return noun + " " + words.Numbers(numbers)
}

// placeNote is what a file says before a part, or before what is marked as one; restNote is
// what furrow resume writes at the head of a rest.
var (
	placeNote = regexp.MustCompile(`^(?:N\d+ )?[(;#] ?((?:part (\d+) )?pockets? ([\d, to]+))\)?\s*$`)
	restNote  = regexp.MustCompile(`^(?:N\d+ )?[(;#] ?the rest of (.+), begins at `)
)

// saidBy reads what a file says of itself.
func saidBy(r io.Reader) (c contents, err error) {
	s := bufio.NewScanner(r)
	s.Buffer(nil, mostLine)
	for n := 0; s.Scan(); n++ {
		if !bytes.ContainsAny(s.Bytes(), "(;#") {
			continue
		}
		if m := placeNote.FindSubmatch(s.Bytes()); m != nil {
			c.places = append(c.places, place{line: n, note: string(m[1]), parts: numbersIn(string(m[2])),
				pockets: numbersIn(string(m[3]))})
		} else if m := restNote.FindSubmatch(s.Bytes()); m != nil && len(c.places) == 0 {
			c.restOf = string(m[1])
		}
	}
	return c, s.Err()
}

// contentsOf reads what a file of a name marks, of the load that is asked for, or of the only
// one that it may be.
func contentsOf(name string, r io.Reader, load int) (c contents, err error) {
	if c, err = saidBy(r); err != nil {
		return c, fault.Usagef("%s: %w", name, err)
	}
	c.filling, c.loads, err = fillingOf(name, c.restOf, load)
	if err != nil || c.filling.Load == 0 {
		return c, err
	}
	for i := range c.places {
		c.places[i].parts = c.places[i].filledBy(c.filling)
	}
	return c, nil
}

// numbersIn reads numbers as words.Numbers writes them.
func numbersIn(text string) (all []int) {
	for _, piece := range strings.Split(text, ",") {
		from, to, ranged := strings.Cut(strings.TrimSpace(piece), " to ")
		if !ranged {
			to = from
		}
		a, errA := strconv.Atoi(from)
		b, errB := strconv.Atoi(to)
		if errA != nil || errB != nil || a < 0 || b > math.MaxInt32 || b-a > mostPockets-len(all) {
			return nil
		}
		for n := a; n <= b; n++ {
			all = append(all, n)
		}
	}
	return all
}

// mostPockets is more than any fixture has.
const mostPockets = 100_000

// fillingOf finds which load of its order a file, or the file that it is the rest of, runs:
// the one that is asked for, or the only one; the zero value where that is not known. Then
// loads are those that may be meant.
func fillingOf(name, restOf string, asked int) (f order.Filling, loads []int, err error) {
	old, err := order.Open(filepath.Dir(name))
	if err != nil { // in no order's folder
		if asked > 0 {
			return f, nil, fault.Usagef("--load %d: %s lies in no order's folder", asked, name)
		}
		return f, nil, nil
	}
	all, err := old.Fillings(cmp.Or(restOf, filepath.Base(name)))
	if err != nil {
		return f, nil, err
	}
	for _, f := range all {
		loads = append(loads, f.Load)
	}
	i := slices.Index(loads, asked)
	switch {
	case asked > 0 && i < 0:
		return f, nil, fault.Usagef("load %d does not run %s", asked, name).Hintf("%s", loadsWords(loads))
	case asked == 0 && len(all) != 1:
		return f, loads, nil
	}
	return all[max(i, 0)], nil, nil
}

// filledBy are the parts that a load puts into the place.
func (p place) filledBy(f order.Filling) (parts []int) {
	for _, pocket := range p.pockets {
		if part, ok := f.In[pocket]; ok {
			parts = append(parts, part)
		}
	}
	return parts
}

func loadsWords(loads []int) string {
	if len(loads) == 0 {
		return "no table of parts in the folder names it"
	}
	return "it is run by " + words.Plural(len(loads), "load") + ": " + words.Numbers(loads)
}

// parts are those that the file marks, as far as it or its order tells. Of a load of which
// it is the rest, the order does not tell.
func (c contents) parts() []int {
	if all := partsOf(c.places); len(all) > 0 || c.restOf != "" {
		return all
	}
	return rising(c.filling.Parts)
}

// partsDone are those that were marked to their end when the machine had done a line, and
// those under way then; none where the file does not say where each begins.
func (c contents) partsDone(line int) (done, under []int) {
	n := sort.Search(len(c.places), func(i int) bool { return c.places[i].line >= line })
	if n == 0 {
		return nil, nil
	}
	return partsOf(c.places[:n-1]), c.places[n-1].parts
}

// partsOf are the parts of places; none where one of them does not tell.
func partsOf(places []place) (all []int) {
	for _, p := range places {
		if len(p.parts) == 0 {
			return nil
		}
		all = append(all, p.parts...)
	}
	return rising(all)
}

func rising(all []int) []int {
	all = slices.Clone(all)
	slices.Sort(all)
	return slices.Compact(all)
}

// words says which load of its order is run, and with which parts.
func (c contents) words() string {
	text := ""
	switch {
	case c.filling.Load > 0:
		text = "load " + strconv.Itoa(c.filling.Load)
	case len(c.loads) > 1:
		return loadsWords(c.loads) + "; --load N says which, for the log"
	}
	if parts := c.parts(); len(parts) > 0 {
		if text != "" {
			text += ", "
		}
		text += counted("part", parts)
	}
	return text
}
