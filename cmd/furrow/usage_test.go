package main

import (
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"
)

func TestUsageNamesEveryFlag(t *testing.T) {
	for _, c := range commands() {
		fs, _ := c.flags()
		text := c.usage()
		fs.VisitAll(func(f *pflag.Flag) {
			require.Contains(t, text, "--"+f.Name, c.name)
			require.NotEmpty(t, f.Usage, c.name+" --"+f.Name)
			require.False(t, f.Hidden, c.name+" --"+f.Name)
		})
		require.Contains(t, overview(errands()), c.name)
	}
}
