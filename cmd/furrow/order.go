package main

import (
	"fmt"
	"strconv"
	"strings"
)

// orderSpec is what the customer wants. The toml tags are the keys of a job
// file's [order].
type orderSpec struct {
	Name     *string   `toml:"name" comment:"whose order it is, or its number"`
	Quantity *quantity `toml:"quantity" comment:"how many parts"`
	Loading  *number   `toml:"loading_s" comment:"time to take one part out and put the next one in, seconds (by a watch)"`
}

// blankSpec is the part before it is marked. The toml tags are the keys of a
// job file's [blank].
type blankSpec struct {
	Material  string    `toml:"material,omitempty" comment:"as recipes name it"`
	Width     *lengthMM `toml:"width" comment:"of the blank"`
	Height    *lengthMM `toml:"height" comment:"of the blank"`
	Thickness *lengthMM `toml:"thickness" comment:"of the blank"`
	Colour    *string   `toml:"colour" comment:"of the blank, for the sheet"`
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
