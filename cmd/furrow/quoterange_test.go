package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/require"

	"furrow/path/outside"
)

const quotedJob = `furrow = 1
machine = "example-co2"
[order]
name = "plates"
first_article = false
[blank]
width = "60mm"
height = "90mm"
[artwork]
file = "plate.svg"
[fill]
spacing = "0.5mm"
speed_mm_s = 250
power_percent = 35
[price]
currency = "EUR"
any_machine_hour = 36
unwatched = true
mark_up_percent = 100
`

// quotedFolder holds a job of one plate whose only cost is the machine's hour.
func quotedFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	t.Setenv("HOME", dir)
	svg := `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm"><rect x="10mm" y="10mm" width="40mm" ` +
		`height="70mm"/></svg>`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "plate.svg"), []byte(svg), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "plates.toml"), []byte(quotedJob), 0o600))
	return dir
}

// By hand: one plate costs its time at 36 an hour, a cent a second, twice that with the
// mark-up. Both ends of the time are those that hatch tells of the same job.
func TestRangeOfTimeInThePrice(t *testing.T) {
	dir := quotedFolder(t)
	name := filepath.Join(dir, "plates.toml")
	var hatched struct {
		Least float64 `json:"seconds_least"`
		Most  float64 `json:"seconds_most"`
	}
	plain := furrow(t, "hatch", name, "-o", filepath.Join(dir, "a.nc"), "--effort", "none", "--json")
	require.NoError(t, json.Unmarshal([]byte(plain), &hatched))
	require.Greater(t, hatched.Most, 1.1*hatched.Least)
	var q struct {
		Quotes []struct {
			Least  string  `json:"price_least"`
			Most   string  `json:"price_most"`
			LeastH float64 `json:"machine_hours_least"`
			MostH  float64 `json:"machine_hours_most"`
		} `json:"quotes"`
	}
	require.NoError(t, json.Unmarshal([]byte(furrow(t, "quote", name, "--quantity", "1", "--effort", "none",
		"--json")), &q))
	require.Len(t, q.Quotes, 1)
	r := q.Quotes[0]
	require.InEpsilon(t, hatched.Least, 3600*r.LeastH, 1e-3)
	require.InEpsilon(t, hatched.Most, 3600*r.MostH, 1e-3)
	for price, hours := range map[string]float64{r.Least: r.LeastH, r.Most: r.MostH} {
		cents := decimal.NewFromFloat(hours * 3600).Round(0)
		require.Equal(t, cents.Mul(decimal.NewFromInt(2)).Shift(-2).StringFixed(2), price)
	}
}

// The customer's quote, as pdftotext reads it, holds the price and no word of what it is made of.
func TestCustomersQuoteTellsNoCosts(t *testing.T) {
	reader := outside.Program(t, "pdftotext")
	dir := quotedFolder(t)
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "furrow"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "furrow/rates.toml"),
		[]byte("shop_name = \"Elm & Yew\"\nshop_address = [\"Orchard Lane 7\", \"Quillmere\"]\n"+
			"terms = \"14 days net\"\ndelivery = \"collected\"\n"), 0o600))
	file := filepath.Join(dir, "quote.pdf")
	furrow(t, "quote", filepath.Join(dir, "plates.toml"), "--quantity", "7", "--effort", "none", "-o", file,
		"--valid", "2027-01-15")
	text, err := exec.Command(reader, "-layout", file, "-").Output()
	require.NoError(t, err)
	require.Contains(t, string(text), "2027-01-15")
	require.Contains(t, string(text), "EUR")
	require.Regexp(t, `(?s)^\s*Elm & Yew\n.*Orchard Lane 7\n.*Quillmere\n.*Quote\n.*Terms +14 days net\n.*Delivery `+
		`+collected\n`, string(text))
	require.NotRegexp(t, `(?i)cost|machine|labour|example-co2|mark-up|margin|hour|\b36\b`, string(text))
}
