package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"syscall"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/checks/explain"
	"witnessmark.example/cmd/witnessmark/report"
)

// explainCommand is `witnessmark explain`.
func explainCommand(around surroundings) *cli.Command {
	return &cli.Command{
		Name:            "explain",
		Usage:           "explain a limit, a measure, a field, an outcome or a rule set",
		UsageText:       "witnessmark explain [OPTION…] NAME",
		Description:     explainHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Usage: "write `text|json` to standard output", Value: "text"},
			&cli.StringFlag{Name: "root", Usage: "`DIR` of the root file witnessmark.cue (default: looked for above the working folder)"},
			&cli.StringFlag{Name: "color", Usage: "colour text `auto|always|never`", Value: "auto"},
		},
		Action: func(c *cli.Context) error {
			output, colour := c.String("output"), c.String("color")
			if err := errors.Join(oneOf("output", output, "text", "json"), oneOf("color", colour, "auto", "always", "never")); err != nil {
				return err
			}
			if c.Args().Len() != 1 {
				return errors.New("name one thing to explain, such as stacks.wall_gap, us/irc-2021#unit-spacing or too_close")
			}
			return explainName(c.Args().First(), c.String("root"), output, colour, around)
		},
	}
}

const explainHelp = `Says what NAME is, why it is there, where it comes from, when it is due and how it
is written. NAME is

   a limit         us/irc-2021#unit-spacing, equipment/morvane@B#wall-gap, or its
                   short name; a short name of several limits lists them
   a fact          a field (stacks.wall_gap), a calculated measure (units.energy), a
                   figure of equipment data, also as the address in a report
   a list          stacks
   a word          an outcome (too_close), a grade (memory), a stage, gate or event
                   (installed, energise, permit), blocking, advisory
   a rule set      us/irc-2021, policy, equipment/morvane@B
   a check         record#recorded

The firm around the working folder is taken in; without one, only what ships with
the tool is known. Mistakes in definitions are mentioned on standard error.

Exit status: 0 when the name was explained, 2 when it is not known or when the limit
asked for is the one with the mistake.
`

// explainName writes the explanation of a name to standard output.
func explainName(name, root, output, colour string, around surroundings) error {
	here, err := around.folder()
	if err != nil {
		return err
	}
	options := checks.Options{Paths: []string{here}, Version: around.version, Shipped: around.shipped}
	if root != "" {
		if !filepath.IsAbs(root) {
			root = filepath.Join(here, root)
		}
		options.Paths, options.Root = []string{root}, root
	}
	library, err := checks.OpenLibrary(options)
	if err != nil {
		return err
	}
	e, err := library.Explainer().Explain(name)
	if err != nil {
		if !errors.As(err, new(*explain.Broken)) { // that says itself what is wrong
			mention(library, around)
		}
		return err
	}
	path, err := pathsFor("auto", true, options, around)
	if err != nil {
		return err
	}
	text := report.ExplainText(e, report.Settings{Colour: colourFor(colour, true, around), Path: path})
	if output == "json" {
		if text, err = report.ExplainJSON(e); err != nil {
			return err
		}
	}
	if _, err := around.stdout.Write(text); err != nil && !errors.Is(err, syscall.EPIPE) {
		return fmt.Errorf("write standard output: %w", report.Cause(err))
	}
	mention(library, around)
	return nil
}

// mention says on standard error that definitions have mistakes, so that nobody
// takes what was left out for what does not exist.
func mention(l *checks.Library, around surroundings) {
	switch n := len(l.Faults); {
	case n == 1:
		complain(around.stderr, fmt.Errorf("the definitions have a mistake, at %s: %s", l.Faults[0].At, l.Faults[0].Message))
	case n > 1:
		complain(around.stderr, fmt.Errorf("the definitions have %d mistakes, the first at %s: %s; \"witnessmark lint\" lists them all", n, l.Faults[0].At, l.Faults[0].Message))
	}
}
