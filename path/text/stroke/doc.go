// Package stroke letters in lines without width, which are marked once along
// their middle:
//
//	shape, err := stroke.SingleLine().Lay("Tilia cordata", stroke.Line{Size: 4, Anchor: 0.5})
//	art.Shapes = append(art.Shapes, shape)
//
// The letters are A. V. Hershey's plain Roman; LICENCE-hershey-sans.txt beside the
// font says on which terms they may be passed on. Accents are composed.
package stroke
