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

// spacingMM is the distance between rows in mm, written with its unit.
type spacingMM float64

func (s *spacingMM) Set(text string) error {
	v, err := path.ParseSpacing(text)
	*s = spacingMM(v)
	return err
}

// frequencyHz is a pulse frequency, written "50kHz".
type frequencyHz float64

func (f *frequencyHz) Set(s string) error {
	v, err := path.ParseFrequency(s)
	*f = frequencyHz(v)
	return err
}

// number is a plain, finite number.
type number float64

func (n *number) Set(s string) error {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%q is not a number", s)
	}
	*n = number(v)
	return nil
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
func (p *point) UnmarshalText(b []byte) error       { return p.Set(string(b)) }

// setter is a value that reads itself from text.
type setter[T any] interface {
	*T
	Set(string) error
}

// optional is a flag that leaves its pointer nil until it is given, so that a
// value of the command line can be told from a default.
type optional[T any, P setter[T]] struct{ to **T }

func (o optional[T, P]) String() string { return "" }
func (o optional[T, P]) Type() string   { return "" }

func (o optional[T, P]) Set(s string) error {
	var v T
	if err := P(&v).Set(s); err != nil {
		return err
	}
	*o.to = &v
	return nil
}

// optionalVar registers an optional flag. The word in backquotes in usage
// names the value.
func optionalVar[T any, P setter[T]](fs *pflag.FlagSet, to **T, name, usage string) *pflag.Flag {
	return fs.VarPF(optional[T, P]{to}, name, "", usage)
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
	if err != nil || n < 1 || n > maxCount {
		return fmt.Errorf("%q is not a whole number from 1 to %d", s, maxCount)
	}
	*c = count(n)
	return nil
}
