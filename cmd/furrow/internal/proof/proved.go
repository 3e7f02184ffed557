package proof

import (
	"fmt"

	"furrow/cmd/furrow/internal/figures"
	"furrow/emit/machine"
)

// Proved lists what was proved, in words.
func (c *File) Proved() []string {
	s := []string{"every line follows the grammar; units, feed and modes are set before the first move",
		"the beam is off in every travel move, between strokes and at the end; nothing follows the end"}
	if c.Format == figures.Markvec {
		s = []string{"every line follows the grammar; counts and check sum match; all vectors lie in the field",
			"every vector has a length, every setting is used",
			"the beam is on in marks and dots only; nothing follows the end"}
	}
	if c.Moves.Header.Whole {
		s = append(s, "the file is whole: no line is lost, doubled or changed since it was written")
	}
	if text := onBlankWords(c.Moves.Header.Blanks); text != "" {
		s = append(s, text)
	}
	if c.Machine == nil {
		return s
	}
	s = append(s, "speeds, power and size are within "+c.Machine.ID)
	if c.Moves.Header.Stepped {
		s = append(s, "its delays are stepped on purpose, to be read off a card, and not those of "+c.Machine.ID)
	}
	if c.Moves.Header.Bare {
		s = append(s, "its places are not corrected on purpose, to measure the field of "+c.Machine.ID+" by")
	}
	if c.zero != nil {
		s = append(s, fmt.Sprintf("the travel lies on the bed with X0 Y0 at %g,%g", c.zero.X, c.zero.Y))
	}
	if c.Moves.Header.Hash != "" {
		s = append(s, "made for "+c.Machine.ID+", whose profile is the same in all that alters the marks or their "+
			"safety")
	}
	return s
}

// CannotBeWhole is said of G-code without a closing comment.
const CannotBeWhole = "cannot be known to be whole: the file has no closing comment"

// missing is what a proof would need.
type missing string

// What a proof would need.
const (
	NeedsMachine missing = "machine"
	NeedsZero    missing = "zero"
	needsMore    missing = "" // what no file and no profile tells
)

// Gap is something that was not proved, and what it would need.
type Gap struct {
	What  string
	Needs missing
}

// NotProved lists what was not proved.
func (c *File) NotProved() []Gap {
	var all []Gap
	m := c.Machine
	if c.Format == figures.GCode && !c.Moves.Header.Whole {
		all = append(all, Gap{What: CannotBeWhole})
	}
	switch {
	case m == nil && c.Format == figures.GCode:
		all = append(all, Gap{What: "time, speeds, power and bed: no machine profile", Needs: NeedsMachine})
	case m == nil:
		all = append(all, Gap{What: "speeds and power: no machine profile", Needs: NeedsMachine})
	case m.IsGantry() && m.Gantry.Zero == machine.ZeroByHand && c.zero == nil:
		all = append(all, Gap{What: "that the travel lies on the bed: zero is set by hand", Needs: NeedsZero})
	}
	if c.Moves.ForGalvo() && c.Format == figures.GCode {
		all = append(all, Gap{What: "that the controller keeps the profile's delays: G-code has no words for them"})
	}
	if m == nil && c.Moves.Header.Corrected {
		all = append(all, Gap{What: "where the marks fall: the places are corrected for a lens", Needs: NeedsMachine})
	}
	if said := c.unreadWords(); said != "" {
		all = append(all, Gap{What: "that all marks lie on blanks: " + said})
	}
	if m != nil && c.Moves.Header.Hash == "" {
		all = append(all, Gap{What: "that it was made for this profile: the file names none"})
	}
	return append(all, Gap{What: "that the settings suit the material: prove them on scrap"})
}
