package words_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/words"
)

func TestTablesSetNumbersToTheRight(t *testing.T) {
	table := words.Table{Heads: []string{"MACHINE", "HOURS", "PART", "RECIPE"}, Units: []string{"", "", "", ""}}
	table.Add("co2", "1,120.5", "9:14", "birch, 2026")
	table.Add("fibre-2", "0.25", "0.46 s", "steel")
	table.Add("diode", "12", "-", "7 layers")
	var b strings.Builder
	require.NoError(t, table.Write(&b))
	require.Equal(t, strings.Join([]string{
		"MACHINE     HOURS    PART  RECIPE",
		"",
		"co2      1,120.5     9:14  birch, 2026",
		"fibre-2      0.25  0.46 s  steel",
		"diode       12          -  7 layers",
		"",
	}, "\n"), b.String())
}

func TestTableOfNothing(t *testing.T) {
	var b strings.Builder
	require.NoError(t, (&words.Table{Heads: []string{"A", "B"}}).Write(&b))
	require.Equal(t, "A  B\n", b.String())
}

// Whole numbers keep no room for a point; a column with nothing but dashes is of words.
func TestWhatStandsBehindNumbers(t *testing.T) {
	table := words.Table{Heads: []string{"N", "MM", "AT", "TO"}}
	table.Add("7", "1.25", "-", "x")
	table.Add("12", "12", "-", "y")
	table.Add("-3", "+0.5")
	var b strings.Builder
	require.NoError(t, table.Write(&b))
	require.Equal(t, " N     MM  AT  TO\n 7   1.25  -   x\n12  12     -   y\n-3  +0.5\n", b.String())
}
