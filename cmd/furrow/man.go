package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

var manCommand = command{
	name:     "man",
	synopsis: "[SUBCOMMAND]",
	summary:  "print the manual page of furrow or of a subcommand",
	about:    `furrow man > furrow.1, furrow man hatch > furrow-hatch.1; read one with man ./furrow.1`,

	ofCommands: true,
	noFiles:    true,
	setup: func(*pflag.FlagSet) runner {
		return func(a *app, args []string) error {
			w := bufio.NewWriter(a.stdout)
			if len(args) == 0 {
				manOverview(w, a.commands)
				return w.Flush()
			}
			name, err := oneFile(args, "subcommand")
			if err != nil {
				return err
			}
			c, err := a.find(name)
			if err != nil {
				return err
			}
			manPage(w, c)
			return w.Flush()
		}
	},
}

// roff keeps text from being taken for requests of the man macros.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(s)
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, ".") || strings.HasPrefix(l, "'") {
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}

func manHead(w io.Writer, name, summary string) {
	fmt.Fprintf(w, ".TH %q 1 \"\" \"furrow %s\"\n.SH NAME\n%s \\- %s\n", strings.ToUpper(name), version, roff(name),
		roff(summary))
}

func manOverview(w io.Writer, all []command) {
	manHead(w, "furrow", "turn artwork into hatched toolpaths for laser markers")
	fmt.Fprintf(w, ".SH SYNOPSIS\n.B furrow\nSUBCOMMAND [flags] FILE\n.SH SUBCOMMANDS\n")
	for _, c := range all {
		fmt.Fprintf(w, ".TP\n.B %s\n%s\n", roff(c.name), roff(c.summary))
	}
	for _, t := range topics() {
		fmt.Fprintf(w, ".SH %q\n.nf\n%s.fi\n", strings.ToUpper(t.name), roff(t.text))
	}
	fmt.Fprint(w, ".SH \"EXIT STATUS\"\n0 done; 1 the work cannot be done; 2 wrong usage or input that cannot be "+
		"read.\n")
}

func manPage(w io.Writer, c command) {
	manHead(w, "furrow-"+c.name, c.summary)
	fmt.Fprintf(w, ".SH SYNOPSIS\n.B furrow %s\n%s\n", roff(c.name), roff(c.synopsis))
	if c.about != "" {
		fmt.Fprintf(w, ".SH DESCRIPTION\n.nf\n%s\n.fi\n", roff(c.about))
	}
	fmt.Fprint(w, ".SH OPTIONS\n")
	fs, _ := c.flags()
	fs.VisitAll(func(f *pflag.Flag) {
		words := []string{"--" + f.Name}
		if f.Shorthand != "" {
			words = slices.Insert(words, 0, "-"+f.Shorthand)
		}
		value, usage := pflag.UnquoteUsage(f)
		fmt.Fprintf(w, ".TP\n.B %s\n%s\n", roff(strings.TrimSpace(strings.Join(words, ", ")+" "+value)), roff(usage))
	})
}
