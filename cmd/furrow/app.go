package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
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
	example    string   // a line or two as one types them, optional
	words      []string // that may follow the name, for the shell's completion
	ofCommands bool     // names of subcommands may
	noFiles    bool     // names of files do not follow it
	keeps      string   // the folder of settings in which what is the user's own lies, optional
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
		{"prove", []command{swatchCommand, checkCommand}},
		{"make", []command{hatchCommand, orderCommand, repeatCommand, resumeCommand}},
		{"see", []command{previewCommand, locateCommand}},
		{"run", []command{sendCommand, playCommand, logCommand, tuneCommand}},
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
	var refused []error
	if err := refuseControls(args); err != nil {
		return err
	}
	err := fs.ParseAll(args, func(f *pflag.Flag, text string) error {
		given = append(given, givenFlag{f.Name, text})
		if err := fs.Set(f.Name, text); err != nil {
			refused = append(refused, flagError(err, fs))
		}
		return nil
	})
	if err != nil {
		refused = append(refused, flagError(err, fs))
	}
	if len(refused) > 0 {
		last := len(refused) - 1
		refused[last] = fault.Usagef("%w", refused[last]).Hintf("run %q for its flags", "furrow help "+c.name)
		return fault.All(refused...)
	}
	if help := fs.Lookup("help").Value.(*helpFlag); help.asked {
		_, err := io.WriteString(a.stdout, c.usage(help.all))
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
	new(helpFlag).register(fs)
	return fs, c.setup(fs)
}

// quietFlag is for commands whose standard output is no product.
func quietFlag(fs *pflag.FlagSet) {
	fs.BoolP("quiet", "q", false, "print no summary; warnings and errors stay")
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
	if strings.HasPrefix(name, "-") {
		return command{}, fault.Usagef("no subcommand before %s", name).
			Hintf("it comes first, and its flags behind it: furrow hatch FILE -o OUT")
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
