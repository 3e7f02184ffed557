// Package job holds what is to be done: the job file, the table of a fill's values, and
// the resolution of the command line over a group over the job over its recipe.
package job
