package text

import (
	"cmp"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// Metrics are heights above the baseline and thicknesses of a font, in parts of its
// em.
type Metrics struct {
	Ascent, Descent          float64 // Descent is below the baseline and positive
	XHeight, CapHeight       float64
	Underline, UnderlineSize float64 // Underline is the middle of the line, below 0
	Strike, StrikeSize       float64
}

// Metrics returns those of the font; what it does not tell is in usual proportion.
func (f *Face) Metrics() Metrics {
	m := Metrics{Ascent: 0.8, Descent: 0.2}
	get := func(_ font.LineMetric, usual float64) float64 { return usual }
	switch d := f.drawn; {
	case d == nil:
		if e, ok := f.face.FontHExtents(); ok {
			m.Ascent, m.Descent = float64(e.Ascender)/f.em, -float64(e.Descender)/f.em
		}
		get = func(which font.LineMetric, usual float64) float64 {
			return cmp.Or(float64(f.face.LineMetric(which))/f.em, usual)
		}
	case d.Ascent != 0 || d.Descent != 0:
		m.Ascent, m.Descent = d.Ascent/d.Em, d.Descent/d.Em
	}
	m.XHeight, m.CapHeight = get(font.XHeight, 0.5), get(font.CapHeight, 0.7)
	m.UnderlineSize, m.StrikeSize = get(font.UnderlineThickness, 0.05), get(font.StrikethroughThickness, 0.05)
	m.Underline = get(font.UnderlinePosition, -0.1) - m.UnderlineSize/2
	m.Strike = get(font.StrikethroughPosition, m.XHeight/2) - m.StrikeSize/2
	return m
}

// SmallCaps reports that the font has small capitals of its own.
func (f *Face) SmallCaps() bool {
	if f.drawn != nil {
		return false
	}
	smcp := opentype.MustNewTag("smcp")
	for _, feature := range f.face.GSUB.Features {
		if feature.Tag == smcp {
			return true
		}
	}
	return false
}

// Weight returns that of the font as it is set, 100..900: of a variable font what
// was asked for.
func (f *Face) Weight() int { return f.weight }

// Stretches reports that the font has an axis of widths.
func (f *Face) Stretches() bool { return f.wide }
