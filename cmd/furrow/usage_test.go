package main

import (
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"
)

func TestUsageNamesEveryFlag(t *testing.T) {
	for _, c := range commands() {
		fs, _ := c.flags()
		text := c.usage(true)
		fs.VisitAll(func(f *pflag.Flag) {
			require.Contains(t, text, "--"+f.Name, c.name)
			require.NotEmpty(t, f.Usage, c.name+" --"+f.Name)
			require.False(t, f.Hidden, c.name+" --"+f.Name)
		})
		require.Contains(t, overview(errands()), c.name)
	}
}

// Short help fits a screen of 40 lines and leaves out flags of work alone, which the
// long one has in groups.
func TestShortHelp(t *testing.T) {
	for _, c := range commands() {
		fs, _ := c.flags()
		short, rest := c.shortFlags(fs)
		text := c.usage(false)
		if rest == 0 {
			require.Equal(t, text, c.usage(true), c.name)
			continue
		}
		require.Contains(t, text, "furrow "+c.name+" --help=all")
		require.NotNil(t, short.Lookup("machine"), c.name)
		if c.name == "hatch" {
			require.LessOrEqual(t, strings.Count(text, "\n"), 40)
			require.Contains(t, text, "Example")
		}
	}
}

// Help shows an example of each subcommand that does work, with flags and their values that
// it takes, and no line of text wider than a screen.
func TestHelpShowsAnExample(t *testing.T) {
	for _, c := range commands() {
		for line := range strings.SplitSeq(c.usage(false), "\n") {
			if !strings.HasPrefix(line, "Usage:") && !strings.HasPrefix(line, "  furrow ") {
				require.LessOrEqual(t, len(line), 100, "%s: %s", c.name, line)
			}
		}
		if c.example == "" {
			require.Contains(t, []string{"completion", "man"}, c.name)
			continue
		}
		for line := range strings.SplitSeq(c.example, "\n") {
			words := strings.Fields(regexp.MustCompile(`"[^"]*"`).ReplaceAllString(line, "quoted"))
			require.Equal(t, []string{"furrow", c.name}, words[:2])
			fs, _ := c.flags()
			require.NoError(t, fs.Parse(words[2:]), line)
		}
	}
}

// Every flag of hatch is in a group, and groups name no flag that is not there.
func TestEveryFlagHasAGroup(t *testing.T) {
	known := map[string]bool{}
	for _, c := range commands() {
		fs, _ := c.flags()
		fs.VisitAll(func(f *pflag.Flag) { known[f.Name] = true })
	}
	grouped := map[string]bool{}
	for _, g := range flagGroups {
		for _, name := range g.flags {
			require.True(t, known[name], name)
			require.False(t, grouped[name], name)
			grouped[name] = true
		}
	}
	sharedFlags().VisitAll(func(f *pflag.Flag) { require.True(t, grouped[f.Name], f.Name) })
	for _, name := range dailyFlags {
		require.True(t, grouped[name], name)
	}
}
