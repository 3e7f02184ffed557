// Package hatch turns a placed artwork into rows of marked spans and polylines.
//
// The plane is turned so that the rows of a set lie along X. Rings are cut into
// chains of edges that rise or fall together; a sweep walks up the rows with
// the chains that cross the current one in order, and a painter walks along
// the row, in and out of shapes and clips, and keeps those that it is inside.
// Overlaps are so settled on intervals: no polygon is ever united with another for
// it, and any rings will do, crossing themselves, touching, repeated or of no area.
//
// What is seen decides. Where the topmost shape is opaque and in no group it
// decides alone; else all that the painter is inside is laid over white by W3C
// Compositing and Blending Level 1, groups, blend modes and masks with it (lay),
// and the place is marked if a channel of the result is below BareAbove, with the
// fill of the topmost shape of which at least half an 8-bit step shows. Where a
// gradient lies, the place matters too: the row is cut at the gradient's stops and
// turns, and a change between them is bracketed to 0.1 nm (changes). Outlines and
// insets need edges there: survey asks rows where each gradient changes what is
// marked, and banded cuts it along its lines of equal paint, at exactly those
// offsets.
//
// Rows come by number: row k of a set lies at its first row plus k spacings,
// and a ring crosses it at its edge's first crossing plus whole steps. Nothing
// is summed up on the way, so nothing drifts. What lies on a row, to a
// nanometre, counts as beyond it seen from the middle of the set; rounding so
// decides nothing, and turned artwork marks the same. The middle row itself,
// where their number is odd, has no side nearer the middle: what lies on it
// counts as above it, so that half a turn of artwork with an edge exactly there
// moves that edge's row from one side of the edge to the other. Half a turn of
// the rows changes nothing, for angles half a turn apart share one grid.
//
// Only insets, outlines and contours need the boundary of a group's region. It
// comes from snap rounding (type arrangement), whose result is proved free of
// crossings; a marker walks over all of it and tells what is marked on both
// sides of each piece. Very many rings are united tile by tile (type tiler), where
// what is hidden is left out before any work. The strip between a boundary and its offset is the union
// of a rectangle on every edge and a sector at every corner. Rows take that
// strip away as one more bare layer on top; outlines and contours take what the
// lines beside the rings go round a positive number of times (offset). What an
// inset would erase is traced along the centres of the discs that fit (centres).
//
// # Measured
//
// On two shared cores, one thread, by the benchmarks here and .ci/compare:
// 45,000 vertices of icons at 0.0635 mm and 45 degrees, 61,268 spans, take
// 2.8 ms in the first call of a process (2.2 to 3.5; a quarter of it is the
// first touch of the spans' memory). For the same rows libpolyclipping takes
// 49 ms in its first call with all shapes at once and 37 ms at best, 31 ms shape
// by shape with those rows only that reach it; GEOS in strips of 16 rows takes
// 680 ms. A million spans take 13 ms and 18 MB, 16 MB of them the spans. More
// goroutines help above a million crossings for each.
//
// Uniting 45,000 vertices takes 60 ms, offsetting their region 80 ms. Contours
// cost that once for every level: some 2 µs a point.
package hatch
