// Package machine describes what machines can do: the profile of one, the recipes
// that suit materials on it, the rules that both obey, and the numbers that the
// files of its kind can hold. It knows nothing of artwork or moves.
package machine
