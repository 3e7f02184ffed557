package value

import (
	"fmt"
	"math"
	"strings"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// The values below are written the same way on the command line and in a
// settings file: each is a pflag.Value and a text unmarshaler.

// Length is a length in mm, written "2in", "25um", "3mm" or "3".
type Length float64

func (l *Length) Set(s string) error {
	v, err := path.ParseLength(s)
	*l = Length(v)
	return err
}

// Spacing is the distance between rows in mm, written with its unit. A struct,
// so that a bare number in a file is refused.
type Spacing struct{ MM float64 }

func (s *Spacing) Set(text string) (err error) {
	s.MM, err = path.ParseSpacing(text)
	return err
}

// Frequency is a pulse frequency, written "50kHz" and never as a bare number.
type Frequency struct{ Hz float64 }

func (f *Frequency) Set(s string) (err error) {
	f.Hz, err = path.ParseFrequency(s)
	return err
}

// Number is a plain, finite number.
type Number float64

func (n *Number) Set(s string) error {
	v, err := path.ParseDecimal(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a number%s", s, path.CommaHint(s))
	}
	*n = Number(v)
	return n.Check()
}

// Point is two lengths, written "10,5mm".
type Point path.Point

func (p *Point) Set(s string) error {
	x, y, ok := strings.Cut(s, ",")
	if !ok {
		if w, h, times := strings.Cut(strings.ToLower(s), "x"); times {
			return fmt.Errorf("%q is not X,Y: write %s,%s", s, strings.TrimSpace(w), strings.TrimSpace(h))
		}
		return fmt.Errorf("%q is not X,Y", s)
	}
	var err error
	if p.X, err = path.ParseLength(x); err == nil {
		p.Y, err = path.ParseLength(y)
	}
	return err
}

func (l *Length) UnmarshalText(b []byte) error    { return l.Set(string(b)) }
func (s *Spacing) UnmarshalText(b []byte) error   { return s.Set(string(b)) }
func (f *Frequency) UnmarshalText(b []byte) error { return f.Set(string(b)) }
func (n *Number) UnmarshalText(b []byte) error    { return n.Set(string(b)) }

func (p *Point) UnmarshalText(b []byte) error  { return p.Set(string(b)) }
func (l *Angles) UnmarshalText(b []byte) error { return l.Set(string(b)) }

// Angles is one or more angles in degrees, written "45" or "0,60,120". None at
// all, written "best", leaves the choice to the program.
type Angles []float64

func (l *Angles) Set(s string) error {
	*l = Angles{}
	if s == "best" {
		return nil
	}
	for _, word := range strings.Split(s, ",") {
		var n Number
		if err := n.Set(word); err != nil {
			return err
		}
		*l = append(*l, float64(n))
	}
	return l.Check()
}

const maxAngles = 36

// Checker is a value that TOML can fill in past Set, with a number of its own.
type Checker interface{ Check() error }

func (n *Number) Check() error { return finite(float64(*n)) }
func (l *Length) Check() error { return finite(float64(*l)) }

func (l *Angles) Check() error {
	if len(*l) > maxAngles {
		return fmt.Errorf("%d angles: use 1 to %d", len(*l), maxAngles)
	}
	for _, a := range *l {
		if err := finite(a); err != nil {
			return err
		}
	}
	return nil
}

func finite(v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%g is not a number to work with", v)
	}
	return nil
}

// A value is shown as it can be typed.

func (l Length) String() string    { return words.Shortest(float64(l)) + "mm" }
func (s Spacing) String() string   { return words.Shortest(s.MM) + "mm" }
func (f Frequency) String() string { return words.Shortest(f.Hz/1000) + "kHz" }
func (p Point) String() string     { return words.Shortest(p.X) + "," + words.Shortest(p.Y) + "mm" }

func (l Angles) String() string {
	texts := make([]string, len(l))
	for i, a := range l {
		texts[i] = words.Shortest(a)
	}
	return strings.Join(texts, ",")
}
