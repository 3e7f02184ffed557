package swatch

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
)

// Axis is a setting with the values that the columns or the rows of a card have of it.
type Axis struct {
	Kind   Kind
	Ratios bool      // each value is the one before times the same
	Values []float64 // in the kind's unit; none where the card's size decides how many
	from   float64   // the ends of a range
	to     float64
}

// Given reports that there is something to vary.
func (a Axis) Given() bool { return a.Kind.Word != "" }

// mostValues bounds an axis: a card is to be looked at.
const mostValues = 100

// Set reads an axis: "speed=200:1200" is a range in as many steps as the card has room
// for, "speed=200:1200:6" one of six values, "speed=200:1200:ratios" and
// "speed=200:1200:6:ratios" the same by equal ratios, and "speed=200,400,800" a list.
func (a *Axis) Set(text string) error {
	word, rest, ok := strings.Cut(text, "=")
	if !ok {
		return fmt.Errorf("%q is not SETTING=VALUES: write speed=200:1200, or speed=200,400,800", text)
	}
	kind, err := KindOf(strings.TrimSpace(word))
	if err != nil {
		return err
	}
	*a = Axis{Kind: kind}
	if strings.Contains(rest, ":") {
		return a.readRange(strings.Split(rest, ":"))
	}
	return a.readList(strings.Split(rest, ","))
}

func (a *Axis) readList(texts []string) error {
	for _, t := range texts {
		v, err := a.Kind.read(t)
		if err != nil {
			return err
		}
		if slices.Contains(a.Values, v) {
			return fmt.Errorf("%s %s stands there twice", a.Kind.Word, a.Kind.Words(v))
		}
		a.Values = append(a.Values, v)
	}
	return a.check(len(a.Values))
}

func (a *Axis) readRange(parts []string) (err error) {
	if a.from, err = a.Kind.read(parts[0]); err != nil {
		return err
	}
	if a.to, err = a.Kind.read(parts[1]); err != nil {
		return err
	}
	count := 0
	for _, p := range parts[2:] {
		switch n, err := strconv.Atoi(p); {
		case p == "ratios":
			a.Ratios = true
		case err == nil && count == 0 && n >= 2:
			count = n
		default:
			return fmt.Errorf("%q is neither how many values there are, 2 or more, nor \"ratios\"", p)
		}
	}
	switch {
	case a.from == a.to:
		return fmt.Errorf("a range from %s to itself", a.Kind.Words(a.from))
	case a.Ratios && a.from*a.to <= 0:
		return fmt.Errorf("equal ratios do not lead from %s to %s", a.Kind.Words(a.from), a.Kind.Words(a.to))
	}
	if count > 0 {
		a.Values = a.spread(count)
	}
	return a.check(count)
}

func (a *Axis) check(n int) error {
	if n > mostValues {
		return fmt.Errorf("%d values of %s: use %d at most", n, a.Kind.Word, mostValues)
	}
	return nil
}

// Filled returns the axis with values: those it has, or as many as there is room for.
func (a Axis) Filled(room int) (Axis, error) {
	if len(a.Values) > 0 || !a.Given() {
		return a, nil
	}
	if room < 2 {
		return a, fault.Workf("the card has no room for two values of %s", a.Kind.Word).
			Hintf("make the patches smaller with --patch, or the blank larger")
	}
	a.Values = a.spread(a.steps(room))
	return a, nil
}

// steps returns how many values look best: of those from two thirds of the room up, the
// one whose steps have the fewest digits, and the most of them.
func (a Axis) steps(room int) int {
	if a.Ratios {
		return room
	}
	best, fewest := room, math.MaxInt
	for n := room; n >= max(2, (2*room+2)/3); n-- {
		step := math.Abs(a.to-a.from) / float64(n-1)
		if d := digits(step); d < fewest {
			best, fewest = n, d
		}
	}
	return best
}

// digits counts the digits of a number, as far as six of them.
func digits(v float64) int {
	text := strconv.FormatFloat(v, 'e', 5, 64)
	text, _, _ = strings.Cut(text, "e")
	return len(strings.TrimRight(strings.Replace(text, ".", "", 1), "0"))
}

// spread returns n values from end to end, each rounded to what a label shows; those
// that become one are one.
func (a Axis) spread(n int) (all []float64) {
	for i := range n {
		t := float64(i) / float64(n-1)
		v := a.from + float64(t*(a.to-a.from))
		if a.Ratios {
			v = a.from * math.Pow(a.to/a.from, t)
		}
		if v = a.Kind.rounded(v); len(all) == 0 || math.Abs(v-all[len(all)-1]) > least/2 {
			all = append(all, v)
		}
	}
	return all
}

// Words tells the axis in a line.
func (a Axis) Words() string {
	var all []string
	for _, v := range a.Values {
		all = append(all, words.Number(v, 4))
	}
	text := fmt.Sprintf("%s, %s: %s", a.Kind.Word, a.Kind.Unit, strings.Join(all, "  "))
	if a.Ratios {
		text += " (equal ratios)"
	}
	return text
}

// middle returns what lies between two values of the axis.
func (a Axis) middle(v, w float64) float64 {
	if a.Ratios && v*w > 0 {
		return math.Copysign(math.Sqrt(v*w), v)
	}
	return (v + w) / 2
}

// around returns the axis between the neighbours of one of its values, in an odd number
// of steps that has it in the middle. Where a neighbour is missing, the step is taken as
// wide as on the other side.
func (a Axis) around(v float64, room int) (Axis, error) {
	i := slices.IndexFunc(a.Values, func(w float64) bool { return math.Abs(w-v) < least/2 })
	if i < 0 {
		return a, fmt.Errorf("the card has no %s of %s", a.Kind.Word, a.Kind.Words(v))
	}
	if len(a.Values) < 2 {
		return Axis{}, nil
	}
	lo, hi := a.neighbour(i, -1), a.neighbour(i, 1)
	each := max(1, (room-1)/2)
	low, high := a.between(lo, v), a.between(v, hi)
	fine := Axis{Kind: a.Kind, Ratios: a.Ratios}
	fine.Values = append(low.spread(each+1), high.spread(each + 1)[1:]...)
	return fine, nil
}

func (a Axis) between(from, to float64) Axis {
	a.from, a.to = from, to
	return a
}

// neighbour returns the value beside the i-th on one side, or what would stand there.
func (a Axis) neighbour(i, side int) float64 {
	if k := i + side; k >= 0 && k < len(a.Values) {
		return a.Values[k]
	}
	v, other := a.Values[i], a.Values[i-side]
	if a.Ratios {
		return v * v / other
	}
	return a.Kind.sane(2*v-other, v)
}

// sane keeps a value that was reckoned where no setting can be 0 or less from that.
func (k Kind) sane(v, nearest float64) float64 {
	if v > 0 || k.Word == "angle" || k.Word == "focus" {
		return v
	}
	return nearest / 2
}

// list joins names as a sentence does, and counts those beyond a dozen.
func list(names []string) string {
	const shown = 12
	if len(names) <= shown {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %s more", strings.Join(names[:shown], ", "), words.Thousands(int64(len(names)-shown)))
}
