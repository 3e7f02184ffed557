package main

import (
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/order"
)

// everyRole is what --as-kept and --as-now mean alone.
const everyRole = "all"

// choices says which inputs of an order are taken as they were, and which as they are now.
type choices struct{ asKept, asNow []string }

// takes reports that a flag names a role, or all of them where the other flag does not.
func (c *choices) takes(flag, other []string, r order.Role) bool {
	named := func(f []string) bool { return slices.Contains(f, string(r)) }
	return named(flag) || slices.Contains(flag, everyRole) && !named(other)
}

// check refuses choices that name nothing, or say both of one input.
func (c *choices) check(args []string) error {
	var roles []string
	for _, r := range order.Roles() {
		roles = append(roles, string(r))
	}
	for _, f := range []struct {
		name  string
		roles []string
	}{{"--as-kept", c.asKept}, {"--as-now", c.asNow}} {
		for _, r := range f.roles {
			if r != everyRole && !slices.Contains(roles, r) {
				return fault.Usagef("%s: no input is called %q", f.name, r).Hintf("%s", fault.Suggest(r, roles))
			}
		}
		if i := slices.IndexFunc(args, func(a string) bool { return slices.Contains(roles, a) }); i >= 0 && len(args) > 1 &&
			slices.Contains(f.roles, everyRole) {
			return fault.Usagef("%s %s are two words", f.name, args[i]).Hintf("write %s=%s", f.name, args[i])
		}
	}
	return c.both()
}

// both refuses what is to be as it was and as it is now.
func (c *choices) both() error {
	var twice []string
	for _, r := range c.asKept {
		if slices.Contains(c.asNow, r) {
			twice = append(twice, r)
		}
	}
	if len(twice) == 0 {
		return nil
	}
	return fault.Usagef("--as-kept and --as-now both for %s", strings.Join(twice, ", ")).
		Hintf("name in one of them what is the exception, as in --as-kept --as-now=data")
}
