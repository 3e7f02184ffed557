package value

import (
	"fmt"
	"strconv"
	"strings"

	"furrow/path"
)

// Quantity is a number of parts.
type Quantity int

const maxQuantity = 1_000_000

func (q *Quantity) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a whole number from 1 to %d%s", s, maxQuantity, path.CommaHint(s))
	}
	*q = Quantity(n)
	return q.Check()
}

func (q Quantity) Check() error {
	if q < 1 || q > maxQuantity {
		return fmt.Errorf("%d is not from 1 to %d", int(q), maxQuantity)
	}
	return nil
}

// Quantities are several of them.
type Quantities []Quantity

func (q *Quantities) Set(s string) error {
	var all Quantities
	for _, one := range strings.Split(s, ",") {
		var n Quantity
		if err := n.Set(one); err != nil {
			return err
		}
		all = append(all, n)
	}
	*q = all
	return nil
}

func (c *Count) UnmarshalText(b []byte) error { return c.Set(string(b)) }

// Count is a whole number from 1 to maxCount.
type Count int

// MaxCount is the greatest Count.
const MaxCount = 1000

func (c *Count) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a whole number%s", s, path.CommaHint(s))
	}
	*c = Count(n)
	return c.Check()
}

func (c *Count) Check() error {
	if *c < 1 || *c > MaxCount {
		return fmt.Errorf("%d is not a whole number from 1 to %d", *c, MaxCount)
	}
	return nil
}
