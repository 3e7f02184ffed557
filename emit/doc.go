// Package emit turns a path.Program into what one machine does: Plan makes a
// stream of Moves for a machine.Profile, the packages below it write, read and time
// those Moves. Package path opens with an example from artwork to a checked file.
package emit
