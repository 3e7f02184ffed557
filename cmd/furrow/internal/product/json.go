package product

import (
	"encoding/json"
	"io"
)

// WriteJSON prints v as one indented object.
func WriteJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
