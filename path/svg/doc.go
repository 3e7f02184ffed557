// Package svg reads SVG into a path.Document: the painted shapes, in paint
// order, in millimetres with Y up and the page's lower-left corner at 0,0.
//
//	doc, err := svg.Read(file, svg.Options{Pick: pick.Options{Groups: []string{".deep", "#border"}}})
//	doc.Artwork.Shapes[0].Group // 1 where ".deep" picked it, 2 for "#border", else 0
//	doc.Warnings               // what was left out or drawn otherwise, and where
//
// What comes out is what a browser would show; where that cannot be had, a
// Warning names the element, its line and, where that is known, the box in which the
// difference shows. What lies off the page makes none. testdata/index lists all that
// SVG knows, and TestIndexes that each is drawn, warned of or without effect. Fills and centre lines keep their
// curves, arcs included. A stroke with a width is the region that it covers,
// flattened to Options.Tolerance where it bends.
//
// Gradients come as functions of the place, groups with their opacity, blend mode
// and mask as path.Group; one that only fades a single shape is taken off. A mask
// that shows all or nothing is a clip. A pattern becomes its tiles, as shapes.
//
// Filters that move, recolour or flood are drawn; what they blur has no edge to mark:
// a soft shadow is left out, and what is nothing but blurred stands with sharp edges.
// Fonts of font elements, and those in data URIs, are used.
//
// Known to differ from a browser: pictures, filters of other kinds and blend modes that
// are not separable are left out with a warning, and vertical text is set on a level
// line; lines along text are as thick as the font says; a radial gradient's focus
// outside its circle is moved onto it; what filters and their floods lay over each
// other is mixed in sRGB.
//
// Measured (BenchmarkRead, TestLargeMemory): 100,000 paths of eight curves in
// 22 MB, half of them filled, read in three times what the XML decoder takes
// alone, 0.8 s of processor time, and 170 MB; with the other half stroked, in
// 1.9 s and 450 MB. Of all icons of bootstrap-icons, flag-icons (4x3) and
// lucide-static (4,525) none agrees with librsvg 2.54 on less than 98.5 % of the
// painted pixels; of 4,600 random documents one does, which Chromium paints as we
// do. No hostile file that we could think of takes more than 3 s or 0.8 GB
// (TestHostile).
//
// The stages, each in its own files: bytes to UTF-8 (decode), XML to a tree
// (tree), style sheets (sheet, selector), the cascade (style, property), and
// the walk over the tree that emits shapes (walk and those below it). Libraries
// read XML (encoding/xml), CSS grammar (tdewolff/parse), compound selectors
// (cascadia) and character sets (x/net); no type of theirs leaves the package. Nothing named
// in a document, file or URL, is ever opened.
package svg
