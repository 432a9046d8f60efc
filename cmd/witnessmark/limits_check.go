package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/checks/review"
	"witnessmark.example/cmd/witnessmark/report"
)

// checkFormats are the formats of limits check; the first is the default.
var checkFormats = []string{"text", "json"}

// limitsCheckCommand is `witnessmark limits check`. It leaves the exit status in
// status.
func limitsCheckCommand(around surroundings, status *int) *cli.Command {
	return &cli.Command{
		Name:            "check",
		Usage:           "look for mistakes in the definitions",
		UsageText:       "witnessmark limits check [OPTION…] [PATH…]",
		Description:     limitsCheckHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "output", Usage: "write a report as `FORMAT[:PATH]`; may be repeated (default: text)"},
			&cli.StringFlag{Name: "as-of", Usage: "the `DATE|INSTANT` on which reviews may be overdue (default: now, in UTC)"},
			&cli.StringFlag{Name: "root", Usage: "`DIR` of the root file witnessmark.cue (default: looked for above the paths)"},
			&cli.StringFlag{Name: "paths", Usage: "paths in text count from `auto|root|working-directory`", Value: "auto"},
			&cli.StringFlag{Name: "color", Usage: "colour text `auto|always|never`", Value: "auto"},
		},
		Action: func(c *cli.Context) error {
			r, err := readLimitsCheck(c, around)
			if err != nil {
				return err
			}
			*status, err = limitsCheck(r, around)
			return err
		},
	}
}

const limitsCheckHelp = `Looks at every definition that ships and every one of the firm whose root file
witnessmark.cue is found at the paths or above them (by default the working
folder): rule sets, limits, equipment data, the map of required rule sets. No job
is read. Each thing to mend is one line, file:line: code: what is wrong, with what
to do below it.

What is looked for:
   broken     whatever lint would report as a problem of definitions; limits that
              contradict each other, by themselves, within and between rule sets
              used together, and with every revision of every product; names in the
              map, in replaces and in promotes that do not exist
   stated     a source without title or edition, a limit without clause or reason;
              days of review that are no days, are still to come, contradict each
              other or are past (--as-of)
   pointless  limits that no value satisfies, that no value is outside of, or that
              can never apply; limits that decide nothing beside another one
   in time    days between two editions on which none is in force, and days on
              which two are: of dated limits of one source, and of the map
   rows       limits that are rows of one table: out of order, or with values
              between them that belong to no row; entries and definitions that
              stand twice
   equipment  figures that a revision does not state and that a calculated measure
              or a limit needs
   examples   stated examples that are on the wrong side of their limit; limits of
              which no example on one side is stated or can be made

A limit that asks for less than another one is looked for within one source and
between policies only: that a datasheet asks for less than a policy is as it should
be. It is not reported where that depends on facts of a job, nor beside an advisory
limit that does not decide.

Formats of --output; without a path, or with -, to standard output:
   text   for people
   json   for programs: an object with remarks, what was looked at, and what not

Exit status: 0 when there is nothing to mend, 1 when all that is to mend leaves
the limits applied as they are written, 2 when a definition is broken, so that
something is not applied or cannot be met, or when nothing could be read or
written. An overdue review ends with 1 from its day on.`

// limitsCheckRequest is what the options of limits check ask for; of the request
// for limits it takes where to write and how.
type limitsCheckRequest struct{ limitsRequest }

func readLimitsCheck(c *cli.Context, around surroundings) (*limitsCheckRequest, error) {
	r := &limitsCheckRequest{limitsRequest{colour: c.String("color"), paths: c.String("paths"),
		options: checks.Options{Paths: c.Args().Slice(), Root: c.String("root"), Version: around.version, Shipped: around.shipped}}}
	if r.options.Root != "" && len(r.options.Paths) == 0 {
		r.options.Paths = []string{r.options.Root}
	}
	var err error
	if r.targets, err = report.LimitsTargets(c.StringSlice("output"), checkFormats); err != nil {
		return nil, fmt.Errorf("--output: %w", err)
	}
	if r.options.AsOf, err = parseAsOf(c.String("as-of"), around.now); err != nil {
		return nil, err
	}
	return r, errors.Join(oneOf("color", r.colour, "auto", "always", "never"), oneOf("paths", r.paths, "auto", "root", "working-directory"))
}

// limitsCheck looks for mistakes and writes the reports.
func limitsCheck(r *limitsCheckRequest, around surroundings) (int, error) {
	found, err := checks.OpenReview(r.options)
	if err != nil {
		return exitTrouble, err
	}
	err = r.write(around, func(t report.Target, s report.Settings) ([]byte, error) {
		if t.Format.Name == "json" {
			return report.LimitsCheckJSON(found, around.version), nil
		}
		return report.LimitsCheckText(found, s), nil
	})
	switch {
	case err != nil || slices.ContainsFunc(found.Remarks, func(x review.Remark) bool { return x.Breaks }):
		return exitTrouble, err
	case len(found.Remarks) > 0:
		return exitFindings, nil
	}
	return exitClean, nil
}
