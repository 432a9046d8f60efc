package main

import (
	"errors"
	"fmt"
	"syscall"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/cmd/witnessmark/report"
)

// limitsCommand is `witnessmark limits`. It leaves the exit status in status.
func limitsCommand(around surroundings, status *int) *cli.Command {
	return &cli.Command{
		Name:            "limits",
		Usage:           "list the limits there are, those on one job, or check their definitions",
		UsageText:       "witnessmark limits [OPTION…]\nwitnessmark limits --for JOB [OPTION…]\nwitnessmark limits check [OPTION…] [PATH…]",
		Description:     limitsHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Subcommands:     []*cli.Command{limitsCheckCommand(around, status)},
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "for", Usage: "the limits on one `JOB`: its file or its number"},
			&cli.StringSliceFlag{Name: "rule-set", Usage: "only of the rule set `NAME`, or of those that begin with it; may be repeated"},
			&cli.StringSliceFlag{Name: "measure", Usage: "only on the measure `NAME`, or on those that begin with it; may be repeated"},
			&cli.StringFlag{Name: "region", Usage: "only of the rule sets of a `REGION`"},
			&cli.StringSliceFlag{Name: "grade", Usage: "only known by this `GRADE`; may be repeated"},
			&cli.StringFlag{Name: "stage", Usage: "only on measures that must be recorded by a `STAGE`, gate or event"},
			&cli.BoolFlag{Name: "blocking", Usage: "only limits that block", DisableDefaultText: true},
			&cli.BoolFlag{Name: "advisory", Usage: "only limits that do not", DisableDefaultText: true},
			&cli.StringSliceFlag{Name: "output", Usage: "write a report as `FORMAT[:PATH]`; may be repeated (default: table, with --for text)"},
			&cli.BoolFlag{Name: "redact", Usage: "with --for: leave private values out, as lint does", DisableDefaultText: true},
			&cli.StringFlag{Name: "as-of", Usage: "with --for: judge as of a `DATE|INSTANT` (default: now, in UTC)"},
			&cli.StringFlag{Name: "root", Usage: "`DIR` of the root file witnessmark.cue (default: looked for above the working folder or the job)"},
			&cli.StringFlag{Name: "paths", Usage: "paths in text count from `auto|root|working-directory`", Value: "auto"},
			&cli.StringFlag{Name: "color", Usage: "colour text `auto|always|never`", Value: "auto"},
		},
		Action: func(c *cli.Context) error {
			if name := c.Args().First(); name != "" {
				return notAnArgument(name, c.Command.Subcommands)
			}
			r, err := readLimitsRequest(c, around)
			if err != nil {
				return err
			}
			if r.job != "" {
				*status, err = limitsFor(c.Context, r, around)
			} else {
				*status, err = listLimits(r, around)
			}
			return err
		},
	}
}

const limitsHelp = `Lists every limit that ships and every one of the firm: policy, local amendments
and each revision of its equipment data. With --for, shows for one job, value by
value, all limits on it: what each asks, what came of it and by what margin, which
is the strictest and why, which do not apply and why not, and which stand in rule
sets that the job does not name.

Filters of the list; of one that is repeated, any of its names will do, and
different ones must all hold:
   --rule-set  in full (us/irc-2021), or the beginning up to a / or @ (us, equipment)
   --measure   in full (stacks.wall_gap), or the beginning up to a dot (stacks)
   --region    rule sets whose name begins with the region, and those that the map
               of the root file requires there
   --grade     document, copy, official, secondary, memory or practice
   --stage     the measure must be recorded by then: at or before that stage, gate
               or event on the time line; of a calculated measure, all that goes into
               it. A value read on site counts from its plan on. Measures that nobody
               has to record have no such place; how many were left out is said.
   --blocking, --advisory  whether the limit decides by itself: by its grade, or
               promoted by a policy of the firm
With --for only --measure filters. A name that does not exist is an error. A filter
that nothing fits is none: the list is empty, and says so.

Formats of --output; without a path, or with -, to standard output:
   table  for people (the list)
   csv    for spreadsheets (the list): cells that begin like a formula get an
          apostrophe before them
   text   for people (with --for)
   json   for programs: of the list an array with one object for each limit

Exit status: 0 when all was shown, an empty list too; what came out for a job
changes nothing about it, that is for lint. 2 when a definition or the job has a
problem, so that what is shown may not be all, or when nothing could be shown or
written.`

// notAnArgument refuses an argument: it was probably meant for a subcommand.
func notAnArgument(name string, commands []*cli.Command) error {
	var names []string
	for _, c := range commands {
		names = append(names, c.Name)
	}
	near := nearest.Of(name, names)
	if len(near) == 0 {
		return fmt.Errorf("limits takes no argument such as %q; name a job with --for", name)
	}
	return fmt.Errorf("there is no command \"limits %s\"%s", name, nearest.Hint(near))
}

// limitsRequest is what the options of limits ask for.
type limitsRequest struct {
	job     string
	filter  checks.Filter
	targets []report.Target
	options checks.Options
	colour  string
	paths   string
}

// readLimitsRequest reads the options; an error is one of usage.
func readLimitsRequest(c *cli.Context, around surroundings) (*limitsRequest, error) {
	r := &limitsRequest{job: c.String("for"), colour: c.String("color"), paths: c.String("paths"),
		options: checks.Options{Root: c.String("root"), Version: around.version, Shipped: around.shipped, Redact: c.Bool("redact")},
		filter: checks.Filter{RuleSets: c.StringSlice("rule-set"), Measures: c.StringSlice("measure"), Region: c.String("region"),
			Grades: c.StringSlice("grade"), Stage: c.String("stage"), Blocking: c.Bool("blocking"), Advisory: c.Bool("advisory")}}
	if c.IsSet("for") && r.job == "" {
		return nil, errors.New("--for: name a job, by its file or its number")
	}
	var err error
	if r.targets, err = report.LimitsTargets(c.StringSlice("output"), limitsFormats(c.IsSet("for"))); err != nil {
		return nil, fmt.Errorf("--output: %w", err)
	}
	if r.options.AsOf, err = parseAsOf(c.String("as-of"), around.now); err != nil {
		return nil, err
	}
	if err := errors.Join(oneOf("color", r.colour, "auto", "always", "never"), oneOf("paths", r.paths, "auto", "root", "working-directory")); err != nil {
		return nil, err
	}
	return r, r.fits(c)
}

// limitsFormats lists the formats of the list, or of what is said for one job; the
// first is taken where none is asked for.
func limitsFormats(forJob bool) []string {
	if forJob {
		return []string{"text", "json"}
	}
	return []string{"table", "json", "csv"}
}

// fits refuses options that say nothing together.
func (r *limitsRequest) fits(c *cli.Context) error {
	if r.filter.Blocking && r.filter.Advisory {
		return errors.New("no limit is both; use --blocking or --advisory, or neither")
	}
	if r.job == "" && c.IsSet("as-of") {
		return errors.New("--as-of: the list is the same on every day; the option goes with --for")
	}
	if r.job == "" && r.options.Redact {
		return errors.New("--redact: the list holds no job; the option goes with --for")
	}
	for _, name := range []string{"rule-set", "region", "grade", "stage", "blocking", "advisory"} {
		if r.job != "" && c.IsSet(name) {
			return fmt.Errorf("--%s filters the list; with --for only --measure can be used", name)
		}
	}
	return nil
}

// listLimits writes the list of limits.
func listLimits(r *limitsRequest, around surroundings) (int, error) {
	if r.options.Root != "" {
		r.options.Paths = []string{r.options.Root}
	}
	library, err := checks.OpenLibrary(r.options)
	if err != nil {
		return exitTrouble, err
	}
	selection, err := library.Select(r.filter)
	if err != nil {
		return exitTrouble, err
	}
	problems := problemsOf(library.Faults)
	onTable := false
	err = r.write(around, func(t report.Target, s report.Settings) ([]byte, error) {
		switch t.Format.Name {
		case "json":
			return report.LimitsJSON(selection), nil
		case "csv":
			return report.LimitsCSV(selection)
		}
		onTable = true
		return report.LimitsTable(selection, problems, s), nil
	})
	if !onTable { // the other formats have no place for them
		for _, p := range problems {
			complain(around.stderr, fmt.Errorf("%s:%d: problem: %s", p.File, p.At.Line, p.Message))
		}
	}
	if err != nil || len(problems) > 0 {
		return exitTrouble, err
	}
	return exitClean, nil
}

func problemsOf(faults []limit.Fault) []checks.Problem {
	out := make([]checks.Problem, len(faults))
	for i, f := range faults {
		out[i] = checks.Problem{File: f.At.File, At: jobfile.Position{Line: f.At.Line}, Code: f.Code, Message: f.Message, Mend: f.Mend}
	}
	return out
}

// write renders a report for each target and puts it in place. A reader of
// standard output that went away has what it wanted.
func (r *limitsRequest) write(around surroundings, render func(report.Target, report.Settings) ([]byte, error)) error {
	var all []error
	for _, t := range r.targets {
		path, err := pathsFor(r.paths, t.Path == "", r.options, around)
		if err != nil {
			return err
		}
		text, err := render(t, report.Settings{Colour: colourFor(r.colour, t.Path == "", around), Path: path})
		if err == nil {
			err = put(t, text, around)
		}
		all = append(all, err)
	}
	return errors.Join(all...)
}

// put writes one finished report.
func put(t report.Target, text []byte, around surroundings) error {
	f, err := t.Open(around.stdout)
	if err != nil {
		return err
	}
	if _, err = f.Write(text); err != nil {
		f.Abort()
	} else {
		err = f.Commit()
	}
	if err == nil || errors.Is(err, syscall.EPIPE) {
		return nil
	}
	name := t.Path
	if name == "" {
		name = "standard output"
	}
	return fmt.Errorf("write %s: %w", name, report.Cause(err))
}
