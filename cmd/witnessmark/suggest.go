package main

import (
	"regexp"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// suggest says what may stand in place of the last word.
func suggest(words []string, app *cli.App, from *names) suggestion {
	given, typed := words[:len(words)-1], words[len(words)-1]
	command, path, rest := commandOf(given, app)
	flags, commands := app.Flags, app.Commands
	if command != nil {
		flags, commands = command.Flags, command.Subcommands
	}
	var s suggestion
	switch arguments, waiting, ended := readGiven(rest, flags); {
	case waiting != nil:
		s = from.value(path, waiting, typed)
	case !ended && strings.HasPrefix(typed, "-"):
		if name, value, ok := strings.Cut(typed, "="); ok {
			s = from.value(path, flagNamed(name, flags), value).behind(name + "=")
			break
		}
		s = options(flags)
	default:
		s = from.argument(path, command, len(arguments))
		if len(arguments) == 0 {
			s.words = append(s.words, commandWords(commands)...)
		}
	}
	return s.fitting(typed)
}

// commandOf finds the innermost command that was named and what else stands there.
func commandOf(given []string, app *cli.App) (command *cli.Command, path string, rest []string) {
	at := slices.IndexFunc(given, func(w string) bool { return !isOption(w) })
	if at < 0 || app.Command(given[at]) == nil {
		return nil, "", given
	}
	command, rest = app.Command(given[at]), given[at+1:]
	for path = command.Name; ; path += " " + command.Name {
		i, inner := innerCommand(rest, command)
		if inner == nil {
			return command, path, rest
		}
		command, rest = inner, slices.Concat(rest[:i], rest[i+1:])
	}
}

// readGiven divides what was given: arguments, the option that waits for its value,
// and whether -- has ended the options.
func readGiven(given []string, flags []cli.Flag) (arguments []string, waiting cli.Flag, ended bool) {
	for i, w := range given {
		switch {
		case waiting != nil:
			waiting = nil
		case w == "--":
			return append(arguments, given[i+1:]...), nil, true
		case !isOption(w):
			arguments = append(arguments, w)
		case !strings.Contains(w, "="):
			if f := flagNamed(w, flags); f != nil && takesValue(f) {
				waiting = f
			}
		}
	}
	return arguments, waiting, false
}

func flagNamed(written string, flags []cli.Flag) cli.Flag {
	for _, f := range flags {
		if slices.Contains(f.Names(), strings.TrimLeft(written, "-")) {
			return f
		}
	}
	return nil
}

func takesValue(f cli.Flag) bool {
	d, ok := f.(cli.DocGenerationFlag)
	return ok && d.TakesValue()
}

func options(flags []cli.Flag) suggestion {
	s := suggestion{kind: someWord}
	for _, f := range flags {
		usage := ""
		if d, ok := f.(cli.DocGenerationFlag); ok {
			usage = strings.ReplaceAll(d.GetUsage(), "`", "")
		}
		if f.Names()[0] != "help" {
			s.words = append(s.words, word{"--" + f.Names()[0], usage})
		}
	}
	s.words = append(s.words, word{"--help", "explain the command"})
	return s
}

func commandWords(commands []*cli.Command) (out []word) {
	for _, c := range commands {
		if !c.Hidden {
			out = append(out, word{c.Name, c.Usage})
		}
	}
	return out
}

var (
	placeholder = regexp.MustCompile("`([^`]+)`")
	fixedWords  = regexp.MustCompile(`^[a-z_-]+(\|[a-z_-]+)+$`)
)

// placeholderOf is how the help writes the value of an option: in small letters the
// words there are (auto|always|never), else what it stands for (DIR).
func placeholderOf(f cli.Flag) string {
	if d, ok := f.(cli.DocGenerationFlag); ok {
		if m := placeholder.FindStringSubmatch(d.GetUsage()); m != nil {
			return m[1]
		}
	}
	return ""
}

// argumentOf is how the first line of the help writes the argument at a place.
func argumentOf(c *cli.Command, path string, place int) string {
	first, _, _ := strings.Cut(c.UsageText, "\n")
	var all []string
	for _, w := range strings.Fields(strings.TrimPrefix(first, "witnessmark "+path)) {
		if w = strings.Trim(w, "[]"); w != "OPTION…" && !isOption(w) {
			all = append(all, w)
		}
	}
	switch n := len(all); {
	case place < n:
		return strings.TrimSuffix(all[place], "…")
	case n > 0 && strings.HasSuffix(all[n-1], "…"):
		return strings.TrimSuffix(all[n-1], "…")
	}
	return ""
}

// behind puts text before everything suggested.
func (s suggestion) behind(text string) suggestion {
	s.prefix = text + s.prefix
	for i := range s.words {
		s.words[i].text = text + s.words[i].text
	}
	return s
}

// plain are words that mean nothing to a shell; others are not suggested, whoever
// named them.
var plain = regexp.MustCompile(`^[A-Za-z0-9_./@#,:+=-]+$`)

// fitting leaves the words that begin as typed.
func (s suggestion) fitting(typed string) suggestion {
	s.words = slices.DeleteFunc(s.words, func(w word) bool { return !strings.HasPrefix(w.text, typed) || !plain.MatchString(w.text) })
	return s
}
