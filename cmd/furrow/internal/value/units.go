package value

import (
	"fmt"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// Power is the mean power of a source, W, written "60W" or "60".
type Power float64

// Wavelength is in nm, written "1064nm", "10.6um" or "1064".
type Wavelength float64

// Speed is in mm/s, written "100mm/s", "6000mm/min", "6m/min" or "100".
type Speed float64

func (p *Power) Set(s string) error {
	return measured((*float64)(p), s, "60W", unit{"W", 1}, unit{"kW", 1000}, unit{"mW", 1e-3})
}

func (w *Wavelength) Set(s string) error {
	return measured((*float64)(w), s, "1064nm or 10.6um", unit{"nm", 1}, unit{"um", 1000}, unit{"µm", 1000},
		unit{"μm", 1000})
}

func (v *Speed) Set(s string) error {
	return measured((*float64)(v), s, "100mm/s, 6000mm/min or 6m/min",
		unit{"mm/s", 1}, unit{"mm/min", 1. / 60}, unit{"m/min", 1000. / 60}, unit{"m/s", 1000})
}

// A value is shown as it can be typed.

func (p Power) String() string      { return words.Shortest(float64(p)) + "W" }
func (w Wavelength) String() string { return words.Shortest(float64(w)) + "nm" }
func (v Speed) String() string      { return words.Shortest(float64(v)) + "mm/s" }

// unit is so many of the first unit of a value.
type unit struct {
	name string
	is   float64
}

// measured reads a finite number with one of some units behind it; a bare one is in the first.
func measured(to *float64, text, as string, units ...unit) error {
	name := strings.TrimLeft(strings.TrimSpace(text), "+-.0123456789eE \t")
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), name))
	v, err := strconv.ParseFloat(number, 64)
	for _, u := range units {
		if err == nil && (name == u.name || name == "") {
			*to = v * u.is
			return finite(*to)
		}
	}
	bare := strings.TrimRightFunc(text, func(r rune) bool { return r < '0' || r > '9' })
	if hint := path.CommaHint(bare); hint != "" {
		return fmt.Errorf("%q is not a number with a unit%s", text, hint)
	}
	return fmt.Errorf("%q is not a number with a unit that is known here: write it as %s; a bare number is in %s", text,
		as, units[0].name)
}
