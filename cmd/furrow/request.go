package main

import (
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"

	"github.com/spf13/pflag"
)

// request is what the command line asks of a job, and of how it is worked on.
type request struct {
	job.Request
	bound   *work.Rounds
	timings bool
}

const (
	machineUsage = "machine profile: an `ID` that furrow machines lists, or FILE.toml"
	recipeUsage  = "settings that suit the material: an `ID` that furrow recipes lists, or FILE.toml"
)

func (r *request) flags(fs *pflag.FlagSet) {
	fs.StringVar(&r.Machine, "machine", "", machineUsage)
	r.workFlags(fs)
}

// workFlags registers what does not depend on the machine.
func (r *request) workFlags(fs *pflag.FlagSet) {
	fs.StringVar(&r.Recipe, "recipe", "", recipeUsage)
	fillFlags(fs, &r.Fill)
	artworkFlags(fs, &r.Artwork)
	blankFlags(fs, &r.Blank, &r.Bleed)
	value.Flag(fs, &r.Tolerance, "tolerance", "largest deviation from a curve, `LENGTH`")
	limitFlags(fs, job.Job{})
	r.sequenceFlags(fs)
	fs.BoolVar(&r.timings, "timings", false, "print seconds and memory of each stage to standard error")
}
