package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks/nearest"
)

// arrange puts the options of a command before its arguments, where the library
// looks for them, so that both `lint jobs --color never` and `lint --color never
// jobs` work. Everything behind `--` is an argument. An option that does not
// exist, or lacks its value, is an error that offers the nearest one. Where a
// command has commands of its own, all options belong to the innermost one named,
// wherever they stand.
func arrange(args []string, app *cli.App) ([]string, error) {
	if len(args) < 2 {
		return args, nil
	}
	var command *cli.Command
	at := 1
	for ; at < len(args) && command == nil; at++ {
		if command = app.Command(args[at]); command == nil && !isOption(args[at]) {
			break
		}
	}
	if command == nil { // only options of the program, or no such command
		options, arguments, err := sortOut(args[1:], app.Flags)
		return join(args[:1], options, arguments), err
	}
	global, _, err := sortOut(args[1:at-1], app.Flags)
	if err != nil {
		return nil, err
	}
	names, rest := []string{command.Name}, args[at:]
	for {
		i, inner := innerCommand(rest, command)
		if inner == nil {
			break
		}
		command, names = inner, append(names, inner.Name)
		rest = slices.Concat(rest[:i], rest[i+1:])
	}
	options, arguments, err := sortOut(rest, command.Flags)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(options, isHelp) {
		options, arguments = []string{"--help"}, nil // the library takes an argument beside it for a topic
	}
	return join(slices.Concat(args[:1], global, names), options, arguments), nil
}

// innerCommand finds the command of a command: the first argument, if it names
// one. The value of an option before it is no argument; what the options are is
// not known before the command is, so they are looked for in all of them.
func innerCommand(given []string, command *cli.Command) (at int, inner *cli.Command) {
	flags := slices.Clone(command.Flags)
	for _, c := range command.Subcommands {
		flags = append(flags, c.Flags...)
	}
	for i := 0; i < len(given); i++ {
		arg := given[i]
		if arg == "--" {
			return 0, nil
		}
		if isOption(arg) {
			name, _, hasValue := strings.Cut(strings.TrimPrefix(arg[1:], "-"), "=")
			if takesValue, err := findOption(arg, name, flags); err == nil && takesValue && !hasValue {
				i++
			}
			continue
		}
		for _, c := range command.Subcommands {
			if c.HasName(arg) {
				return i, c
			}
		}
		return 0, nil
	}
	return 0, nil
}

func isHelp(option string) bool {
	return slices.Contains([]string{"-h", "--h", "-help", "--help"}, option)
}

func join(before, options, arguments []string) []string {
	out := append(append([]string(nil), before...), options...)
	if len(arguments) > 0 {
		out = append(append(out, "--"), arguments...)
	}
	return out
}

// isOption tells whether an argument is written as an option; a lone dash is
// standard output or input.
func isOption(arg string) bool { return len(arg) > 1 && arg[0] == '-' }

// sortOut divides what was given into options with their values and the rest.
func sortOut(given []string, flags []cli.Flag) (options, arguments []string, err error) {
	for i := 0; i < len(given); i++ {
		arg := given[i]
		if arg == "--" {
			return options, append(arguments, given[i+1:]...), nil
		}
		if !isOption(arg) {
			arguments = append(arguments, arg)
			continue
		}
		name, _, hasValue := strings.Cut(strings.TrimPrefix(arg[1:], "-"), "=")
		takesValue, err := findOption(arg, name, flags)
		if err != nil {
			return nil, nil, err
		}
		options = append(options, arg)
		if !takesValue || hasValue {
			continue
		}
		if i++; i == len(given) {
			return nil, nil, fmt.Errorf("option %s needs a value", arg)
		}
		options = append(options, given[i])
	}
	return options, arguments, nil
}

// findOption looks an option up and tells whether it takes a value.
func findOption(arg, name string, flags []cli.Flag) (takesValue bool, err error) {
	names := []string{"help", "h"}
	if name == "help" || name == "h" {
		return false, nil
	}
	for _, f := range flags {
		for _, n := range f.Names() {
			if n == name {
				_, isBool := f.(*cli.BoolFlag)
				return !isBool, nil
			}
			names = append(names, n)
		}
	}
	var near []string
	for _, n := range nearest.Of(name, names) {
		if len(n) > 1 {
			near = append(near, "--"+n)
		}
	}
	written, _, _ := strings.Cut(arg, "=")
	return false, fmt.Errorf("there is no option %s here%s", written, nearest.Hint(near))
}
