package job

import "furrow/cmd/furrow/internal/value"

// description is the comment and the range of a key, where a tag would be too long.
type description struct {
	comment string
	limits  value.Limits
}

var descriptions = map[string]description{
	"effort": {comment: "how hard to search for a quicker sequence: none, quick, normal or best"},
	"spread": {comment: "true: mark rows in a sequence that keeps the hottest place cooler, where that is worth " +
		"it; needs the blank's thickness and material"},
	"first_article": {comment: "whether the first part is looked at and accepted before the rest; left out: true"},
	"proof_as_listed": {
		comment: "whether the proof shows the parts in the sequence of the data; left out: false, and those with " +
			"the longest and the shortest of each text, and with those set smallest, come first",
	},
	"font":   {comment: "single-line: letters of lines, each marked once; left out: the artwork's"},
	"recipe": {comment: "settings that suit the material: an ID that furrow recipes lists, or a file"},
	"tolerance": {
		comment: "largest deviation from a curve; left out: 0.002mm for a list, 0.01mm for G-code",
		limits:  value.Limits{Least: 0.0001, Most: 10, Unit: "mm"},
	},
	"pause_at_k": {
		comment: "pause, beam off, where the estimate of the hottest place would pass this rise; " +
			"needs the blank's thickness and material",
		limits: value.Limits{Least: 0.1, Most: 5000, Unit: "K"},
	},
	"keep_out": {
		comment: "where a gantry's head must not go (clamps): left, bottom, right, top of each, mm from X0 Y0",
	},
	"group": {comment: "shapes of the artwork with a fill of their own: pick, and any key of [fill]"},
	"fit": {comment: "scale to the blank minus the margin, centred; on a round blank until all that is marked lies in " +
		"the circle"},
	"margin": {
		comment: "kept free along the blank's edges: fit leaves it, and marks in it give a warning",
		limits:  value.Limits{Least: 0, Most: 10_000, Unit: "mm"},
	},
	"at": {
		comment: "where the page (with fit, the blank) goes: " +
			"its lower-left corner on a gantry, its middle in a galvo's field",
		limits: value.Limits{Least: -100_000, Most: 100_000, Unit: "mm"},
	},
	"bare_above": {
		comment: "paint stays unmarked if each of its red, green and blue is at least this fraction of full; " +
			"left out: 0.96",
		limits: value.Limits{Least: 0.01, Most: 2},
	},
	"room": {
		comment: "how wide it may get; left out: to the edges of the page and of the blank, less the margin; on a round " +
			"blank as wide as that is at its height",
		limits: value.Limits{Least: 0.001, Most: 100_000, Unit: "mm"},
	},
	"squeeze": {
		comment: "the least width of letters, percent of what their size gives; they get smaller only after that",
		limits:  value.Limits{Least: 1, Most: 100, Unit: "percent"},
	},
	"loading_s": {
		comment: "time to take one part out and put the next one in, seconds (by a watch)",
		limits:  value.Limits{Least: 0, Most: 86_400, Unit: "s"},
	},
}

func describe(key string) (string, value.Limits) {
	d := descriptions[key]
	return d.comment, d.limits
}

// Describe tells the comment and the range of a key that has no tag for them.
func (Job) Describe(key string) (string, value.Limits) { return describe(key) }

// Describe tells the comment and the range of a key that has no tag for them.
func (Artwork) Describe(key string) (string, value.Limits) { return describe(key) }

// Describe tells the comment and the range of a key that has no tag for them.
func (Selection) Describe(key string) (string, value.Limits) { return describe(key) }

// Describe tells the comment and the range of a key that has no tag for them.
func (Order) Describe(key string) (string, value.Limits) { return describe(key) }
