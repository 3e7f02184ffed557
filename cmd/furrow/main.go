// Command furrow turns artwork into hatched toolpaths for laser markers:
// RS-274 G-code for a gantry, a mark-vector list for a galvo.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
