package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"

	"github.com/spf13/pflag"
)

// version stands in file headers and in --version.
const version = "0.1.0"

// app is what a subcommand may touch of the world outside its files.
type app struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	notes          io.Writer // what --quiet leaves out
	errands        []errand
	commands       []command
	given          []givenFlag // of the command that runs
}

// command is one subcommand. setup registers its flags and returns what runs
// once they are parsed.
type command struct {
	name       string
	synopsis   string   // what follows the name in a usage line
	summary    string   // one line for the list
	about      string   // paragraphs above the flags, optional
	words      []string // that may follow the name, for the shell's completion
	ofCommands bool     // names of subcommands may
	noFiles    bool     // names of files do not follow it
	setup      func(fs *pflag.FlagSet) runner
}

type runner func(a *app, args []string) error

// errand is what a person is about, with the subcommands for it.
type errand struct {
	name     string
	commands []command
}

// errands lists the subcommands in the order a job goes through them.
func errands() []errand {
	return []errand{
		{"start", []command{demoCommand, newCommand}},
		{"artwork", []command{inspectCommand}},
		{"decide", []command{compareCommand, quoteCommand}},
		{"make", []command{hatchCommand, orderCommand, repeatCommand, resumeCommand}},
		{"prove", []command{checkCommand}},
		{"see", []command{previewCommand, locateCommand}},
		{"run", []command{logCommand, tuneCommand, playCommand}},
		{"settings", []command{machinesCommand, recipesCommand}},
		{"shell", []command{completionCommand, manCommand}},
	}
}

// commands returns all subcommands.
func commands() (all []command) {
	for _, e := range errands() {
		all = append(all, e.commands...)
	}
	return all
}

// run is the whole program; it returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	a := &app{stdin: stdin, stdout: stdout, stderr: stderr, notes: stdout, errands: errands(), commands: commands()}
	err := a.dispatch(args)
	if err == nil {
		return fault.CodeDone
	}
	return fault.Report(stderr, err)
}

func (a *app) dispatch(args []string) error {
	if len(args) == 0 {
		return a.help(nil)
	}
	switch args[0] {
	case "help", "--help", "-h":
		return a.help(args[1:])
	case "version", "--version":
		_, err := fmt.Fprintln(a.stdout, "furrow", version)
		return err
	}
	c, err := a.find(args[0])
	if err != nil {
		return err
	}
	return a.execute(c, args[1:])
}

func (a *app) execute(c command, args []string) error {
	fs, runCommand := c.flags()
	var given []givenFlag
	err := fs.ParseAll(args, func(f *pflag.Flag, text string) error {
		given = append(given, givenFlag{f.Name, text})
		return fs.Set(f.Name, text)
	})
	if err != nil {
		return flagError(err, fs).Hintf("run %q for its flags", "furrow help "+c.name)
	}
	if help, _ := fs.GetBool("help"); help {
		_, err := io.WriteString(a.stdout, c.usage())
		return err
	}
	if quiet, _ := fs.GetBool("quiet"); quiet {
		quietly := *a
		quietly.notes = io.Discard
		a = &quietly
	}
	with := *a
	with.given = given
	return runCommand(&with, fs.Args())
}

// givenFlag is a flag of the command line with its text.
type givenFlag struct{ name, text string }

// flags makes a fresh flag set of the command.
func (c command) flags() (*pflag.FlagSet, runner) {
	fs := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	fs.SortFlags = false
	fs.SetOutput(io.Discard)
	fs.BoolP("help", "h", false, "show this text")
	return fs, c.setup(fs)
}

// quietFlag is for commands whose standard output is no product.
func quietFlag(fs *pflag.FlagSet) {
	fs.BoolP("quiet", "q", false, "print no summary; warnings and errors stay")
}

func (c command) usage() string {
	var b bytes.Buffer
	fs, _ := c.flags()
	fmt.Fprintf(&b, "%s\n\nUsage: furrow %s %s\n", c.summary, c.name, c.synopsis)
	if c.about != "" {
		fmt.Fprintf(&b, "\n%s\n", c.about)
	}
	fmt.Fprintf(&b, "\nFlags:\n%s", tidyUsages(fs.FlagUsagesWrapped(100)))
	return b.String()
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
		text = c.usage()
	case err == nil: // a name of both
		text = c.usage() + "\n" + text
	}
	_, err = io.WriteString(a.stdout, text)
	return err
}

// helpOfFlag says which subcommands have a flag of that name, if any has.
func (a *app) helpOfFlag(name string, unknown error) error {
	var with []string
	for _, c := range a.commands {
		if fs, _ := c.flags(); fs.Lookup(name) != nil {
			with = append(with, "furrow help "+c.name)
		}
	}
	if len(with) == 0 {
		return unknown
	}
	return fault.Usagef("--%s is a flag and not a subcommand", name).Hintf("see %s", strings.Join(with, ", "))
}

func overview(all []errand) string {
	var b bytes.Buffer
	fmt.Fprint(&b, "furrow turns artwork into hatched toolpaths for laser markers.\n\n"+
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
	fmt.Fprint(&b, "\nfurrow help SUBCOMMAND shows its flags. furrow demo shows it at work.\n\n", cautionShort, "\n")
	return b.String()
}

// find returns a subcommand. others are names that an unknown one may have meant.
func (a *app) find(name string, others ...string) (command, error) {
	names := slices.Clone(others)
	for _, c := range a.commands {
		if c.name == name {
			return c, nil
		}
		if !slices.Contains(names, c.name) {
			names = append(names, c.name)
		}
	}
	return command{}, fault.Usagef("unknown subcommand %q", name).Hintf("%s", fault.Suggest(name, names))
}

// flagError words a failure of the flag parser, with a near name for a
// mistyped flag.
func flagError(err error, fs *pflag.FlagSet) *fault.Failure {
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) && len(unknown.GetSpecifiedName()) > 1 {
		var names []string
		fs.VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
		name := "--" + strings.TrimLeft(unknown.GetSpecifiedName(), "-")
		if near := fault.Nearest(name, names); near != "" {
			return fault.Usagef("unknown flag %s: did you mean %s?", name, near)
		}
		return fault.Usagef("unknown flag %s", name)
	}
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		return fault.Usagef("--%s: %w", value.GetFlag().Name, value.Unwrap())
	}
	return fault.Usagef("%w", err)
}

// warn prints what a person should know before the beam is on.
func (a *app) warn(all []work.Warning) {
	for _, line := range work.Told(all) {
		fault.Say(a.stderr, "warning", line)
	}
}
