package order

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/words"
)

// ParseNumbers reads the numbers of parts, written "7,12-14", of an order of so
// many.
func ParseNumbers(text string, most int) ([]int, error) {
	var all []int
	for _, piece := range strings.Split(text, ",") {
		from, to, ranged := strings.Cut(strings.TrimSpace(piece), "-")
		a, err := strconv.Atoi(strings.TrimSpace(from))
		b := a
		if ranged && err == nil {
			b, err = strconv.Atoi(strings.TrimSpace(to))
		}
		switch {
		case err != nil || a < 1 || b < a:
			return nil, fault.Usagef("%q is no list of parts", text).Hintf("write it as 7,12-14")
		case b > most:
			return nil, fault.Usagef("there is no part %d: the order has %d", b, most)
		}
		for n := a; n <= b; n++ {
			all = append(all, n)
		}
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

// NumbersText writes rising numbers of parts as ParseNumbers reads them.
func NumbersText(all []int) string {
	var pieces []string
	for i := 0; i < len(all); {
		last := i
		for last+1 < len(all) && all[last+1] == all[last]+1 {
			last++
		}
		piece := strconv.Itoa(all[i])
		if last > i {
			piece += "-" + strconv.Itoa(all[last])
		}
		pieces, i = append(pieces, piece), last+1
	}
	return strings.Join(pieces, ",")
}

// Accepted reports that the log of an order's folder has its first article accepted.
func Accepted(dir string) (bool, error) {
	runs, _, err := runlog.Read(filepath.Join(dir, LogName))
	return slices.ContainsFunc(runs, func(r runlog.Run) bool { return r.What == runlog.Accepted }), err
}

// Begun says what the log of an order's folder has of it, nothing where it has nothing.
func Begun(dir string) (string, error) {
	runs, _, err := runlog.Read(filepath.Join(dir, LogName))
	made, accepted := 0, false
	for _, r := range runs {
		if wasRun(r) {
			made++
		}
		accepted = accepted || r.What == runlog.Accepted
	}
	var all []string
	if made > 0 {
		all = append(all, words.Plural(made, "run")+" of it in the log")
	}
	if accepted {
		all = append(all, "its first article accepted")
	}
	return strings.Join(all, " and "), err
}
