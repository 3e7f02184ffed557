package value

// Or returns what p points to, or the default.
func Or[T any](p *T, def T) T {
	if p == nil {
		return def
	}
	return *p
}

// First returns the first of two that is given.
func First[T any](a, b *T) *T {
	if a != nil {
		return a
	}
	return b
}

// Given returns nil for a value that was left out.
func Given[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}
