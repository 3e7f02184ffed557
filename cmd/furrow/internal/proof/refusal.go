package proof

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
)

// Problem is something that a file must not hold, or not for this machine.
type Problem struct {
	Line    int    `json:"line,omitempty"` // 1-based; 0 when it is the file as a whole
	More    int    `json:"more_lines,omitempty"`
	Rule    string `json:"rule"`
	Message string `json:"message"`
	Remedy  string `json:"remedy,omitempty"`
}

func (p Problem) String() string {
	switch {
	case p.Line == 0:
		return p.Message
	case p.More > 0:
		return fmt.Sprintf("line %d and %d more: %s", p.Line, p.More, p.Message)
	}
	return fmt.Sprintf("line %d: %s", p.Line, p.Message)
}

// Refusal is a file that failed, and why.
type Refusal struct {
	Name     string
	Format   string
	Machine  *settings.Machine // nil when none is known
	Problems []Problem         // AuditLimit of them at most
	where    string            // words before the problems
}

func (r *Refusal) Error() string {
	lines := make([]string, len(r.Problems))
	for i, p := range r.Problems {
		lines[i] = p.String()
	}
	if len(lines) == AuditLimit {
		lines = append(lines, "and perhaps more")
	}
	return r.Name + ": " + r.where + strings.Join(lines, "\n")
}

// Hint is the remedy of the first problem that has one.
func (r *Refusal) Hint() string {
	i := slices.IndexFunc(r.Problems, func(p Problem) bool { return p.Remedy != "" })
	if i < 0 {
		return ""
	}
	return r.Problems[i].Remedy
}

// Changed reports that the profile has changed since the file was made.
func (r *Refusal) Changed() bool { return len(r.Problems) > 0 && r.Problems[0].Rule == ruleProfile }

// The rules that are neither of the two formats' own.
const (
	ruleReadable  = "readable"
	ruleMachine   = "machine"
	ruleProfile   = "profile"
	ruleFullSpeed = "full-speed"
	ruleMoves     = "moves"
	ruleBlank     = "blank"
)

// refuse returns a refusal of the file, or nil where there is nothing against it.
func (c *File) refuse(problems ...Problem) error {
	if len(problems) == 0 {
		return nil
	}
	return &Refusal{Name: c.Name, Format: c.Format, Machine: c.Machine, Problems: problems}
}

// problemOf makes a problem of an error of the packages below.
func problemOf(rule string, err error) Problem {
	var g *gcode.Problem
	var l *markvec.FormError
	switch {
	case errors.As(err, &g):
		return Problem{Line: g.Line, More: g.More, Rule: string(g.Rule), Message: g.Message, Remedy: g.Hint}
	case errors.As(err, &l):
		return Problem{Line: l.Line, Rule: string(l.Rule), Message: l.Msg}
	}
	p := Problem{Rule: rule, Message: err.Error()}
	var h fault.Hinter
	if errors.As(err, &h) {
		p.Remedy = h.Hint()
	}
	return p
}

// ruleOf names the limit that an error of emit.Check is about.
func ruleOf(err error) string {
	var (
		bed     *emit.BedError
		keepOut *emit.KeepOutError
		speed   *emit.SpeedError
		power   *emit.PowerError
		field   *emit.FieldError
		stops   *emit.StopError
	)
	switch {
	case errors.As(err, &bed):
		return "bed"
	case errors.As(err, &keepOut):
		return "keep-out"
	case errors.As(err, &speed):
		return "speed"
	case errors.As(err, &power):
		return "power"
	case errors.As(err, &field):
		return "field"
	case errors.As(err, &stops):
		return "stops"
	}
	return ruleReadable
}
