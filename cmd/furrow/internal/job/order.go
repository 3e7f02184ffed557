package job

import "furrow/cmd/furrow/internal/value"

// Order is what the customer wants. The toml tags are the keys of a job
// file's [order].
type Order struct {
	Name     *string         `toml:"name" comment:"whose order it is, or its number"`
	Quantity *value.Quantity `toml:"quantity" comment:"how many parts"`
	Loading  *value.Number   `toml:"loading_s"`
}

// Over returns s with what it leaves out taken from base.
func (s Order) Over(base Order) Order {
	return Order{value.First(s.Name, base.Name), value.First(s.Quantity, base.Quantity),
		value.First(s.Loading, base.Loading)}
}
