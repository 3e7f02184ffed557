package main

import (
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"

	"github.com/spf13/pflag"
)

// blankFlags registers the blank's size and bleed on the command line.
func blankFlags(fs *pflag.FlagSet, size **value.Point, bleed **value.Length) {
	value.Limit(value.Flag(fs, size, "blank-size",
		"width and height of the blank, `W,H`; without --at the page lies in its middle"),
		value.Limits{Least: 0.001, Most: 100_000, Unit: "mm"})
	value.Limit(value.Flag(fs, bleed, "bleed", "let marks run `LENGTH` over the edge of the blank (default 0)"),
		value.Limits{Least: 0, Most: 1000, Unit: "mm"})
}

// fillFlags registers the values of a fill.
func fillFlags(fs *pflag.FlagSet, f *job.Fill) {
	fields := job.FieldsOf(f)
	for _, v := range job.Values {
		if v.Flag == "" {
			continue
		}
		usage := v.Help
		if v.Def != "" {
			usage += " (default " + v.Def + ")"
		}
		value.Add(fs, fields[v.Key].Addr().Interface(), value.Entry{
			Name: v.Flag, Takes: v.Takes, Usage: usage, Alone: v.Alone, Limits: v.Limits, Words: v.Words,
		})
	}
}

// limitFlags bounds the flags that stand for the keys of a settings struct.
func limitFlags(fs *pflag.FlagSet, spec any) {
	for _, s := range settings.FieldsOf(reflect.ValueOf(spec)) {
		if f := fs.Lookup(flagOf(s.Key)); f != nil && s.Limits != (value.Limits{}) {
			value.Limit(f, s.Limits)
		}
	}
}

// flagOf returns the flag of a key: units are left out, which a flag's value may
// carry.
func flagOf(key string) string {
	for _, unit := range []string{"_mm_s", "_percent", "_ns", "_s"} {
		key = strings.TrimSuffix(key, unit)
	}
	return strings.ReplaceAll(key, "_", "-")
}

func orderFlags(fs *pflag.FlagSet, s *job.Order) {
	value.Flag(fs, &s.Quantity, "quantity", "how many parts, `N` (default 1)")
	value.Flag(fs, &s.Loading, "loading", "`SECONDS` to take one part out and put the next one in (default 0)")
	limitFlags(fs, *s)
}

func artworkFlags(fs *pflag.FlagSet, s *job.Artwork) {
	value.Flag(fs, &s.Width, "width", "make the page this wide: `LENGTH` as 60mm or 2in")
	value.Flag(fs, &s.Height, "height", "make the page this high: `LENGTH`")
	value.Switch(fs, &s.Fit, "fit",
		"scale to the blank minus --margin, centred; on a round blank until all that is marked lies in the circle")
	value.Flag(fs, &s.Margin, "margin",
		"keep `LENGTH` free along the blank's edges: --fit leaves it, and marks in it give a warning (default 0)")
	value.Switch(fs, &s.Trim, "trim", "take what is drawn, not the page")
	value.Flag(fs, &s.Rotate, "rotate", "turn the page by `DEGREES` counter-clockwise")
	value.Word(fs, &s.Mirror, job.MirrorWords, "mirror", "`AXIS` x swaps left and right, y swaps top and bottom")
	selectionFlags(fs, &s.Selection)
	value.Flag(fs, &s.At, "at",
		"place the page's (with --fit, the blank's) lower-left corner (gantry) or middle (galvo) at `X,Y`")
	limitFlags(fs, *s)
}

func selectionFlags(fs *pflag.FlagSet, s *job.Selection) {
	fs.StringArrayVar(&s.Only, "only", nil,
		"read only what `NAME` picks: a colour, id (#logo), class (.deep) or layer name; repeatable")
	fs.StringArrayVar(&s.Skip, "skip", nil, "leave out what `NAME` picks; repeatable")
	value.Flag(fs, &s.BareAbove, "bare-above",
		"paint stays unmarked if each of its red, green and blue is at least this `FRACTION` of full (default 0.96)")
	value.Switch(fs, &s.Invert, "invert", "swap marked and bare inside the page")
	fs.StringArrayVar(&s.Fonts, "fonts", nil,
		"look for the artwork's fonts in `FOLDER` before the system's; repeatable")
	limitFlags(fs, *s)
}

// sequenceFlags registers what is said of the search for a short way.
func (r *request) sequenceFlags(fs *pflag.FlagSet) {
	value.Word(fs, &r.Effort, job.EffortWords, "effort",
		"how hard to search for a quicker sequence: `HOW` is none (row after row), quick, normal or best "+
			"(default normal, quick above 200,000 spans or 25,000 closed lines)")
	value.Switch(fs, &r.Spread, "spread",
		"mark rows in a sequence that keeps the blank's hottest place cooler, where the estimate says that it is "+
			"worth it")
	value.Limit(value.Flag(fs, &r.PauseAt, "pause-at",
		"pause, beam off, where the estimate of the hottest place would pass a rise of `K`"),
		value.Limits{Least: 0.1, Most: 5000, Unit: "K"})
	value.Flag(fs, &r.bound, "bound",
		"also prove how near the travel is to the least possible, in `N` rounds "+
			"(without N, as many as fit the size)").NoOptDefVal = work.BySize
}
