package main

import (
	"bytes"
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

// placeNote is what a file says before a part, or before what is marked as one.
var placeNote = regexp.MustCompile(`^(?:N\d+ )?[(;#] ?((?:part (\d+) )?pockets? ([\d, to]+))\)?\s*$`)

// placesIn finds the notes of a file that name them.
func placesIn(data []byte) (all []place) {
	n := 0
	for line := range bytes.Lines(data) {
		if m := placeNote.FindSubmatch(line); m != nil {
			all = append(all, place{line: n, note: string(m[1]), parts: numbersIn(string(m[2])),
				pockets: numbersIn(string(m[3]))})
		}
		n++
	}
	return all
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
		if errA != nil || errB != nil || b-a > mostPockets {
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

// fill finds out which load of its order the file runs, and so which parts.
func (s *sending) fill(asked int) (err error) {
	s.filling, s.loads, err = fillingOf(s.Name, asked)
	if err != nil || s.filling.Load == 0 {
		return err
	}
	for i := range s.places {
		s.places[i].parts = s.places[i].filledBy(s.filling)
	}
	return nil
}

// fillingOf finds which load of its order a file runs: the one that is asked for, or the
// only one; the zero value where that is not known. Then loads are those that may be meant.
func fillingOf(name string, asked int) (f order.Filling, loads []int, err error) {
	old, err := order.Open(filepath.Dir(name))
	if err != nil { // in no order's folder
		if asked > 0 {
			return f, nil, fault.Usagef("--load %d: %s lies in no order's folder", asked, name)
		}
		return f, nil, nil
	}
	all, err := old.Fillings(filepath.Base(name))
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

// parts are those that the file marks, as far as it or its order tells.
func (s *sending) parts() []int {
	if len(s.filling.Parts) > 0 {
		return rising(s.filling.Parts)
	}
	return partsOf(s.places)
}

// partsDone are those that were marked to their end when the machine had done a line, and
// those under way then; none where the file does not say where each begins.
func (s *sending) partsDone(line int) (done, under []int) {
	n := sort.Search(len(s.places), func(i int) bool { return s.places[i].line >= line })
	if n == 0 {
		return nil, nil
	}
	return partsOf(s.places[:n-1]), s.places[n-1].parts
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

// orderWords says which load of its order is run, and with which parts.
func (s *sending) orderWords() string {
	text := ""
	switch {
	case s.filling.Load > 0:
		text = "load " + strconv.Itoa(s.filling.Load)
	case len(s.loads) > 1:
		return loadsWords(s.loads) + "; --load N says which, for the log"
	}
	if parts := s.parts(); len(parts) > 0 {
		if text != "" {
			text += ", "
		}
		text += counted("part", parts)
	}
	return text
}
