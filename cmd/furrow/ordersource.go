package main

import (
	"io"
	"strings"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/raster/paper"
)

// sourceOf is the parts of a job: alike, or each with words and codes of its own, from
// its data.
func sourceOf(j job.Resolved, d work.Drawing, content []byte) (order.Source, error) {
	if !j.Job.Any() {
		return order.Alike(int(value.Or(j.Job.Order.Quantity, 1)), d), nil
	}
	setter, parts, problems, err := prepareFrom(j, d, content)
	if err != nil {
		return order.Source{}, err
	}
	for _, p := range problems.List { // warnings are left
		d.Warnings = append(d.Warnings, work.Warning{Message: p.String(), File: problems.File})
	}
	s := ownSource{setter: setter, parts: parts, warnings: d.Warnings}
	return s.source(), nil
}

// ownSource sets each part when it is needed.
type ownSource struct {
	setter   *personal.Setter
	parts    []data.Part
	warnings []work.Warning
}

// source lists the parts. Those with the same words and codes look alike.
func (s ownSource) source() order.Source {
	all := order.Source{Table: s.table, Draw: s.draw, Prove: s.prove}
	looks := map[string]int{}
	set := s.set()
	for i, p := range set {
		texts := factsOf(p)
		key := ""
		for _, t := range texts {
			key += t.Text + "\x00"
		}
		look, had := looks[key]
		if !had {
			look = i
			looks[key] = i
		}
		all.Parts = append(all.Parts, order.Part{Number: i + 1, Look: look, Texts: texts})
	}
	for _, i := range personal.Extremes(set) {
		all.First = append(all.First, all.Parts[i].Look)
	}
	return all
}

// set sets all parts, without their drawings.
func (s ownSource) set() []personal.Part {
	all := make([]personal.Part, len(s.parts))
	for i, p := range s.parts {
		all[i], _ = s.setter.Set(p) // what is wrong has been told
		all[i].Drawing = work.Drawing{}
	}
	return all
}

func factsOf(p personal.Part) (facts []paper.Fact) {
	for _, t := range p.Texts {
		facts = append(facts, paper.Fact{Label: strings.TrimPrefix(t.Pick, "#"), Text: strings.Join(t.Lines, " / ")})
	}
	for _, c := range p.Codes {
		facts = append(facts, paper.Fact{Label: strings.TrimPrefix(c.Pick, "#"), Text: c.Symbol.Value})
	}
	return facts
}

func (s ownSource) draw(look int) (work.Drawing, error) {
	p, _ := s.setter.Set(s.parts[look])
	p.Drawing.Warnings = s.warnings
	return p.Drawing, nil
}

// prove reads the codes of a part from their marks.
func (s ownSource) prove(look int, strokes work.Strokes) error {
	p, _ := s.setter.Set(s.parts[look])
	if len(p.Codes) == 0 {
		return nil
	}
	if err := p.ReadBack(strokes); err != nil {
		return fault.Workf("part %d: %w", look+1, err).
			Hintf("make its rectangle larger, or the rows finer; --mark-width says how wide a line marks")
	}
	return nil
}

func (s ownSource) table(w io.Writer) error { return personal.WriteTable(w, s.set()) }
