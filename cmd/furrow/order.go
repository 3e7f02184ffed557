package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
)

// orderSpec is what the customer wants. The toml tags are the keys of a job
// file's [order].
type orderSpec struct {
	Name     *string   `toml:"name" comment:"whose order it is, or its number"`
	Quantity *quantity `toml:"quantity" comment:"how many parts"`
	Loading  *number   `toml:"loading_s" comment:"time to take one part out and put the next one in, seconds (by a watch)" range:"0 to 86400 s"`
}

func (s *orderSpec) flags(fs *pflag.FlagSet) {
	optionalVar(fs, &s.Quantity, "quantity", "how many parts, `N` (default 1)")
	optionalVar(fs, &s.Loading, "loading", "`SECONDS` to take one part out and put the next one in (default 0)")
	limitFlags(fs, *s)
}

// over returns s with what it leaves out taken from base.
func (s orderSpec) over(base orderSpec) orderSpec {
	return orderSpec{first(s.Name, base.Name), first(s.Quantity, base.Quantity), first(s.Loading, base.Loading)}
}

// quantity is a number of parts.
type quantity int

const maxQuantity = 1_000_000

func (q *quantity) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a whole number from 1 to %d", s, maxQuantity)
	}
	*q = quantity(n)
	return q.check()
}

func (q quantity) check() error {
	if q < 1 || q > maxQuantity {
		return fmt.Errorf("%d is not from 1 to %d", int(q), maxQuantity)
	}
	return nil
}
