// Package better looks for better ways to do the work: the quickest angle before it is
// made, advice once it is, and the same work on other machines. Another way is the work
// made again from another input.
package better
