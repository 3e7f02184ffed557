package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// The scripts below are written from the table of subcommands, so that they
// never name what is not there. A completion library would bring a framework
// for subcommands, of which the table is all that is needed.

var completionCommand = command{
	name:     "completion",
	synopsis: "bash|zsh|fish|powershell",
	summary:  "a script that completes subcommands and flags in your shell",
	about: `bash        source <(furrow completion bash)                in ~/.bashrc
zsh         source <(furrow completion zsh)                 in ~/.zshrc, after compinit
fish        furrow completion fish | source                 in config.fish
powershell  furrow completion powershell | Out-String | Invoke-Expression`,
	setup: func(*pflag.FlagSet) runner {
		return func(a *app, args []string) error {
			shell, err := oneFile(args, "shell")
			if err != nil {
				return err
			}
			write, ok := shells[shell]
			if !ok {
				return usagef("unknown shell %q", shell).hintf("%s", suggest(shell, []string{"bash", "zsh", "fish", "powershell"}))
			}
			w := bufio.NewWriter(a.stdout)
			write(w, completions(a.commands))
			return w.Flush()
		}
	},
}

var shells = map[string]func(io.Writer, []completed){
	"bash": completeBash, "zsh": completeZsh, "fish": completeFish, "powershell": completePowerShell,
}

// completed is a subcommand with the words that may follow it.
type completed struct {
	name, summary string
	flags         []*pflag.Flag
	more          []string // words besides the flags
}

func completions(all []command) []completed {
	var out []completed
	for _, c := range all {
		fs, _ := c.flags()
		done := completed{name: c.name, summary: c.summary}
		fs.VisitAll(func(f *pflag.Flag) { done.flags = append(done.flags, f) })
		out = append(out, done)
	}
	help := completed{name: "help", summary: "the flags of a subcommand, or a topic"}
	for _, c := range all {
		help.more = append(help.more, c.name)
	}
	help.more = append(help.more, topicNames...)
	return append(out, help)
}

func (c completed) words() string {
	w := slices.Clone(c.more)
	for _, f := range c.flags {
		w = append(w, "--"+f.Name)
	}
	return strings.Join(w, " ")
}

func names(all []completed) string {
	var w []string
	for _, c := range all {
		w = append(w, c.name)
	}
	return strings.Join(w, " ")
}

func completeBash(w io.Writer, all []completed) {
	fmt.Fprintf(w, "_furrow() {\n  local cur=\"${COMP_WORDS[COMP_CWORD]}\" words=\"\"\n")
	fmt.Fprintf(w, "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n    COMPREPLY=($(compgen -W %q -- \"$cur\"))\n    return\n  fi\n", names(all))
	fmt.Fprintf(w, "  case \"${COMP_WORDS[1]}\" in\n")
	for _, c := range all {
		fmt.Fprintf(w, "    %s) words=%q ;;\n", c.name, c.words())
	}
	fmt.Fprint(w, "  esac\n  case \"$cur\" in\n    -*) COMPREPLY=($(compgen -W \"$words\" -- \"$cur\")) ;;\n")
	fmt.Fprint(w, "    *) [ \"${COMP_WORDS[1]}\" = help ] && COMPREPLY=($(compgen -W \"$words\" -- \"$cur\")) || COMPREPLY=($(compgen -f -- \"$cur\")) ;;\n  esac\n}\n")
	fmt.Fprint(w, "complete -o filenames -F _furrow furrow\n")
}

func completeZsh(w io.Writer, all []completed) {
	fmt.Fprint(w, "autoload -U +X bashcompinit && bashcompinit\n")
	completeBash(w, all)
}

func completeFish(w io.Writer, all []completed) {
	for _, c := range all {
		if len(c.more) > 0 {
			fmt.Fprintf(w, "complete -c furrow -n '__fish_seen_subcommand_from %s' -f -a '%s'\n", c.name, strings.Join(c.more, " "))
		}
		fmt.Fprintf(w, "complete -c furrow -n __fish_use_subcommand -f -a %s -d '%s'\n", c.name, fishQuoted(c.summary))
		for _, f := range c.flags {
			short := ""
			if f.Shorthand != "" {
				short = " -s " + f.Shorthand
			}
			_, usage := pflag.UnquoteUsage(f)
			fmt.Fprintf(w, "complete -c furrow -n '__fish_seen_subcommand_from %s' -l %s%s -d '%s'\n", c.name, f.Name, short, fishQuoted(usage))
		}
	}
}

func fishQuoted(s string) string { return strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(s) }

func completePowerShell(w io.Writer, all []completed) {
	fmt.Fprint(w, "Register-ArgumentCompleter -Native -CommandName furrow -ScriptBlock {\n  param($word, $ast, $position)\n  $words = @{\n")
	for _, c := range all {
		quoted := strings.Fields(c.words())
		for i := range quoted {
			quoted[i] = "'" + quoted[i] + "'"
		}
		fmt.Fprintf(w, "    '%s' = @(%s)\n", c.name, strings.Join(quoted, ", "))
	}
	fmt.Fprint(w, "  }\n  $given = @($ast.CommandElements | ForEach-Object { $_.ToString() })\n")
	fmt.Fprint(w, "  $offer = if ($given.Count -gt 2 -or ($given.Count -eq 2 -and $word -eq '')) { $words[$given[1]] } else { $words.Keys | Sort-Object }\n")
	fmt.Fprint(w, "  $offer | Where-Object { $_ -like \"$word*\" } | ForEach-Object { [System.Management.Automation.CompletionResult]::new($_) }\n}\n")
}

var manCommand = command{
	name:     "man",
	synopsis: "[SUBCOMMAND]",
	summary:  "the manual page of furrow or of a subcommand, for man",
	about:    `furrow man > furrow.1, furrow man hatch > furrow-hatch.1; read one with man ./furrow.1`,
	setup: func(*pflag.FlagSet) runner {
		return func(a *app, args []string) error {
			w := bufio.NewWriter(a.stdout)
			if len(args) == 0 {
				manOverview(w, a.commands)
				return w.Flush()
			}
			c, err := a.find(args[0])
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
	fmt.Fprintf(w, ".TH %q 1 \"\" \"furrow %s\"\n.SH NAME\n%s \\- %s\n", strings.ToUpper(name), version, roff(name), roff(summary))
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
	fmt.Fprint(w, ".SH \"EXIT STATUS\"\n0 done; 1 the work cannot be done; 2 wrong usage or input that cannot be read.\n")
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
