package value

import (
	"fmt"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/words"
)

// Limits is the range of values that is taken for meant, of a number or of each
// of several. The zero limits allow all.
type Limits struct {
	Least, Most float64
	Unit        string // in messages
}

// LimitsOf reads the tag range:"0.001 to 1000 mm" of a settings key, the one
// place where the range of a key and of its flag is said.
func LimitsOf(tag reflect.StructTag) Limits {
	var l Limits
	if text, ok := tag.Lookup("range"); ok {
		fmt.Sscanf(text, "%g to %g %s", &l.Least, &l.Most, &l.Unit) // TestEveryRangeReads
	}
	return l
}

func (l Limits) String() string {
	return strings.TrimSpace(fmt.Sprintf("%s to %s %s", words.Shortest(l.Least), words.Shortest(l.Most), l.Unit))
}

// Ranged is a value that is made of numbers.
type Ranged interface{ Numbers() []float64 }

func (n *Number) Numbers() []float64 { return []float64{float64(*n)} }

func (l *Length) Numbers() []float64 { return []float64{float64(*l)} }

func (p *Point) Numbers() []float64 { return []float64{p.X, p.Y} }

func (l *Angles) Numbers() []float64 { return *l }

// Check refuses a value that is out of range.
func (l Limits) Check(value any) error {
	r, ok := value.(Ranged)
	if !ok || l == (Limits{}) {
		return nil
	}
	for _, v := range r.Numbers() {
		if !(v >= l.Least && v <= l.Most) {
			return fmt.Errorf("%g is out of range: use %s", v, l)
		}
	}
	return nil
}

// withoutUnit takes the unit off a plain number that carries its own, as in
// "150mm/s" or "35%".
func (l Limits) withoutUnit(value any, s string) string {
	if _, plain := value.(*Number); !plain || l.Unit == "" {
		return s
	}
	s = strings.TrimSuffix(strings.TrimSpace(s), l.Unit)
	if l.Unit == "percent" {
		s = strings.TrimSuffix(s, "%")
	}
	return s
}

// withUnit adds to what is wrong with a plain number the unit it is in.
func (l Limits) withUnit(value any, err error) error {
	if _, plain := value.(*Number); !plain || l.Unit == "" {
		return err
	}
	return fmt.Errorf("%w; it is in %s", err, l.Unit)
}
