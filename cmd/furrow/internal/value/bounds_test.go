package value_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"
)

// Either side of each bound.
func TestWholeNumbersKeepTheirBounds(t *testing.T) {
	for text, want := range map[string]int{"1": 1, " 7 ": 7, "1000000": 1_000_000} {
		var q value.Quantity
		require.NoError(t, q.Set(text))
		require.Equal(t, value.Quantity(want), q)
	}
	for text, want := range map[string]string{
		"0": "0 is not from 1 to 1000000", "1000001": "1000001 is not from 1 to 1000000",
		"1.5": `"1.5" is not a whole number from 1 to 1000000`,
	} {
		require.EqualError(t, new(value.Quantity).Set(text), want)
	}
	var several value.Quantities
	require.NoError(t, several.Set("12, 1,1000000"))
	require.Equal(t, value.Quantities{12, 1, 1_000_000}, several)
	for _, text := range []string{"", "3,", "3,0", "0,3", "3;4"} {
		require.Error(t, several.Set(text), text)
		require.Len(t, several, 3, "as it was")
	}
	for text, want := range map[string]int{"1": 1, " 7 ": 7, "1000": 1000} {
		var c value.Count
		require.NoError(t, c.UnmarshalText([]byte(text)))
		require.Equal(t, value.Count(want), c)
	}
	for text, want := range map[string]string{
		"0": "0 is not a whole number from 1 to 1000", "1001": "1001 is not a whole number from 1 to 1000",
		"x": `"x" is not a whole number`,
	} {
		require.EqualError(t, new(value.Count).Set(text), want)
	}
}

func TestAnglesAreNumbers(t *testing.T) {
	for text, want := range map[string]value.Angles{"best": {}, "45": {45}, "0, 90,-45.5": {0, 90, -45.5}} {
		var a value.Angles
		require.NoError(t, a.UnmarshalText([]byte(text)))
		require.Equal(t, want, a)
	}
	require.NoError(t, new(value.Angles).Set(strings.Repeat("1,", 35)+"1"))
	require.EqualError(t, new(value.Angles).Set(strings.Repeat("1,", 36)+"1"), "37 angles: use 1 to 36")
	for _, text := range []string{"", "1,", "x", "inf", "NaN,1"} {
		require.Error(t, new(value.Angles).Set(text), text)
	}
	bad := value.Angles{1, math.Inf(-1)}
	require.EqualError(t, bad.Check(), "-Inf is not a number to work with")
}

// Values are written as they are read.
func TestValuesReadWhatTheyWrite(t *testing.T) {
	var l value.Length
	require.NoError(t, l.UnmarshalText([]byte("25um")))
	require.Equal(t, "0.025mm", l.String())
	var s value.Spacing
	require.NoError(t, s.UnmarshalText([]byte("400lpi")))
	require.Equal(t, "0.0635mm", s.String())
	var f value.Frequency
	require.NoError(t, f.UnmarshalText([]byte("20kHz")))
	require.Equal(t, 20_000.0, f.Hz)
	require.Equal(t, "20kHz", f.String())
	var p value.Point
	require.NoError(t, p.UnmarshalText([]byte("1in,-2mm")))
	require.Equal(t, value.Point{X: 25.4, Y: -2}, p)
	require.Equal(t, "25.4,-2mm", p.String())
	require.Equal(t, "45,-90.5", value.Angles{45, -90.5}.String())
	var n value.Number
	require.NoError(t, n.UnmarshalText([]byte(" 1e3 ")))
	require.Equal(t, value.Number(1000), n)
	for _, text := range []string{"1", "x,1", "1,x", "1;2"} {
		require.Error(t, new(value.Point).Set(text), text)
	}
	require.EqualError(t, new(value.Point).Set("3"), `"3" is not X,Y`)
	require.EqualError(t, n.Set("inf"), `"inf" is not a number`)
	require.EqualError(t, n.Set("0x10"), `"0x10" is not a number`)
	l = value.Length(math.NaN())
	require.Error(t, l.Check())
}

func TestLimitsOfATag(t *testing.T) {
	l := value.LimitsOf(reflect.StructTag(`range:"-0.5 to 100 percent"`))
	require.Equal(t, value.Limits{Least: -0.5, Most: 100, Unit: "percent"}, l)
	require.Equal(t, "-0.5 to 100 percent", l.String())
	require.Equal(t, value.Limits{}, value.LimitsOf(reflect.StructTag(`toml:"x"`)))
	require.Equal(t, "1 to 3", value.Limits{Least: 1, Most: 3}.String())
	for v, ok := range map[float64]bool{-0.51: false, -0.5: true, 100: true, 100.1: false} {
		n := value.Number(v)
		require.Equal(t, ok, l.Check(&n) == nil, "%g", v)
		require.NoError(t, value.Limits{}.Check(&n), "no limits")
		mm := value.Length(v)
		require.Equal(t, ok, l.Check(&mm) == nil, "%g", v)
	}
	n := value.Number(101)
	require.EqualError(t, l.Check(&n), "101 is out of range: use -0.5 to 100 percent")
	require.NoError(t, l.Check(&struct{}{}), "no number")
	got, err := flagged[value.Number](l, "--x=40%")
	require.NoError(t, err)
	require.Equal(t, value.Number(40), *got)
	_, err = flagged[value.Number](l, "--x=40mm")
	require.ErrorContains(t, err, `"40mm" is not a number; it is in percent`)
	_, err = flagged[value.Number](value.Limits{Least: 1, Most: 2}, "--x=a")
	require.ErrorContains(t, err, `"a" is not a number`)
	require.NotContains(t, err.Error(), "it is in")
	_, err = flagged[value.Number](value.Limits{Most: 9, Unit: "W"}, "--x=5%")
	require.Error(t, err, "percent of what")
	_, err = flagged[value.Length](value.Limits{Most: 9, Unit: "mm"}, "--x=a")
	require.NotContains(t, err.Error(), "it is in mm")
	_, err = flagged[bool](value.Limits{}, "--x=perhaps")
	require.ErrorContains(t, err, `"perhaps" is neither true nor false`)
}

// What help and completion ask of a flag.
func TestFlagsTellOfThemselves(t *testing.T) {
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	var speed *value.Number
	var on *bool
	var word *string
	l := value.Limits{Least: 1, Most: 9, Unit: "mm/s"}
	f := value.Add(fs, &speed, value.Entry{Name: "speed", Takes: "MMS", Usage: "how fast", Alone: "5", Limits: l})
	require.Equal(t, "MMS", f.Value.Type())
	require.Equal(t, "5", f.NoOptDefVal)
	require.Equal(t, l, value.LimitsOfFlag(f))
	require.Empty(t, value.WordsOfFlag(f))
	value.Limit(f, value.Limits{Least: 2, Most: 3})
	require.NoError(t, fs.Parse([]string{"--speed=2"}))
	require.Error(t, fs.Parse([]string{"--speed=4"}))
	require.Equal(t, value.Number(2), *speed, "what is wrong changes nothing")
	require.Error(t, fs.Parse([]string{"--speed"}), "5 by itself is out of range")
	value.Switch(fs, &on, "trim", "")
	require.Equal(t, "bool", fs.Lookup("trim").Value.Type())
	require.Equal(t, "true", fs.Lookup("trim").NoOptDefVal)
	w := value.Word(fs, &word, []string{"a", "b"}, "word", "which")
	require.Equal(t, []string{"a", "b"}, value.WordsOfFlag(w))
	require.Empty(t, w.NoOptDefVal)
	require.Equal(t, "which", value.Flag(fs, &speed, "other", "which").Usage)
	fs.Bool("plain", false, "")
	require.Equal(t, value.Limits{}, value.LimitsOfFlag(fs.Lookup("plain")))
	require.Nil(t, value.WordsOfFlag(fs.Lookup("plain")))
}

func TestValuesThatMayBeLeftOut(t *testing.T) {
	one, two := 1, 2
	require.Equal(t, 1, value.Or(&one, 3))
	require.Equal(t, 3, value.Or(nil, 3))
	require.Same(t, &one, value.First(&one, &two))
	require.Same(t, &two, value.First(nil, &two))
	require.Nil(t, value.First[int](nil, nil))
	require.Nil(t, value.Given(0))
	require.Equal(t, 7, *value.Given(7))
}
