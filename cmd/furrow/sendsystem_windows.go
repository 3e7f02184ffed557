package main

import "os"

// endings are more signals that would end the program: there are none.
var endings []os.Signal

// foreground reports that the console is ours to read: Windows has no background that
// could share one.
func foreground(int) bool { return true }
