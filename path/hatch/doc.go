// Package hatch turns a placed artwork into rows of marked spans and polylines.
//
// The plane is turned so that the rows of a set lie along X. Rings are cut into
// chains of edges that rise or fall together; a sweep walks up the rows with
// the chains that cross the current one in order, and a painter walks along
// the row, in and out of shapes and clips, and keeps the topmost. Overlaps are
// so settled on intervals: no polygon is ever united with another for it, and
// any rings will do, crossing themselves, touching, repeated or of no area.
//
// Rows come by number: row k of a set lies at its first row plus k spacings,
// and a ring crosses it at its edge's first crossing plus whole steps. Nothing
// is summed up on the way, so nothing drifts.
package hatch
