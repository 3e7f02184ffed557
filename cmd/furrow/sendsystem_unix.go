//go:build unix

package main

import (
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// endings are more signals that would end the program, or let it sleep with the beam on.
var endings = []os.Signal{syscall.SIGQUIT, syscall.SIGTSTP, syscall.SIGTTIN, syscall.SIGTTOU, syscall.SIGPIPE}

// foreground reports that the terminal is ours to read.
func foreground(terminal int) bool {
	group, err := unix.IoctlGetInt(terminal, unix.TIOCGPGRP)
	return err == nil && group == unix.Getpgrp()
}
