package job

import "furrow/cmd/furrow/internal/value"

// Artwork is the artwork and its place on the blank. The toml tags are the
// keys of a job file's [artwork].
type Artwork struct {
	File   string        `toml:"file" comment:"SVG file, beside this one"`
	Width  *value.Length `toml:"width" comment:"width of the page, which height follows" range:"0.001 to 100000 mm"`
	Height *value.Length `toml:"height" comment:"height of the page, which width follows" range:"0.001 to 100000 mm"`
	Fit    *bool         `toml:"fit"`
	Margin *value.Length `toml:"margin"`
	Trim   *bool         `toml:"trim" comment:"take what is drawn, not the page"`
	Rotate *value.Number `toml:"rotate" comment:"turn the page, degrees counter-clockwise" range:"-360 to 360 degrees"`
	Mirror *string       `toml:"mirror" comment:"x swaps left and right, y swaps top and bottom"`
	At     *value.Point  `toml:"at"`
	Selection
}

// MirrorWords are the axes by which a page can be mirrored.
var MirrorWords = []string{"x", "y"}

// over returns s with what it leaves out taken from base. A size asked for here
// takes the place of any asked for there.
func (s Artwork) over(base Artwork) Artwork {
	if s.sized() {
		base.Width, base.Height, base.Fit = s.Width, s.Height, s.Fit
	}
	base.Margin = value.First(s.Margin, base.Margin)
	base.Trim = value.First(s.Trim, base.Trim)
	base.Rotate = value.First(s.Rotate, base.Rotate)
	base.Mirror = value.First(s.Mirror, base.Mirror)
	base.At = value.First(s.At, base.At)
	base.Selection = s.Selection.Over(base.Selection)
	return base
}

// sized reports that something is said of the page's size.
func (s Artwork) sized() bool { return s.Width != nil || s.Height != nil || s.Fit != nil }

// Selection is what of the artwork counts, and where marked and bare swap. The
// toml tags are keys of a job file's [artwork].
type Selection struct {
	Only      []string      `toml:"only" comment:"read only these: a colour, id, class or layer name each"`
	Skip      []string      `toml:"skip" comment:"leave these out"`
	Invert    *bool         `toml:"invert" comment:"swap marked and bare inside the page"`
	InvertIn  []string      `toml:"invert_in" comment:"swap marked and bare inside these"`
	BareAbove *value.Number `toml:"bare_above"`
	Fonts     []string      `toml:"fonts" comment:"folders with fonts for the artwork's text, before the system's"`
}

// Over returns s with what it leaves out taken from base.
func (s Selection) Over(base Selection) Selection {
	if len(s.Only) > 0 {
		base.Only = s.Only
	}
	if len(s.Skip) > 0 {
		base.Skip = s.Skip
	}
	if len(s.InvertIn) > 0 {
		base.InvertIn = s.InvertIn
	}
	if len(s.Fonts) > 0 {
		base.Fonts = s.Fonts
	}
	base.BareAbove = value.First(s.BareAbove, base.BareAbove)
	base.Invert = value.First(s.Invert, base.Invert)
	return base
}

// EffortBest takes far longer than the others.
const EffortBest = "best"

// EffortWords say how long to look for a shorter way.
var EffortWords = []string{"none", "quick", "normal", EffortBest}
