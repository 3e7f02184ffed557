// Package product writes files that appear whole or not at all.
package product
