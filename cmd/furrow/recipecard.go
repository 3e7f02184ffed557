package main

import (
	"cmp"
	"fmt"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/swatch"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
)

// ofCard reports that the recipe comes from a card of patches.
func (c *recipesFlags) ofCard() bool { return c.from != "" || c.patch != "" || c.between != "" }

// chosen makes a recipe of what was chosen on a card. What no patch says, as the tone of
// the mark, is that of the recipe that the card was made from.
func (c *recipesFlags) chosen(a *app, id string) (machine.Recipe, error) {
	if c.like != "" {
		return machine.Recipe{}, fault.Usagef("--from and --recipe at once").Hintf("leave one of them out")
	}
	f, choice, err := c.choice()
	if err != nil {
		return machine.Recipe{}, err
	}
	r := machine.Recipe{Purpose: "engrave"}
	if base, err := settings.FindRecipe(f.Recipe); f.Recipe != "" && err == nil && base.Machine == f.Machine {
		r = base.Recipe
	}
	if m, err := settings.FindMachine(f.Machine); err == nil && m.Hash() != f.Profile {
		fault.Say(a.stderr, "warning", fmt.Sprintf("the profile of %s has changed since the card was made", m.ID))
	}
	r.Furrow, r.ID, r.Name, r.From, r.Notes = 1, id, id, choice.From, c.notes
	r.Machine, r.Material = cmp.Or(c.machine, f.Machine), cmp.Or(c.material, f.Material)
	r.Purpose, r.TestedOn = value.Or(c.purpose, r.Purpose), cmp.Or(c.tested, f.Date)
	if r.Material == "" {
		return machine.Recipe{}, fault.Usagef("the card names no material").Hintf("add --material")
	}
	fill, _ := job.Layered(job.Layer{Fill: c.fill}, job.Layer{Fill: choice.Fill})
	job.SetRecipe(&r, fill)
	if others := differing(fill, choice.Fill); len(others) > 0 { // the card has no such patch
		r.From += ", but for " + strings.Join(others, ", ")
		r.TestedOn = c.tested
	}
	return r, nil
}

// differing lists the keys of a fill that have another value than on the card, or one that it
// says nothing of.
func differing(fill, card job.Fill) (keys []string) {
	have, had := job.FieldsOf(&fill), job.FieldsOf(&card)
	for _, v := range job.Values {
		if !reflect.DeepEqual(have[v.Key].Interface(), had[v.Key].Interface()) {
			keys = append(keys, v.Key)
		}
	}
	return keys
}

// choice reads the card and what was chosen on it.
func (c *recipesFlags) choice() (f swatch.File, choice swatch.Choice, err error) {
	if c.from == "" || (c.patch == "") == (c.between == "") {
		return f, choice, fault.Usagef("--from CARD.toml goes with one of --patch C4 and --between C4,C5")
	}
	if f, err = readCard(c.from); err != nil {
		return f, choice, err
	}
	if c.patch != "" {
		choice, err = f.Choose(c.patch, c.from)
	} else {
		choice, err = f.Between(c.between, c.from)
	}
	return f, choice, err
}
