package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"furrow/emit/machine"

	"github.com/spf13/pflag"
)

var machinesCommand = command{
	name:     "machines",
	synopsis: "[list | show ID | check FILE.toml | new ID -o FILE.toml]",
	summary:  "list, show and check machine profiles, and write one out to start from",
	about: `list       every profile --machine knows: your own, then the built-in examples
show ID    one profile, as its file would read
check FILE read a profile and say what is wrong with it
new ID     write a profile to start from, a copy of ID, to the file -o names

Your own profiles are the files furrow/machines/*.toml in your settings folder.
The built-in ones are examples and describe no real machine.`,
	words: machineVerbs,
	setup: func(fs *pflag.FlagSet) runner {
		var out output
		out.flags(fs, "the new profile")
		quietFlag(fs)
		return func(a *app, args []string) error { return a.machines(out, args) }
	},
}

var machineVerbs = []string{"list", "show", "check", "new"}

func (a *app) machines(out output, args []string) error {
	verb, rest := "list", args
	if len(args) > 0 {
		verb, rest = args[0], args[1:]
	}
	switch verb {
	case "list":
		if len(rest) > 0 {
			return usagef("machines list takes no names").hintf("furrow machines show %s", rest[0])
		}
		return a.listMachines()
	case "show":
		return a.withMachine(rest, func(m machineFile) error { return writeProfile(a.stdout, m) })
	case "check":
		return a.withMachine(rest, func(m machineFile) error {
			found := "nothing wrong with it"
			if d := m.Doubts(); len(d) > 0 {
				found = plural(len(d), "doubt")
				a.warn(m.doubtWarnings(d))
			}
			fmt.Fprintf(a.notes, "%s: %s, a %s; %s\n", firstWord(m.file, m.ID), m.Name, m.Kind, found)
			if c := correctionOf(m.Profile); c != nil {
				fmt.Fprintf(a.notes, "its field is %s\n", c.words())
			}
			return nil
		})
	case "new":
		return a.withMachine(rest, func(m machineFile) error {
			if err := out.check(m.file); err != nil {
				return err
			}
			return out.write(a, func(w io.Writer) error { return writeProfile(w, m) })
		})
	}
	return usagef("machines: unknown word %q", verb).hintf("%s", suggest(verb, machineVerbs))
}

// doubtWarnings words doubts with file and line.
func (m machineFile) doubtWarnings(doubts []*machine.KeyError) []warning {
	data, _ := readFile(m.file) // the line is a courtesy
	var all []warning
	for _, d := range doubts {
		all = append(all, warning{Message: at(m.file, data, d.Key) + ": " + d.Problem})
	}
	return all
}

func (a *app) withMachine(args []string, do func(machineFile) error) error {
	name, err := oneFile(args, "machine")
	if err != nil {
		return err
	}
	m, err := findMachine(name)
	if err != nil {
		return err
	}
	return do(m)
}

func writeProfile(w io.Writer, m machineFile) error {
	text, err := profileTOML(m.Profile)
	if err != nil {
		return err
	}
	head := "# Machine profile for furrow.\n"
	if m.builtIn() {
		head += "# An example: it describes no real machine. Change every number to your own.\n"
	}
	_, err = fmt.Fprintf(w, "%s%s", head, text)
	return err
}

func (a *app) listMachines() error {
	all, err := allMachines()
	if err != nil {
		return err
	}
	t := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "ID\tKIND\tREACH\tSOURCE\tNAME")
	for _, m := range all {
		name := m.Name
		if m.builtIn() {
			name += " (built-in example)"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", m.ID, m.Kind, reach(m.Profile), source(m.Laser), name)
	}
	return t.Flush()
}

// reach words the bed or field of a machine.
func reach(p machine.Profile) string {
	if p.Gantry != nil {
		return fmt.Sprintf("%g x %g mm bed", p.Gantry.BedMM[0], p.Gantry.BedMM[1])
	}
	return fmt.Sprintf("%g x %g mm field", p.Galvo.FieldMM[0], p.Galvo.FieldMM[1])
}

func source(l machine.Laser) string {
	return fmt.Sprintf("%g W, %g nm", l.RatedPowerW, l.WavelengthNM)
}
