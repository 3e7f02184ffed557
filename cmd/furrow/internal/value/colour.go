package value

import (
	"encoding/hex"
	"fmt"
	"image/color"
	"strings"

	"golang.org/x/image/colornames"
)

// Colour is an opaque sRGB colour, written "#rrggbb" or as SVG names it, in words
// too: "dark slate grey".
type Colour color.RGBA

func (c *Colour) Set(s string) error {
	name := strings.ToLower(strings.Join(strings.Fields(s), ""))
	if named, ok := colornames.Map[name]; ok {
		*c = Colour(named)
		return nil
	}
	b, err := hex.DecodeString(strings.TrimPrefix(name, "#"))
	if err != nil || len(b) != 3 || !strings.HasPrefix(name, "#") {
		return fmt.Errorf("%q is no colour: write it as #rrggbb, or name it as SVG does", s)
	}
	*c = Colour{b[0], b[1], b[2], 255}
	return nil
}
