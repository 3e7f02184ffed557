// Package proof reads a file made for a controller and proves of it what can be
// proved. What was proved, and what was not, is data.
package proof
