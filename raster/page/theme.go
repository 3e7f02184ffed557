package page

import "image/color"

// Theme is the colours of a page. Apart from the picture's own scale they are
// greys, so that no colour has a meaning to be learnt.
type Theme struct {
	Paper color.RGBA // of the page
	Ink   color.RGBA // text, ticks
	Quiet color.RGBA // frames, minor ticks
	Table color.RGBA // what lies outside the bed or field
	Bed   color.RGBA
	Blank color.RGBA // the unmarked part
	Mid   color.RGBA // beam-off movement
}

// Light is for printing.
var Light = Theme{
	Paper: grey(255), Ink: grey(26), Quiet: grey(120),
	Table: grey(228), Bed: grey(243), Blank: grey(255), Mid: grey(128),
}

// Dark is for a dim room.
var Dark = Theme{
	Paper: grey(18), Ink: grey(236), Quiet: grey(140),
	Table: grey(44), Bed: grey(28), Blank: grey(10), Mid: grey(128),
}

func grey(v uint8) color.RGBA { return color.RGBA{v, v, v, 255} }
