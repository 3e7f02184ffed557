package product

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// WriteJSON prints v as one indented object, its numbers with the digits that mean
// something: a nanosecond of a time, a nanometre of a length, seven digits of the rest.
func WriteJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err
	}
	key := ""
	for line := range strings.Lines(b.String()) {
		if k, ok := keyOf(line); ok {
			key = k
		}
		if _, err := io.WriteString(w, rounded(line, key)); err != nil {
			return err
		}
	}
	return nil
}

// keyOf returns the key on a line of indented JSON. A list's values stand on lines of
// their own below it.
func keyOf(line string) (string, bool) {
	text := strings.TrimLeft(line, " ")
	key, _, ok := strings.Cut(text, `": `)
	return strings.TrimPrefix(key, `"`), ok && strings.HasPrefix(text, `"`)
}

// rounded returns a line whose number, if it has one with decimals, is rounded by what
// its key says it is.
func rounded(line, key string) string {
	at := len(line) - len(strings.TrimLeft(line, " "))
	if _, ok := keyOf(line); ok {
		at = strings.Index(line, `": `) + len(`": `)
	}
	number := strings.TrimRight(line[at:], ",\n")
	if !strings.ContainsAny(number, ".e") {
		return line
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.Abs(v) >= 1e15 {
		return line
	}
	return line[:at] + roundedTo(v, key) + line[at+len(number):]
}

func roundedTo(v float64, key string) string {
	switch {
	case strings.HasSuffix(key, "seconds") || strings.HasSuffix(key, "_s"):
		v = math.Round(v*1e9) / 1e9
	case strings.HasSuffix(key, "_mm"):
		v = math.Round(v*1e6) / 1e6
	default:
		v, _ = strconv.ParseFloat(fmt.Sprintf("%.7g", v), 64)
	}
	if v == 0 {
		v = 0 // never -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
