package main

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"syscall"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/report"
	"witnessmark.example/cmd/witnessmark/since"
)

// lintCommand is `witnessmark lint`. It leaves the exit status in status.
func lintCommand(around surroundings, status *int) *cli.Command {
	return &cli.Command{
		Name:            "lint",
		Usage:           "judge job files by every limit that applies",
		UsageText:       "witnessmark lint [OPTION…] [PATH…]",
		Description:     lintHelp(),
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "output", Usage: "write a report as `FORMAT[:PATH]`; may be repeated (default: text)"},
			&cli.StringFlag{Name: "fail-on", Usage: "outcomes that make the exit status 1, as a `LIST` separated by commas", Value: defaultThreshold},
			&cli.StringFlag{Name: "outcomes", Usage: "outcomes in json, csv, html and junit: `findings|all`", Value: "all"},
			&cli.BoolFlag{Name: "calculations", Usage: "in text: show how calculated values and limits came about, step by step", DisableDefaultText: true},
			&cli.BoolFlag{Name: "quiet", Usage: "in text: findings and problems alone, and one sentence on what is left out", DisableDefaultText: true},
			&cli.BoolFlag{Name: "summary", Usage: "in text: a line for each job and the totals alone", DisableDefaultText: true},
			&cli.StringFlag{Name: "width", Usage: "wrap text at `COLUMNS`, 0 for never (default: the terminal's width; elsewhere never)"},
			&cli.BoolFlag{Name: "redact", Usage: "leave private values out of every report: people, serial numbers, free text", DisableDefaultText: true},
			&cli.StringFlag{Name: "as-of", Usage: "judge as of a `DATE|INSTANT`: 2026-03-11 in every time zone, or 2026-03-11T18:30:00Z (default: now, in UTC)"},
			&cli.StringFlag{Name: "since", Usage: "say what is new since the commit that HEAD and `REF` both come from"},
			&cli.StringFlag{Name: "root", Usage: "`DIR` of the root file witnessmark.cue (default: looked for above the paths)"},
			&cli.StringFlag{Name: "paths", Usage: "paths in text and in what CI shows count from `auto|root|working-directory`", Value: "auto"},
			&cli.StringFlag{Name: "color", Usage: "colour text `auto|always|never`", Value: "auto"},
			&cli.StringFlag{Name: "workers", Usage: "judge `N` files at once (default: one for each processor)"},
		},
		Action: func(c *cli.Context) error {
			request, err := readRequest(c, around)
			if err != nil {
				return err
			}
			*status, err = lint(c.Context, request, around)
			return err
		},
	}
}

func lintHelp() string {
	var formats []string
	for _, f := range report.Formats() {
		formats = append(formats, fmt.Sprintf("   %-12s %s", f.Name, f.Summary))
	}
	return `Judges the job files at the paths (files or folders; by default all of the
working folder). The whole repository is read in any case, so that sums over a
property and checks across files are right.

Formats of --output; without a path, or with -, to standard output, which takes
one report only:
` + strings.Join(formats, "\n") + `

In CSV, cells that begin like a formula get an apostrophe; the file begins with a
byte order mark, and numbers have a point. Besides the outcomes below a row says
"not_judged" of a value, "nothing_to_judge" of a list without an entry,
"broken_limit", "unread", "problem", or "note" on the run as a whole.

In CI, text or annotations go to standard output, so that they stand in the log,
and the others to files, all from one run. Where the root file does not stand at the
top of the git repository, --paths working-directory makes the hosts find the files
(run it at the top, with --root). What was not judged, or was accepted by a concession, is told as
such in each format, and never as a pass; sarif leaves concessions out and says so.

Words of --fail-on:
   outside               outside a limit, advisory ones too
   outside-blocking      outside a blocking limit only
   too_close             the uncertainty of a reading reaches over the limit
   missing               a fact that is due is not recorded
   not_checked           a blocking limit could not be judged
   not_checked-advisory  any limit could not be judged
   not_due               something waits on a fact that is due later
   none                  findings never make the exit status 1

` + sinceHelp + `

On a terminal text is wrapped at its width (the variable COLUMNS beats it, --width
beats both), and the findings of each job stand under a heading; elsewhere they do
where a run judges several job files. A long run shows on standard error how far it
is, if that is a terminal, until the first text goes to standard output.

Text is coloured on a terminal. --color beats NO_COLOR, which beats FORCE_COLOR
and CLICOLOR_FORCE, which beat CLICOLOR=0 and TERM=dumb. With --paths auto,
paths count from the working folder on a terminal, else from the root; in json,
csv, html and junit always from the root. Options may follow paths; -- ends the options.

With --redact, "(left out)" stands in place of every value that the shape marks
private ("witnessmark explain FIELD" says so of a field): who did what, licences,
the premises, serial numbers, numbers and files of papers, and text that people
write freely. All is judged as without it; outcomes and exit status are the same.
File names, job numbers and the keys of entries are shown: they are how you find
what a report speaks of, so name no person in them.

` + exitHelp + `
A run in which no value was compared with a limit ends with 2.`
}

// request is what the options of lint ask for.
type request struct {
	options checks.Options
	targets []report.Target
	fail    threshold
	since   string // empty where nothing is compared
	set     func(report.Target) (report.Settings, error)
}

// readRequest reads the options; an error is one of usage.
func readRequest(c *cli.Context, around surroundings) (*request, error) {
	r := &request{since: c.String("since"), options: checks.Options{Paths: c.Args().Slice(), Root: c.String("root"), Version: around.version, Shipped: around.shipped, Redact: c.Bool("redact")}}
	if c.IsSet("since") && r.since == "" {
		return nil, errors.New("--since: the name of the commit is empty; name a branch, a tag or a commit, as in --since origin/main")
	}
	var err error
	if r.targets, err = report.ParseTargets(c.StringSlice("output")); err != nil {
		return nil, fmt.Errorf("--output: %w", err)
	}
	if r.fail, err = parseThreshold(c.String("fail-on")); err != nil {
		return nil, fmt.Errorf("--fail-on: %w", err)
	}
	if r.options.AsOf, err = parseAsOf(c.String("as-of"), around.now); err != nil {
		return nil, err
	}
	if text := c.String("workers"); text != "" {
		if r.options.Workers, err = strconv.Atoi(text); err != nil || r.options.Workers < 1 {
			return nil, fmt.Errorf("--workers: %q is no whole number above 0", text)
		}
	}
	outcomes, paths, colour := c.String("outcomes"), c.String("paths"), c.String("color")
	if err := errors.Join(oneOf("outcomes", outcomes, "findings", "all"), oneOf("paths", paths, "auto", "root", "working-directory"),
		oneOf("color", colour, "auto", "always", "never")); err != nil {
		return nil, err
	}
	if c.Bool("quiet") && c.Bool("summary") {
		return nil, errors.New("--quiet and --summary exclude each other: the one leaves out the totals, the other the findings")
	}
	width := c.String("width")
	if _, err := widthFor(width, true, around); err != nil {
		return nil, err
	}
	r.set = func(t report.Target) (report.Settings, error) {
		toStdout := t.Path == ""
		path, err := pathsFor(paths, toStdout, r.options, around)
		if err != nil {
			return report.Settings{}, err
		}
		columns, err := widthFor(width, toStdout, around)
		return report.Settings{Colour: colourFor(colour, toStdout, around), FindingsOnly: outcomes == "findings", Calculations: c.Bool("calculations"), Path: path,
			Width: columns, Headings: toStdout && around.terminal, Quiet: c.Bool("quiet"), Summary: c.Bool("summary")}, err
	}
	return r, nil
}

// lint runs the engine and writes the reports. A report that cannot be written
// does not keep the others from being written.
func lint(ctx context.Context, r *request, around surroundings) (int, error) {
	shown, around := showProgress(around)
	defer shown.end()
	r.options.Progress = shown.at
	out := &outputs{around: around}
	if r.since != "" {
		var err error
		if out.since, err = compare(ctx, r, around); err != nil {
			return exitTrouble, err
		}
	}
	for _, t := range r.targets {
		settings, err := r.set(t)
		if err != nil {
			out.abort()
			return exitTrouble, err
		}
		settings.Since = out.since
		out.open(t, settings)
	}
	result, err := around.lint(ctx, r.options, out.all()...)
	if err != nil {
		out.abort()
		if ctx.Err() != nil {
			return exitTrouble, errors.New("the run was broken off before it was complete; no report was written")
		}
		return exitTrouble, err
	}
	out.close(result)
	return out.status(r.fail, result), nil
}

// outputs are the reports of one run.
type outputs struct {
	around surroundings
	since  *since.Comparison // with the base; nil where nothing is compared
	sinks  []checks.Sink
	files  []*report.File
	names  []string
	failed bool
}

func (o *outputs) open(t report.Target, s report.Settings) {
	f, err := t.Open(o.around.stdout)
	if err != nil {
		o.trouble(err)
		return
	}
	name := t.Path
	if name == "" {
		name = "standard output"
	}
	o.sinks, o.files, o.names = append(o.sinks, t.Format.New(f, s)), append(o.files, f), append(o.names, name)
}

// all are the sinks of the run. What compares comes first: the reports ask it.
func (o *outputs) all() []checks.Sink {
	if o.since == nil {
		return o.sinks
	}
	return append([]checks.Sink{o.since}, o.sinks...)
}

// close puts the finished reports in place and drops those that failed. A reader
// of standard output that went away has what it wanted: that is no trouble.
func (o *outputs) close(r *checks.Run) {
	broken := map[int]error{}
	for _, f := range r.Failed {
		broken[f.Sink-(len(o.all())-len(o.sinks))] = f.Err
	}
	for i, f := range o.files {
		err := broken[i]
		if err != nil {
			f.Abort()
		} else {
			err = f.Commit()
		}
		if err != nil && !errors.Is(err, syscall.EPIPE) {
			o.trouble(fmt.Errorf("write %s: %w", o.names[i], report.Cause(err)))
		}
	}
}

func (o *outputs) abort() {
	for _, f := range o.files {
		f.Abort()
	}
}

func (o *outputs) trouble(err error) {
	o.failed = true
	complain(o.around.stderr, err)
}

// counts are the outcomes that may make the exit status 1: all, or what is new.
func (o *outputs) counts(r *checks.Run) *checks.Counts {
	if o.since != nil {
		return &o.since.Totals.NewCounts
	}
	return &r.Counts
}

// status is the exit status of a run. What could not be checked beats findings.
func (o *outputs) status(fail threshold, r *checks.Run) int {
	switch {
	case r.Counts.Judged == 0:
		complain(o.around.stderr, errors.New("nothing was checked: no value was compared with a limit"))
		return exitTrouble
	case o.failed || len(r.Problems) > 0 || r.Counts.Problems > 0 || r.Counts.Unread > 0:
		return exitTrouble
	case fail.reached(o.counts(r)):
		return exitFindings
	}
	return exitClean
}
