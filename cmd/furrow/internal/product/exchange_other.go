//go:build !linux && !darwin

package product

func exchange(a, b string) error { return exchangeInSteps(a, b) }
