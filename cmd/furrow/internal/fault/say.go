package fault

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"runtime"
	"strings"
	"unicode"

	"golang.org/x/term"
)

// Say prints a message to a person: "furrow: warning: ...". Its kind stands out on
// a terminal.
func Say(w io.Writer, kind, text string) {
	if c, ok := kindColours[kind]; ok && colourful(w) {
		kind = "\x1b[" + c + "m" + kind + "\x1b[0m"
	}
	fmt.Fprintf(w, "furrow: %s: %s\n", kind, Printable(Short(text)))
}

// Printable returns a text with a sign in place of what would change a terminal: control
// characters but ends of lines, those of ISO/IEC 6429 in one piece (U+0080 to U+009F) too.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) {
			return '\ufffd'
		}
		return r
	}, text)
}

// What a message may hold, in characters, whatever the input: a word of a megabyte in it
// would bury what it says.
const (
	mostOfWord    = 300 // a path may be so long
	mostOfMessage = 8000
)

// Short returns a message with its long words cut in their middle, and itself where it
// is long all the same.
func Short(text string) string {
	text = longWord.ReplaceAllStringFunc(text, func(word string) string {
		r := []rune(word)
		return string(r[:mostOfWord/2]) + "..." + string(r[len(r)-mostOfWord/2+3:])
	})
	if r := []rune(text); len(r) > mostOfMessage {
		text = string(r[:mostOfMessage]) + "..."
	}
	return text
}

var longWord = regexp.MustCompile(fmt.Sprintf(`\S{%d,}`, mostOfWord+1))

// kindColours are bold red and bold yellow (ECMA-48, select graphic rendition).
var kindColours = map[string]string{"error": "1;31", "warning": "1;33"}

// colourful reports that w is a terminal that may be written to in colour: not
// where NO_COLOR is set, nor where a console may show the codes as they are.
func colourful(w io.Writer) bool {
	return Terminal(w) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && runtime.GOOS != "windows"
}

// Terminal reports that what is written to w goes to a person's screen.
func Terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
