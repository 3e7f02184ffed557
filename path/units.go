package path

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// MMPerInch is exact by definition (international yard and pound, 1959).
const MMPerInch = 25.4

// ParseLength reads a length with its unit, as in "0.1mm", "25um" or "2in",
// or a bare number of millimetres, and returns millimetres.
func ParseLength(s string) (float64, error) {
	v, unit, err := parseNumber(s)
	if err != nil {
		return 0, err
	}
	switch unit {
	case "", "mm":
		return v, nil
	case "um", "µm":
		return v / 1000, nil
	case "in":
		return v * MMPerInch, nil
	}
	return 0, fmt.Errorf("unknown unit %q in %q: use mm, um or in", unit, s)
}

// ParseSpacing reads the distance between rows, as in "0.1mm", "100um" or
// "400lpi", and returns millimetres. A bare number is refused, since 400 may
// mean lines an inch or micrometres.
func ParseSpacing(s string) (float64, error) {
	v, unit, err := parseNumber(s)
	if err != nil {
		return 0, err
	}
	switch unit {
	case "":
		return 0, fmt.Errorf("spacing %q has no unit: write 0.1mm, 100um or 254lpi", s)
	case "lpi":
		v = MMPerInch / v
	default:
		if v, err = ParseLength(s); err != nil {
			return 0, fmt.Errorf("spacing: %w, or lpi", err)
		}
	}
	if !(v >= MinSpacing && v <= MaxSpacing) {
		return 0, fmt.Errorf("spacing %q is out of range: use %g to %g mm", s, MinSpacing, MaxSpacing)
	}
	return v, nil
}

// The range of spacings that is taken for meant, mm: a tenth of the shortest
// wavelength in use, and a line across a large bed.
const (
	MinSpacing = 0.0001
	MaxSpacing = 1000.0
)

// ParseFrequency reads a pulse frequency, as in "50kHz", "2MHz" or "500Hz",
// and returns hertz. A bare number is refused.
func ParseFrequency(s string) (float64, error) {
	v, unit, err := parseNumber(s)
	if err != nil {
		return 0, err
	}
	switch strings.ToLower(unit) {
	case "hz":
	case "khz":
		v *= 1e3
	case "mhz":
		v *= 1e6
	default:
		return 0, fmt.Errorf("frequency %q has no unit: write 50kHz", s)
	}
	if v < 0 {
		return 0, fmt.Errorf("frequency %q is negative", s)
	}
	return v, nil
}

// parseNumber splits "12.5mm" into 12.5 and "mm".
func parseNumber(s string) (v float64, unit string, err error) {
	s = strings.TrimSpace(s)
	number := strings.TrimRightFunc(s, func(r rune) bool {
		return r == 'µ' || r == ' ' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
	})
	if v, err = ParseDecimal(number); err != nil {
		return 0, "", fmt.Errorf("%q is not a number with a unit%s", s, CommaHint(number))
	}
	return v, strings.TrimSpace(s[len(number):]), nil
}

// ParseDecimal reads a finite number as people write one: not 0x1p4, 1_0 or inf, which are
// slips of a finger and would be read as 16, 10 and without bound.
func ParseDecimal(s string) (float64, error) {
	if strings.Trim(s, "+-.0123456789eE") != "" {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}

// millions are numbers with more than one comma that are no list.
var millions = regexp.MustCompile(`^([+-]?\d{1,3})(?:,\d{3})+,(\d{3})$`)

// CommaHint says how to write a number that has a comma, as the end of an error; of others
// it is empty. What three digits behind the comma are, thousands or a fraction, cannot be
// known, so that no value is offered.
func CommaHint(number string) string {
	number = millions.ReplaceAllString(strings.TrimSpace(number), "$1,$2")
	_, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if !strings.Contains(number, ",") || err != nil {
		return ""
	}
	return ": write decimals with a point, and thousands without a comma"
}
