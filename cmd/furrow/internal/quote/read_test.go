package quote_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/quote"
)

// The shop's rates are read where there is a file of them; else there are none.
func TestRatesOfTheShop(t *testing.T) {
	home := t.TempDir()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "AppData", "home"} {
		t.Setenv(name, home)
	}
	r, err := quote.Read()
	require.NoError(t, err)
	require.Equal(t, quote.Rates{}, r)
	file, err := quote.File()
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte("labour_hour = 30\n[machine_hour]\nmine = 40\n"), 0o600))
	r, err = quote.Read()
	require.NoError(t, err)
	require.Equal(t, quote.Rates{Labour: num(30), Machine: map[string]float64{"mine": 40}}, r)
	require.NoError(t, os.Remove(file))
	require.NoError(t, os.Mkdir(file, 0o755))
	_, err = quote.Read()
	require.Error(t, err, "a folder is no file of rates")
}

func TestRatesAreHeldToTheirKeys(t *testing.T) {
	for text, want := range map[string]string{
		"labour = 3\n":                              "rates.toml:1: ",
		"labour_hour = -1\n":                        "rates.toml:1: labour_hour",
		"\nspoilage_percent = 101\n":                "rates.toml:2: spoilage_percent",
		"mark_up_percent = 5\nmargin_percent = 5\n": "rates.toml:2: margin_percent: a mark-up and a margin at once",
		"[[price_break]]\nfrom = 0\npercent = 5\n":  "a price break from 0 parts",
	} {
		_, err := quote.Parse("rates.toml", []byte(text))
		require.ErrorContains(t, err, want)
	}
	empty, err := quote.Empty()
	require.NoError(t, err)
	r, err := quote.Parse("rates.toml", empty)
	require.NoError(t, err)
	require.Equal(t, quote.Rates{}, r, "there is nothing in it yet")
	require.Contains(t, string(empty), "#labour_hour =")
}
