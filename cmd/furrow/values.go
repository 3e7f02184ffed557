package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"furrow/path"

	"github.com/spf13/pflag"
)

// The values below are written the same way on the command line and in a
// settings file: each is a pflag.Value and a text unmarshaler.

// lengthMM is a length in mm, written "2in", "25um", "3mm" or "3".
type lengthMM float64

func (l *lengthMM) Set(s string) error {
	v, err := path.ParseLength(s)
	*l = lengthMM(v)
	return err
}

// spacingMM is the distance between rows in mm, written with its unit. A struct,
// so that a bare number in a file is refused.
type spacingMM struct{ mm float64 }

func (s *spacingMM) Set(text string) (err error) {
	s.mm, err = path.ParseSpacing(text)
	return err
}

// frequencyHz is a pulse frequency, written "50kHz" and never as a bare number.
type frequencyHz struct{ hz float64 }

func (f *frequencyHz) Set(s string) (err error) {
	f.hz, err = path.ParseFrequency(s)
	return err
}

// number is a plain, finite number.
type number float64

func (n *number) Set(s string) error {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return fmt.Errorf("%q is not a number", s)
	}
	*n = number(v)
	return n.check()
}

// point is two lengths, written "10,5mm".
type point path.Point

func (p *point) Set(s string) error {
	x, y, ok := strings.Cut(s, ",")
	if !ok {
		return fmt.Errorf("%q is not X,Y", s)
	}
	var err error
	if p.X, err = path.ParseLength(x); err == nil {
		p.Y, err = path.ParseLength(y)
	}
	return err
}

func (l *lengthMM) UnmarshalText(b []byte) error    { return l.Set(string(b)) }
func (s *spacingMM) UnmarshalText(b []byte) error   { return s.Set(string(b)) }
func (f *frequencyHz) UnmarshalText(b []byte) error { return f.Set(string(b)) }
func (n *number) UnmarshalText(b []byte) error      { return n.Set(string(b)) }
func (c *count) UnmarshalText(b []byte) error       { return c.Set(string(b)) }
func (p *point) UnmarshalText(b []byte) error       { return p.Set(string(b)) }
func (l *angles) UnmarshalText(b []byte) error      { return l.Set(string(b)) }

// angles is one or more angles in degrees, written "45" or "0,60,120". None at
// all, written "best", leaves the choice to the program.
type angles []float64

func (l *angles) Set(s string) error {
	*l = angles{}
	if s == "best" {
		return nil
	}
	for _, word := range strings.Split(s, ",") {
		var n number
		if err := n.Set(word); err != nil {
			return err
		}
		*l = append(*l, float64(n))
	}
	return l.check()
}

const maxAngles = 36

// setter is a value that reads itself from text.
type setter[T any] interface {
	*T
	Set(string) error
}

// optional is a flag that leaves its pointer nil until it is given, so that a
// value of the command line can be told from a default.
type optional[T any, P setter[T]] struct {
	to     **T
	limits limits
}

func (o optional[T, P]) String() string { return "" }
func (o optional[T, P]) Type() string   { return "" }

func (o optional[T, P]) bounds() limits { return o.limits }

func (o optional[T, P]) within(l limits) pflag.Value {
	o.limits = l
	return o
}

func (o optional[T, P]) Set(s string) error {
	var v T
	if err := P(&v).Set(o.limits.withoutUnit(P(&v), s)); err != nil {
		return o.limits.withUnit(P(&v), err)
	}
	if err := o.limits.check(P(&v)); err != nil {
		return err
	}
	*o.to = &v
	return nil
}

// optionalVar registers an optional flag. The word in backquotes in usage
// names the value.
func optionalVar[T any, P setter[T]](fs *pflag.FlagSet, to **T, name, usage string) *pflag.Flag {
	return fs.VarPF(optional[T, P]{to: to}, name, "", usage)
}

// oneOf is a word from a list.
type oneOf struct {
	to    **string
	words []string
}

func (o oneOf) String() string { return "" }
func (o oneOf) Type() string   { return "" }

func (o oneOf) Set(s string) error {
	for _, w := range o.words {
		if w == s {
			*o.to = &s
			return nil
		}
	}
	return fmt.Errorf("%q is none of %s", s, strings.Join(o.words, ", "))
}

// optionalBool is a switch that knows whether it was given.
type optionalBool struct{ to **bool }

func (o optionalBool) String() string   { return "" }
func (o optionalBool) Type() string     { return "bool" }
func (o optionalBool) IsBoolFlag() bool { return true }

func (o optionalBool) Set(s string) error {
	v, err := strconv.ParseBool(s)
	if err != nil {
		return fmt.Errorf("%q is neither true nor false", s)
	}
	*o.to = &v
	return nil
}

// count is a whole number from 1 to maxCount.
type count int

const maxCount = 1000

func (c *count) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a whole number", s)
	}
	*c = count(n)
	return c.check()
}

// checker is a value that TOML can fill in past Set, with a number of its own.
type checker interface{ check() error }

func (n *number) check() error   { return finite(float64(*n)) }
func (l *lengthMM) check() error { return finite(float64(*l)) }

func (c *count) check() error {
	if *c < 1 || *c > maxCount {
		return fmt.Errorf("%d is not a whole number from 1 to %d", *c, maxCount)
	}
	return nil
}

func (l *angles) check() error {
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

// onOff registers a switch that stays unset until it is given.
func onOff(fs *pflag.FlagSet, to **bool, name, usage string) {
	fs.VarPF(optionalBool{to}, name, "", usage).NoOptDefVal = "true"
}

// A value is shown as it can be typed.

func (l lengthMM) String() string    { return shortest(float64(l)) + "mm" }
func (s spacingMM) String() string   { return shortest(s.mm) + "mm" }
func (f frequencyHz) String() string { return shortest(f.hz/1000) + "kHz" }
func (p point) String() string       { return shortest(p.X) + "," + shortest(p.Y) + "mm" }

func (l angles) String() string {
	words := make([]string, len(l))
	for i, a := range l {
		words[i] = shortest(a)
	}
	return strings.Join(words, ",")
}

// shortest writes a number in the fewest digits that read back as it.
func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
