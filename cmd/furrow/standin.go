package main

import (
	"os"
	"path/filepath"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
)

// standIn is a folder in which what an order keeps stands in for the files that a job
// names, while the job is resolved.
type standIn struct {
	dir   string
	files map[order.Role]order.Kept
}

// newStandIn lays out profile, correction and recipe. A profile names its correction by
// a file beside it.
func newStandIn(use []order.Kept) (*standIn, error) {
	dir, err := os.MkdirTemp("", "furrow-")
	if err != nil {
		return nil, err
	}
	s := &standIn{dir: dir, files: map[order.Role]order.Kept{}}
	for _, k := range use {
		s.files[k.Role] = k
		switch k.Role {
		case order.Profile, order.Correction, order.Recipe:
			name := s.name(k.Role)
			if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
				return s, err
			}
			if err := os.WriteFile(name, k.Data, 0o600); err != nil {
				return s, err
			}
		}
	}
	return s, nil
}

// name is where the file of a role stands.
func (s *standIn) name(r order.Role) string {
	folder := "machine"
	if r == order.Recipe {
		folder = "recipe"
	}
	return filepath.Join(s.dir, folder, filepath.Base(s.files[r].Name))
}

func (s *standIn) end() { os.RemoveAll(s.dir) }

// takePlace names the stand-ins in place of the machine and recipe of a
// job, where the job, or what was asked of it, names them.
func (s *standIn) takePlace(j *job.Job, r *job.Request) {
	switch {
	case r.Machine == "" && j.Machine != "":
		j.Machine = s.name(order.Profile)
	default:
		r.Machine = s.name(order.Profile)
	}
	if _, ok := s.files[order.Recipe]; !ok {
		return
	}
	if r.Recipe == "" && j.Recipe != "" {
		j.Recipe = s.name(order.Recipe)
	} else {
		r.Recipe = s.name(order.Recipe)
	}
}

// renameIn gives what was found among the stand-ins its own name again.
func (s *standIn) renameIn(r *job.Resolved) {
	name := func(role order.Role) string {
		if k := s.files[role]; !k.BuiltIn {
			return k.Name
		}
		return ""
	}
	m := *r.Machine
	m.File = name(order.Profile)
	r.Machine = &m
	if r.Recipe != nil {
		p := *r.Recipe
		p.File = name(order.Recipe)
		r.Recipe = &p
	}
}
