package value_test

import (
	"testing"

	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"
)

// flagged parses one flag of a type.
func flagged[T any](l value.Limits, arg string) (*T, error) {
	var to *T
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	value.Add(fs, &to, value.Entry{Name: "x", Limits: l, Words: []string{"before", "after"}})
	err := fs.Parse([]string{arg})
	return to, err
}

// A flag is nil until it is given, and takes its unit or none.
func TestFlagsReadTheirUnit(t *testing.T) {
	speeds := value.Limits{Least: 0.01, Most: 1000, Unit: "mm/s"}
	for arg, want := range map[string]float64{"--x=150": 150, "--x=150mm/s": 150, "--x= 0.01 mm/s": 0.01} {
		got, err := flagged[value.Number](speeds, arg)
		require.NoError(t, err, arg)
		require.InDelta(t, want, float64(*got), 1e-12, arg)
	}
	for _, arg := range []string{"--x=1001", "--x=0", "--x=NaN", "--x=150mm/min", "--x="} {
		got, err := flagged[value.Number](speeds, arg)
		require.Error(t, err, arg)
		require.Nil(t, got)
	}
	length, err := flagged[value.Length](value.Limits{Least: 0, Most: 100, Unit: "mm"}, "--x=2in")
	require.NoError(t, err)
	require.InDelta(t, 50.8, float64(*length), 1e-12) // 1 in is 25.4 mm
	_, err = flagged[value.Spacing](value.Limits{}, "--x=400")
	require.Error(t, err, "which may be lines an inch")
	spacing, err := flagged[value.Spacing](value.Limits{}, "--x=400lpi")
	require.NoError(t, err)
	require.InDelta(t, 0.0635, spacing.MM, 1e-12)
}

func TestFlagsOfWordsAndSwitches(t *testing.T) {
	word, err := flagged[string](value.Limits{}, "--x=after")
	require.NoError(t, err)
	require.Equal(t, "after", *word)
	_, err = flagged[string](value.Limits{}, "--x=later")
	require.ErrorContains(t, err, `"later" is none of before, after`)
	on, err := flagged[bool](value.Limits{}, "--x")
	require.NoError(t, err)
	require.True(t, *on)
	off, err := flagged[bool](value.Limits{}, "--x=false")
	require.NoError(t, err)
	require.False(t, *off)
}

// Each of several numbers is held against the range.
func TestEveryNumberIsInRange(t *testing.T) {
	l := value.Limits{Least: -10, Most: 10, Unit: "mm"}
	p := value.Point{X: 3, Y: 11}
	require.Error(t, l.Check(&p))
	a := value.Angles{0, 5, -11}
	require.Error(t, l.Check(&a))
	p.Y = 10
	require.NoError(t, l.Check(&p))
	p.X = -11
	require.Error(t, l.Check(&p))
}

func TestColoursByNumberAndName(t *testing.T) {
	for text, want := range map[string]value.Colour{
		"#0a0B0c": {R: 10, G: 11, B: 12, A: 255}, "Dark Slate Grey": {R: 47, G: 79, B: 79, A: 255}, // SVG 1.1, 4.4
	} {
		var c value.Colour
		require.NoError(t, c.Set(text))
		require.Equal(t, want, c)
	}
	for _, text := range []string{"", "0a0b0c", "#0a0b", "#0a0b0c0d", "nearly red"} {
		require.Error(t, new(value.Colour).Set(text), text)
	}
}

// A comma is told of wherever a number stands, and never read as a point or as thousands.
func TestNumbersWithAComma(t *testing.T) {
	const told = "write decimals with a point, and thousands without a comma"
	for _, to := range []value.Settable{
		new(value.Number), new(value.Length), new(value.Spacing), new(value.Frequency), new(value.Power),
		new(value.Wavelength), new(value.Speed), new(value.Quantity), new(value.Count),
	} {
		for _, text := range []string{"1,5", "1,000", "-0,5", " 1,5", "1,000,000"} {
			err := to.Set(text)
			require.ErrorContains(t, err, told, "%T of %q", to, text)
			require.NotContains(t, err.Error(), "1.5", "no value is offered")
		}
		for _, text := range []string{"1,5,2", "one, two", ","} {
			require.NotContains(t, to.Set(text).Error(), told, "%T of %q", to, text)
		}
	}
	require.ErrorContains(t, new(value.Speed).Set("1,5m/min"), told)
	require.ErrorContains(t, new(value.Wavelength).Set("10,6um"), told)
}
