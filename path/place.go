package path

// Place is an element that is asked for: one whose content differs from part
// to part.
type Place struct {
	Pick        int // which of those asked for
	First, Last int // Artwork.Shapes[First:Last] is what the element draws
	Source      Source
	Group       int // as of a shape
	Invert      bool
	In          *PaintGroup
	Clips       []*Clip
	Text        *Text  // of a text element, else nil
	Frame       *Frame // of a rect, else nil
}

// Frame is a rectangle of W x H mm. Matrix maps it, its lower-left corner at 0,0, to
// the page: turned and mirrored, never scaled.
type Frame struct {
	W, H   float64
	Matrix Matrix
}

// Text is the place of a text, whose words can be set anew.
type Text struct {
	Words  string  // as drawn
	SizeMM float64 // of the font
	// of millimetres from the text's origin, X along it and Y up, to the page: turned and mirrored, not scaled
	Matrix Matrix
	Anchor float64 // how much of a line lies left of the origin: 0, 0.5 or 1
	WordSetter
}

// WordSetter sets other words in the style of a text's first letter.
type WordSetter interface {
	// Lacking returns the letters that no font of the text's list has, each once.
	Lacking(words string) []rune
	// WidthMM returns how wide a line of words is at full size.
	WidthMM(words string) (float64, error)
	// Set draws a line of words in place of the text's own, scaled along and across
	// from a point of the text's line, mm.
	Set(words string, from Point, along, across float64) ([]Shape, error)
}
