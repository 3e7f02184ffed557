// Package fault holds what goes wrong: failures with an exit code and a remedy,
// and how they are told to a person.
package fault
