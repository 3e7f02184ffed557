// Package quote reckons what an order costs to make and what it is sold for, from
// the shop's rates, in decimal money.
//
// Money is rounded in four places and nowhere else: each cost to the currency's
// smallest unit; then the price of one part by the rounding rule; then the price of
// the order, which is the price of one part times the parts delivered; then the
// tax. So the lines of a quote add up to its foot.
package quote
