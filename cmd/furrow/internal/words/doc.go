// Package words writes lengths, times and places as people say them.
package words
