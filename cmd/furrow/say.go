package main

import (
	"fmt"
	"io"
	"os"
	"runtime"

	"golang.org/x/term"
)

// say prints a message to a person: "furrow: warning: ...". Its kind stands out on
// a terminal.
func say(w io.Writer, kind, text string) {
	if c, ok := kindColours[kind]; ok && colourful(w) {
		kind = "\x1b[" + c + "m" + kind + "\x1b[0m"
	}
	fmt.Fprintf(w, "furrow: %s: %s\n", kind, text)
}

// kindColours are bold red and bold yellow (ECMA-48, select graphic rendition).
var kindColours = map[string]string{"error": "1;31", "warning": "1;33"}

// colourful reports that w is a terminal that may be written to in colour: not
// where NO_COLOR is set, nor where a console may show the codes as they are.
func colourful(w io.Writer) bool {
	return terminal(w) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && runtime.GOOS != "windows"
}

// terminal reports that what is written to w goes to a person's screen.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// warn prints what a person should know before the beam is on.
func (a *app) warn(all []warning) {
	for _, w := range all {
		say(a.stderr, "warning", w.String())
	}
}
