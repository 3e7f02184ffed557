package main

import (
	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
)

// orderSpec is what the customer wants. The toml tags are the keys of a job
// file's [order].
type orderSpec struct {
	Name     *string         `toml:"name" comment:"whose order it is, or its number"`
	Quantity *value.Quantity `toml:"quantity" comment:"how many parts"`
	Loading  *value.Number   `toml:"loading_s" comment:"time to take one part out and put the next one in, seconds (by a watch)" range:"0 to 86400 s"`
}

func (s *orderSpec) flags(fs *pflag.FlagSet) {
	value.Flag(fs, &s.Quantity, "quantity", "how many parts, `N` (default 1)")
	value.Flag(fs, &s.Loading, "loading", "`SECONDS` to take one part out and put the next one in (default 0)")
	limitFlags(fs, *s)
}

// over returns s with what it leaves out taken from base.
func (s orderSpec) over(base orderSpec) orderSpec {
	return orderSpec{value.First(s.Name, base.Name), value.First(s.Quantity, base.Quantity), value.First(s.Loading, base.Loading)}
}
