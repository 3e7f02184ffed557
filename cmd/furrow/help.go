package main

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"

	"github.com/spf13/pflag"
)

// helpFlag shows the flags of daily use, and with the value all every one.
type helpFlag struct{ asked, all bool }

// allFlags is the value of --help that asks for every flag.
const allFlags = "all"

func (h *helpFlag) String() string { return "" }
func (h *helpFlag) Type() string   { return "" }

func (h *helpFlag) Set(text string) error {
	switch text {
	case "true":
		h.asked = true
	case allFlags:
		h.asked, h.all = true, true
	default:
		return fmt.Errorf("%q is not %s", text, allFlags)
	}
	return nil
}

// register adds --help to the flags of a command.
func (h *helpFlag) register(fs *pflag.FlagSet) {
	fs.VarPF(h, "help", "h", "show this text").NoOptDefVal = "true"
}

// flagGroup is a kind of flags.
type flagGroup struct {
	name  string
	flags []string
}

// flagGroups lists the flags that say how work is done, in the order in which a
// person thinks of them. What a command has of its own is in none.
var flagGroups = []flagGroup{
	{"output", []string{"output", "force", "preview"}},
	{"machine", []string{"machine", "recipe"}},
	{"fill", []string{"spacing", "angle", "cross", "passes", "pass-turn", "one-way", "stretch", "interleave",
		"contour-parallel",
		"inset", "mark-width", "shortest", "close-gaps"}},
	{"beam", []string{"speed", "power", "frequency", "pulse", "focus-offset", "air"}},
	{"outline", []string{"outline", "offset"}},
	{"placing", []string{"width", "height", "fit", "margin", "trim", "rotate", "mirror", "at", "blank-size", "bleed"}},
	{"artwork", []string{"only", "skip", "bare-above", "invert", "fonts"}},
	{"search", []string{"effort", "bound", "tolerance", "spread", "pause-at"}},
	{"report", []string{"json", "csv", "explain", "heat", "timings", "quiet", "help"}},
}

// dailyFlags are those of hatch that a job needs on most days.
var dailyFlags = []string{"output", "machine", "recipe", "spacing", "angle", "cross", "speed", "power",
	"frequency", "outline",
	"width", "at", "preview"}

// sharedFlags are those that say how work is done, wherever it is done.
func sharedFlags() *pflag.FlagSet {
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	new(request).flags(fs)
	return fs
}

// usage is the help of a subcommand: that of every flag, or that of daily use.
func (c command) usage(all bool) string {
	var b bytes.Buffer
	fmt.Fprintf(&b, "furrow %s: %s\n\nUsage: furrow %s %s\n", c.name, c.summary, c.name, c.synopsis)
	if c.about != "" {
		fmt.Fprintf(&b, "\n%s\n", c.about)
	}
	if c.keeps != "" {
		fmt.Fprintf(&b, "%s", ownFolder(c.keeps))
	}
	if c.example != "" {
		fmt.Fprintf(&b, "\nExample\n\n  %s\n", strings.ReplaceAll(c.example, "\n", "\n  "))
	}
	fs, _ := c.flags()
	short, rest := c.shortFlags(fs)
	switch {
	case rest == 0:
		fmt.Fprintf(&b, "\nFlags\n\n%s", flagUsages(fs))
	case all:
		c.printGroups(&b, fs)
	default:
		fmt.Fprintf(&b, "\nFlags\n\n%s\n%s", flagUsages(short), c.restWords(rest))
	}
	return b.String()
}

// restWords says where the flags are that short help leaves out.
func (c command) restWords(rest int) string {
	if c.name == "hatch" {
		return fmt.Sprintf("The other %d, of fill, beam, outline, placing, artwork and search: furrow hatch "+
			"--help=all\n", rest)
	}
	return fmt.Sprintf("What furrow hatch takes for machine, fill, beam, placing, artwork and search holds here too:\n"+
		"furrow %s --help=all\n", c.name)
}

// shortFlags returns the flags of short help, and how many it leaves out: for hatch
// all but the daily ones, for others those that they share with it.
func (c command) shortFlags(fs *pflag.FlagSet) (*pflag.FlagSet, int) {
	shared, rest := sharedFlags(), 0
	short := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	short.SortFlags = false
	fs.VisitAll(func(f *pflag.Flag) {
		left := shared.Lookup(f.Name) != nil && f.Name != "machine" && f.Name != "recipe"
		if c.name == "hatch" {
			left = !slices.Contains(dailyFlags, f.Name) && f.Name != "help"
		}
		if left {
			rest++
			return
		}
		short.AddFlag(f)
	})
	if rest < fewFlags {
		return fs, 0
	}
	return short, rest
}

// fewFlags are as many as short help can show all the same.
const fewFlags = 12

// printGroups prints every flag by its kind, a command's own first.
func (c command) printGroups(b *bytes.Buffer, fs *pflag.FlagSet) {
	grouped := map[string]bool{}
	for _, g := range flagGroups {
		for _, name := range g.flags {
			grouped[name] = true
		}
	}
	own := flagGroup{name: "only here"}
	fs.VisitAll(func(f *pflag.Flag) {
		if !grouped[f.Name] {
			own.flags = append(own.flags, f.Name)
		}
	})
	for _, g := range append([]flagGroup{own}, flagGroups...) {
		some := pflag.NewFlagSet(g.name, pflag.ContinueOnError)
		some.SortFlags = false
		for _, name := range g.flags {
			if f := fs.Lookup(name); f != nil {
				some.AddFlag(f)
			}
		}
		if some.HasFlags() {
			fmt.Fprintf(b, "\n%s%s\n\n%s", strings.ToUpper(g.name[:1]), g.name[1:], flagUsages(some))
		}
	}
}

func flagUsages(fs *pflag.FlagSet) string {
	text := strings.Replace(fs.FlagUsagesWrapped(100), "--help[=true]", "--help[=all] ", 1)
	return tidyUsages(text)
}

// optionalValue is how pflag shows a value that may be left out.
var optionalValue = regexp.MustCompile(`(--[a-z-]+) ([A-Z]+)\[=[^]]*\]`)

// tidyUsages shows switches without their values and optional values in
// brackets, in columns as before.
func tidyUsages(text string) string {
	switchValues := "[=true|false]"
	text = strings.ReplaceAll(text, switchValues, strings.Repeat(" ", len(switchValues)))
	return optionalValue.ReplaceAllStringFunc(text, func(s string) string {
		short := optionalValue.ReplaceAllString(s, "$1[=$2]")
		return short + strings.Repeat(" ", len(s)-len(short))
	})
}

func (a *app) help(args []string) error {
	if len(args) == 0 {
		_, err := io.WriteString(a.stdout, overview(a.errands))
		return err
	}
	all := len(args) == 2 && slices.Contains([]string{allFlags, "--" + allFlags, "--help=" + allFlags}, args[1])
	if all {
		args = args[:1]
	}
	name, err := oneFile(args, "subcommand or topic")
	if err != nil {
		return err
	}
	text := topicText(name)
	c, err := a.find(name, topicNames...)
	switch {
	case err != nil && text == "":
		return a.helpOfFlag(name, err)
	case err == nil && text == "":
		text = c.usage(all)
	case err == nil: // a name of both
		text = c.usage(all) + "\n" + text
	}
	_, err = io.WriteString(a.stdout, text)
	return err
}

// helpOfFlag says which subcommands have a flag of that name, if any has.
func (a *app) helpOfFlag(name string, unknown error) error {
	name = strings.TrimLeft(name, "-")
	var with []string
	for _, c := range a.commands {
		fs, _ := c.flags()
		if fs.Lookup(name) == nil {
			continue
		}
		help := "furrow help " + c.name
		if short, _ := c.shortFlags(fs); short.Lookup(name) == nil {
			help = "furrow " + c.name + " --help=all"
		}
		with = append(with, help)
	}
	if len(with) == 0 {
		return unknown
	}
	return fault.Usagef("--%s is a flag and not a subcommand", name).Hintf("see %s", strings.Join(with, ", "))
}

func overview(all []errand) string {
	var b bytes.Buffer
	fmt.Fprint(&b, "furrow turns artwork into the file a laser marker runs.\n\n"+
		"Usage: furrow SUBCOMMAND [flags] FILE\n\n")
	for _, e := range all {
		for i, c := range e.commands {
			fmt.Fprintf(&b, "  %-9s %-11s %s\n", words.OnlyFirst(e.name, i), c.name, c.summary)
		}
	}
	fmt.Fprint(&b, "\nHelp topics\n\n")
	for _, t := range topics() {
		fmt.Fprintf(&b, "  %-9s %-11s %s\n", "", t.name, t.summary)
	}
	fmt.Fprintf(&b, "\nfurrow help SUBCOMMAND shows its flags, furrow demo shows it at work.\n%s\n%s\n",
		ownFolder(""), cautionShort)
	return b.String()
}

// tellFolder says where the user's own settings of a kind lie, beside a list of them.
func (a *app) tellFolder(kind string) error {
	if a.notes == io.Discard {
		return nil
	}
	_, err := io.WriteString(a.stderr, ownFolder(kind))
	return err
}

// ownFolder says where the user's own settings of a kind lie, or all of them.
func ownFolder(kind string) string {
	dir, err := settings.Folder(kind)
	if err != nil {
		return "There is no settings folder: " + err.Error() + "\n"
	}
	return "Your settings folder: " + dir + "\n"
}
