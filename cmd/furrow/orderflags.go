package main

import (
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// startFlags registers where counters start.
func startFlags(fs *pflag.FlagSet, to *map[string]int) {
	fs.StringToIntVar(to, "counter", nil, "start a counter of the job at another number: `NAME=N`; repeatable")
}

// unfelt are flags of an order that alter no part of it.
var unfelt = []string{"--name", "--due", "--loading", "--bound", "--effort"}

// felt are those flags of an order, as its record has them, that alter its parts.
func felt(flags []string) []string {
	flags = slices.DeleteFunc(slices.Clone(flags), func(f string) bool {
		name, _, _ := strings.Cut(f, "=")
		return slices.Contains(unfelt, name)
	})
	slices.Sort(flags)
	return flags
}

// otherFlags words in what the flags of an order have changed; "" where they have not.
func otherFlags(was, is []string) string {
	was, is = felt(was), felt(is)
	if slices.Equal(was, is) {
		return ""
	}
	worded := func(flags []string) string {
		if len(flags) == 0 {
			return "none"
		}
		return strings.Join(flags, " ")
	}
	return "the command line has changed, from " + worded(was) + " to " + worded(is) + ","
}

// saidAgain are the flags of an order's record, and those of the command line that makes it
// again in their place. What counters start at is told one by one.
func saidAgain(was []string, given []givenFlag) []string {
	all := slices.Clone(was)
	for _, g := range given {
		if !slices.Contains([]string{"quantity", "loading", "name", "due", "counter"}, g.name) {
			continue
		}
		if g.name != "counter" {
			all = slices.DeleteFunc(all, func(f string) bool { return strings.HasPrefix(f, "--"+g.name+"=") })
		}
		all = append(all, "--"+g.name+"="+g.text)
	}
	return all
}
