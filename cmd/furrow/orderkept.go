package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/quote"
	"furrow/cmd/furrow/internal/settings"
)

// keptOf reads what an order is made from.
func keptOf(j job.Resolved) ([]order.Kept, error) {
	kept := []order.Kept{{Role: order.JobFile, Name: j.Job.Name, Data: j.Job.Data}}
	for _, in := range []struct {
		role order.Role
		name string
	}{
		{order.Artwork, j.Job.Artwork.File}, {order.Correction, j.Machine.CorrectionFile()}, {order.Pockets,
			j.Job.Fixture.Pockets},
		{order.Data, j.Job.Table.File},
	} {
		if in.name == "" {
			continue
		}
		data, err := os.ReadFile(in.name)
		if err != nil {
			return nil, fault.Unreadable(err)
		}
		kept = append(kept, order.Kept{Role: in.role, Name: in.name, Data: data})
	}
	rates, err := keptRates()
	if err != nil {
		return nil, err
	}
	return keptSettings(j, append(kept, rates...))
}

// keptRates are the shop's rates, if it has any.
func keptRates() ([]order.Kept, error) {
	name, err := quote.File()
	if err != nil {
		return nil, nil // no home: there are none
	}
	data, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	if _, err := quote.Parse(name, data); err != nil {
		return nil, err
	}
	return []order.Kept{{Role: order.Rates, Name: name, Data: data}}, nil
}

// keptSettings adds the machine's profile and the recipe.
func keptSettings(j job.Resolved, kept []order.Kept) ([]order.Kept, error) {
	profile, err := profileKept(*j.Machine)
	if err != nil {
		return nil, err
	}
	kept = append(kept, profile)
	if j.Recipe == nil {
		return kept, nil
	}
	recipe, err := recipeKept(*j.Recipe)
	return append(kept, recipe), err
}

func profileKept(m settings.Machine) (order.Kept, error) {
	data, err := fileOr(m.File, func() ([]byte, error) { return settings.ProfileTOML(m.Profile) })
	return order.Kept{Role: order.Profile, Name: nameOr(m.File, m.ID), BuiltIn: m.File == "", Data: data}, err
}

func recipeKept(r settings.Recipe) (order.Kept, error) {
	data, err := fileOr(r.File, func() ([]byte, error) { return settings.RecipeTOML(r.Recipe) })
	return order.Kept{Role: order.Recipe, Name: nameOr(r.File, r.ID), BuiltIn: r.File == "", Data: data}, err
}

// fileOr reads a settings file, or makes one of what is built in.
func fileOr(file string, made func() ([]byte, error)) ([]byte, error) {
	if file == "" {
		return made()
	}
	return settings.ReadFile(file)
}

func nameOr(file, id string) string {
	if file == "" {
		return id + ".toml"
	}
	return file
}

func dataOf(kept []order.Kept, role order.Role) []byte {
	for _, k := range kept {
		if k.Role == role {
			return k.Data
		}
	}
	return nil
}

// pocketsOf reads the pockets of a fixture that a file describes.
func pocketsOf(j job.Resolved, kept []order.Kept) ([]fixture.Pocket, error) {
	data := dataOf(kept, order.Pockets)
	if data == nil {
		return nil, nil
	}
	all, err := fixture.ReadPockets(bytes.NewReader(data))
	if err != nil {
		return nil, fault.Usagef("%s: %w", j.Job.Fixture.Pockets, err)
	}
	return all, nil
}
