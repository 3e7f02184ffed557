package svg

// Limits on one document. Each is far above what a drawing program writes and
// low enough that no file costs more than a few seconds or a gigabyte;
// TestHostile guards them.
const (
	maxBytes     = 128 << 20 // of the file, after gunzip
	maxExpansion = 16 << 20  // bytes that entities add
	maxElements  = 1_000_000 // in the file, and pieces of text
	maxDepth     = 512       // of nested elements
	maxDrawn     = 1_000_000 // elements visited while drawing, those reached through use each time
	maxPoints    = 20_000_000
	maxOnePath   = 2_000_000 // points of one path, or of the outline of its stroke on one side
	maxUseDepth  = 32
	maxDashes    = 1_000_000  // in the whole document
	maxRules     = 20_000     // selectors in all style sheets
	maxTests     = 30_000_000 // selectors tried on elements, and declarations that they bring
	maxWarnings  = 10_000
	maxUser      = 1e12 // coordinates in user units; beyond, a path ends as at an error
	maxMM        = 1e6  // coordinates on the page; a shape beyond is left out
)
