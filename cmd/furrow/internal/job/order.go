package job

import "furrow/cmd/furrow/internal/value"

// Order is what the customer wants. The toml tags are the keys of a job
// file's [order].
type Order struct {
	Name         *string         `toml:"name" comment:"what is ordered, or the order's number"`
	Customer     *string         `toml:"customer" comment:"whose order it is"`
	Quantity     *value.Quantity `toml:"quantity" comment:"how many parts; left out: 1, or the rows of the data"`
	Due          *value.Date     `toml:"due" comment:"the day it is promised for, as 2026-12-18"`
	Loading      *value.Number   `toml:"loading_s"`
	FirstArticle *bool           `toml:"first_article"`
	AsListed     *bool           `toml:"proof_as_listed"`
}

// Over returns s with what it leaves out taken from base.
func (s Order) Over(base Order) Order {
	base.Name = value.First(s.Name, base.Name)
	base.Quantity = value.First(s.Quantity, base.Quantity)
	base.Loading = value.First(s.Loading, base.Loading)
	base.Due = value.First(s.Due, base.Due)
	return base
}
