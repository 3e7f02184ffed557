// Package markvec writes and reads mark-vector lists, the plain documented
// file that a galvo's player runs.
package markvec
