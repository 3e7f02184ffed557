package value_test

import (
	"testing"

	"furrow/cmd/furrow/internal/value"

	"github.com/stretchr/testify/require"
)

// A plate gives a value in one of a few units; a bare number is in the one that is asked for.
// By hand: 6,000 mm in a minute of 60 s, 10.6 thousand nanometres.
func TestUnitsOfAPlate(t *testing.T) {
	var p value.Power
	var w value.Wavelength
	var v value.Speed
	type read interface {
		Set(string) error
		String() string
	}
	for _, tt := range []struct {
		into read
		text string
		want string
	}{
		{&p, "60W", "60W"}, {&p, "60", "60W"}, {&p, " 5.5 W", "5.5W"}, {&p, "1.5kW", "1500W"}, {&p, "500mW", "0.5W"},
		{&p, "6e1W", "60W"},
		{&w, "1064nm", "1064nm"}, {&w, "10.6um", "10600nm"}, {&w, "10.6 µm", "10600nm"}, {&w, "455", "455nm"},
		{&w, "10.6 \u03bcm", "10600nm"}, // the Greek letter, beside the micro sign above
		{&v, "6000mm/min", "100mm/s"}, {&v, "6m/min", "100mm/s"}, {&v, "100mm/s", "100mm/s"}, {&v, "2 m/s", "2000mm/s"},
		{&v, "-5", "-5mm/s"},
	} {
		require.NoError(t, tt.into.Set(tt.text), tt.text)
		require.Equal(t, tt.want, tt.into.String(), tt.text)
	}
	for _, text := range []string{"", "W", "60 mW W", "60nm", "sixty", "1e999W", "NaN", "Inf", "6,000mm/min", "--5"} {
		require.Error(t, p.Set(text), text)
		require.Error(t, v.Set(text), text)
	}
	require.EqualError(t, v.Set("6000mm"),
		`"6000mm" is not a number with a unit that is known here: write it as 100mm/s, 6000mm/min or 6m/min; a bare `+
			`number is in mm/s`)
}
