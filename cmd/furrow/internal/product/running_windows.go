package product

import "os"

// running reports that there is a process of a number.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err == nil {
		p.Release()
	}
	return err == nil
}
