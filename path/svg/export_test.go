package svg

import "furrow/path"

// ParsePathData is for the benchmarks.
var ParsePathData = parsePathData

// StrokeOutline strokes with butt caps and round joins, for the benchmarks.
func StrokeOutline(p path.Path, width, tolerance float64) path.Path {
	k := pen{half: width / 2, tolerance: tolerance, cap: "butt", join: "round", miter: 4, most: maxOnePath}
	var out path.Path
	for _, l := range new(lineBuilder).polylines(p, width/2, tolerance) {
		k.draw(&out, &l)
	}
	return out
}
