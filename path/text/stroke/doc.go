// Package stroke letters in lines without width, which are marked once along
// their middle:
//
//	laid, err := stroke.SingleLine().Lay("Tilia cordata", stroke.Line{Size: 4, Anchor: stroke.Middle})
//	art.Shapes = append(art.Shapes, laid.Shape)
//
// The letters are A. V. Hershey's plain Roman; LICENCE-hershey-sans.txt beside the
// font says on which terms they may be passed on. Accents are composed.
package stroke
