package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
)

// The scripts below are written from the table of subcommands, so that they
// never name what is not there. A completion library would bring a framework
// for subcommands, of which the table is all that is needed.

var completionCommand = command{
	name:     "completion",
	synopsis: "bash|zsh|fish|powershell",
	summary:  "print a script that completes subcommands, flags and values in your shell",
	about: `bash        source <(furrow completion bash)                in ~/.bashrc
zsh         source <(furrow completion zsh)                 in ~/.zshrc, after compinit
fish        furrow completion fish | source                 in config.fish
powershell  furrow completion powershell | Out-String | Invoke-Expression`,
	words:   shells,
	noFiles: true,
	setup: func(*pflag.FlagSet) runner {
		return func(a *app, args []string) error {
			shell, err := oneFile(args, "shell")
			if err != nil {
				return err
			}
			write, ok := map[string]func(io.Writer, []completed){
				"bash": completeBash, "zsh": completeZsh, "fish": completeFish, "powershell": completePowerShell,
			}[shell]
			if !ok {
				return fault.Usagef("unknown shell %q", shell).Hintf("%s", fault.Suggest(shell, shells))
			}
			return product.WriteBuffered(a.stdout, func(w io.Writer) error {
				write(w, completions(a.commands))
				return nil
			})
		}
	},
}

var shells = []string{"bash", "zsh", "fish", "powershell"}

// completed is a subcommand with what may follow it.
type completed struct {
	name, summary string
	flags         []*pflag.Flag
	words         []string // besides flags
	noFiles       bool     // names of files do not follow
}

func completions(all []command) []completed {
	var out []completed
	var names []string
	for _, c := range all {
		names = append(names, c.name)
	}
	for _, c := range all {
		fs, _ := c.flags()
		done := completed{name: c.name, summary: c.summary, words: c.words, noFiles: c.noFiles}
		if c.ofCommands {
			done.words = names
		}
		fs.VisitAll(func(f *pflag.Flag) { done.flags = append(done.flags, f) })
		out = append(out, done)
	}
	help := completed{name: "help", summary: "the flags of a subcommand, or a topic", noFiles: true,
		words: append(slices.Clone(names), topicNames...)}
	return append(out, help)
}

func (c completed) flagNames() []string {
	var w []string
	for _, f := range c.flags {
		w = append(w, "--"+f.Name)
	}
	return w
}

func commandNames(all []completed) []string {
	var w []string
	for _, c := range all {
		w = append(w, c.name)
	}
	return w
}

// flagWords lists the flags whose value is one of a few words, by name.
func flagWords(all []completed) (names []string, words map[string][]string) {
	words = map[string][]string{}
	for _, c := range all {
		for _, f := range c.flags {
			if w := value.WordsOfFlag(f); w != nil && words[f.Name] == nil {
				names = append(names, f.Name)
				words[f.Name] = w
			}
		}
	}
	slices.Sort(names)
	return names, words
}

// The flags whose value is listed by a subcommand, in the first column below a
// head.
var listedFlags = []struct{ flag, command string }{{"machine", "machines"}, {"recipe", "recipes"}}

func completeBash(w io.Writer, all []completed) {
	fmt.Fprint(w, `_furrow() {
  local cur="${COMP_WORDS[COMP_CWORD]}" prev="${COMP_WORDS[COMP_CWORD-1]}" words="" flags="" files=yes
`)
	fmt.Fprintf(w, "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n"+
		"    COMPREPLY=($(compgen -W %q -- \"$cur\"))\n    return\n  fi\n",
		strings.Join(commandNames(all), " "))
	fmt.Fprint(w, "  case \"$prev\" in\n")
	names, words := flagWords(all)
	for _, name := range names {
		fmt.Fprintf(w, "    --%s) COMPREPLY=($(compgen -W %q -- \"$cur\")); return ;;\n", name,
			strings.Join(words[name], " "))
	}
	for _, l := range listedFlags {
		ids := fmt.Sprintf("$(furrow %s 2>/dev/null | awk 'NR > 1 { print $1 }')", l.command)
		fmt.Fprintf(w, "    --%s) COMPREPLY=($(compgen -W \"%s\" -- \"$cur\") $(compgen -f -- \"$cur\")); return ;;\n",
			l.flag, ids)
	}
	fmt.Fprint(w, "  esac\n  case \"${COMP_WORDS[1]}\" in\n")
	for _, c := range all {
		fmt.Fprintf(w, "    %s) flags=%q words=%q", c.name, strings.Join(c.flagNames(), " "),
			strings.Join(c.words, " "))
		if c.noFiles {
			fmt.Fprint(w, " files=")
		}
		fmt.Fprint(w, " ;;\n")
	}
	fmt.Fprint(w, `  esac
  case "$cur" in
    -*) COMPREPLY=($(compgen -W "$flags" -- "$cur")) ;;
    *) COMPREPLY=($(compgen -W "$words" -- "$cur") ${files:+$(compgen -f -- "$cur")}) ;;
  esac
}
complete -o filenames -F _furrow furrow
`)
}

func completeZsh(w io.Writer, all []completed) {
	fmt.Fprint(w, "autoload -U +X bashcompinit && bashcompinit\n")
	completeBash(w, all)
}

func completeFish(w io.Writer, all []completed) {
	for _, c := range all {
		fmt.Fprintf(w, "complete -c furrow -n __fish_use_subcommand -f -a %s -d '%s'\n", c.name, fishQuoted(c.summary))
		of := fmt.Sprintf("complete -c furrow -n '__fish_seen_subcommand_from %s'", c.name)
		if c.noFiles {
			of += " -f"
		}
		if len(c.words) > 0 {
			fmt.Fprintf(w, "%s -a '%s'\n", of, strings.Join(c.words, " "))
		}
		for _, f := range c.flags {
			_, usage := pflag.UnquoteUsage(f)
			fmt.Fprintf(w, "%s -l %s%s -d '%s'\n", of, f.Name, fishFlag(f), fishQuoted(usage))
		}
	}
}

// fishFlag says what follows a flag: -r a value, -x one that is no file.
func fishFlag(f *pflag.Flag) string {
	s := ""
	if f.Shorthand != "" {
		s = " -s " + f.Shorthand
	}
	for _, l := range listedFlags {
		if l.flag == f.Name {
			return fmt.Sprintf("%s -r -a '(furrow %s 2>/dev/null | tail -n +2 | string split -f 1 \" \")'",
				s, l.command)
		}
	}
	switch of := value.WordsOfFlag(f); {
	case of != nil:
		return s + " -x -a '" + strings.Join(of, " ") + "'"
	case f.NoOptDefVal == "":
		return s + " -r"
	}
	return s
}

func fishQuoted(s string) string { return strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(s) }

func completePowerShell(w io.Writer, all []completed) {
	fmt.Fprint(w, "Register-ArgumentCompleter -Native -CommandName furrow -ScriptBlock {\n"+
		"  param($word, $ast, $position)\n  $words = @{\n")
	for _, c := range all {
		fmt.Fprintf(w, "    '%s' = %s\n", c.name, powerShellList(append(c.flagNames(), c.words...)))
	}
	fmt.Fprint(w, "  }\n  $values = @{\n")
	names, words := flagWords(all)
	for _, name := range names {
		fmt.Fprintf(w, "    '--%s' = %s\n", name, powerShellList(words[name]))
	}
	fmt.Fprint(w, "  }\n  $listed = @{\n")
	for _, l := range listedFlags {
		fmt.Fprintf(w, "    '--%s' = '%s'\n", l.flag, l.command)
	}
	fmt.Fprint(w, `  }
  $given = @($ast.CommandElements | ForEach-Object { $_.ToString() })
  if ($word -ne '') { $given = @($given | Select-Object -SkipLast 1) }
  $offer = if ($given.Count -le 1) { $words.Keys | Sort-Object }
    elseif ($values.ContainsKey($given[-1])) { $values[$given[-1]] }
    elseif ($listed.ContainsKey($given[-1])) {
      furrow $listed[$given[-1]] 2>$null | Select-Object -Skip 1 | ForEach-Object { ($_ -split ' ')[0] }
    }
    else { $words[$given[1]] }
  $offer | Where-Object { $_ -like "$word*" } |
    ForEach-Object { [System.Management.Automation.CompletionResult]::new($_) }
}
`)
}

func powerShellList(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = "'" + strings.ReplaceAll(w, "'", "''") + "'"
	}
	return "@(" + strings.Join(quoted, ", ") + ")"
}
