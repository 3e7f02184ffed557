package value

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
)

// bounded is the value of a flag with limits.
type bounded interface {
	within(Limits) pflag.Value
	bounds() Limits
}

// Limit bounds an optional flag.
func Limit(f *pflag.Flag, l Limits) { f.Value = f.Value.(bounded).within(l) }

// LimitsOfFlag returns the limits of a flag, none where it has none.
func LimitsOfFlag(f *pflag.Flag) Limits {
	if v, ok := f.Value.(bounded); ok {
		return v.bounds()
	}
	return Limits{}
}

// setter is a value that reads itself from text.
type setter[T any] interface {
	*T
	Set(string) error
}

// optional is a flag that leaves its pointer nil until it is given, so that a
// value of the command line can be told from a default.
type optional[T any, P setter[T]] struct {
	to     **T
	limits Limits
}

func (o optional[T, P]) String() string { return "" }

func (o optional[T, P]) Type() string { return "" }

func (o optional[T, P]) bounds() Limits { return o.limits }

func (o optional[T, P]) within(l Limits) pflag.Value {
	o.limits = l
	return o
}

func (o optional[T, P]) Set(s string) error {
	var v T
	if err := P(&v).Set(o.limits.withoutUnit(P(&v), s)); err != nil {
		return o.limits.withUnit(P(&v), err)
	}
	if err := o.limits.Check(P(&v)); err != nil {
		return err
	}
	*o.to = &v
	return nil
}

// Flag registers an optional flag. The word in backquotes in usage
// names the value.
func Flag[T any, P setter[T]](fs *pflag.FlagSet, to **T, name, usage string) *pflag.Flag {
	return fs.VarPF(optional[T, P]{to: to}, name, "", usage)
}

// OneOf is a word from a list.
type OneOf struct {
	To    **string
	Words []string
}

func (o OneOf) String() string { return "" }

func (o OneOf) Type() string { return "" }

func (o OneOf) Set(s string) error {
	for _, w := range o.Words {
		if w == s {
			*o.To = &s
			return nil
		}
	}
	return fmt.Errorf("%q is none of %s", s, strings.Join(o.Words, ", "))
}

// optionalBool is a switch that knows whether it was given.
type optionalBool struct{ to **bool }

func (o optionalBool) String() string { return "" }

func (o optionalBool) Type() string { return "bool" }

func (o optionalBool) IsBoolFlag() bool { return true }

func (o optionalBool) Set(s string) error {
	v, err := strconv.ParseBool(s)
	if err != nil {
		return fmt.Errorf("%q is neither true nor false", s)
	}
	*o.to = &v
	return nil
}

// Switch registers a switch that stays unset until it is given.
func Switch(fs *pflag.FlagSet, to **bool, name, usage string) {
	fs.VarPF(optionalBool{to: to}, name, "", usage).NoOptDefVal = "true"
}
