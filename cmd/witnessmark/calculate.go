package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/report"
)

// calculateCommand is `witnessmark calculate`. It leaves the exit status in status.
func calculateCommand(around surroundings, status *int) *cli.Command {
	return &cli.Command{
		Name:            "calculate",
		Usage:           "calculate one measure from values given by hand, step by step",
		UsageText:       "witnessmark calculate [OPTION…] MEASURE KEY=VALUE…\nwitnessmark calculate --list [TEXT]",
		Description:     calculateHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "list", Usage: "list what can be calculated, or what of it has TEXT in its name, label, meaning or formula", DisableDefaultText: true},
			&cli.StringFlag{Name: "output", Usage: "write `text|json` to standard output", Value: "text"},
			&cli.StringFlag{Name: "root", Usage: "`DIR` of the root file witnessmark.cue (default: looked for above the working folder)"},
			&cli.StringFlag{Name: "color", Usage: "colour text `auto|always|never`", Value: "auto"},
		},
		Action: func(c *cli.Context) error {
			r, err := readCalculateRequest(c)
			if err != nil {
				return err
			}
			*status, err = r.run(around)
			return err
		},
	}
}

const calculateHelp = `Calculates MEASURE by the same functions, tables and sums as lint, and shows the
formula, every input, every step with where its figure comes from, the result, and
where the formula holds. Without values it says what the measure takes.

KEY is the symbol of the formula (n), the fact in full (stacks.modules), or its last
parts (modules) where these name one value only; what goes into the measure itself
comes before what goes into its inputs. VALUE is written as in a job file: a quantity
in any unit of its kind, a whole number, a word, true or false. Quote values with
spaces. Figures of datasheets are given in the same way; products are not read.

   witnessmark calculate stacks.energy n=4 E="2.4 kWh"
   witnessmark calculate stacks.energy modules=4 module.energy=8.64MJ

An input that is itself calculated can be given, or what it is calculated from. For a
sum, the smallest or the largest of several entries the key is repeated, once for each
entry; a value that is the same for all is given once. For a count, the number:

   witnessmark calculate units.energy energy="5 kWh" energy="6 kWh"
   witnessmark calculate units.energy n=4 n=5 E="2.4 kWh"
   witnessmark calculate units.stack_count stacks=2

The result is an aid to checking. It judges nothing and replaces neither the code nor
licensed practice.

Exit status: 0 when the measure was calculated or listed, 2 when it was not: values are
missing or wrong, or the calculation does not reach that far (a size outside a table).
With --output json that is written as JSON too, to standard output.
`

// calculateRequest is what the options and arguments of calculate ask for.
type calculateRequest struct {
	list                 bool
	measure              string // with list: the text to look for
	given                []checks.Given
	output, root, colour string
}

// readCalculateRequest reads options and arguments; an error is one of usage.
func readCalculateRequest(c *cli.Context) (*calculateRequest, error) {
	r := &calculateRequest{list: c.Bool("list"), measure: c.Args().First(), output: c.String("output"), root: c.String("root"), colour: c.String("color")}
	if err := errors.Join(oneOf("output", r.output, "text", "json"), oneOf("color", r.colour, "auto", "always", "never")); err != nil {
		return nil, err
	}
	if r.list {
		if c.Args().Len() > 1 {
			return nil, errors.New("--list takes one text at the most; quote one with spaces")
		}
		return r, nil
	}
	if r.measure == "" || strings.Contains(r.measure, "=") {
		return nil, errors.New("name a measure before its values, such as stacks.energy; \"witnessmark calculate --list\" lists them")
	}
	for _, text := range c.Args().Tail() {
		key, value, ok := strings.Cut(text, "=")
		if !ok || key == "" || value == "" {
			return nil, fmt.Errorf("%q gives no value; write KEY=VALUE, quoted if there are spaces in it", text)
		}
		r.given = append(r.given, checks.Given{Key: strings.TrimSpace(key), Value: strings.TrimSpace(value)})
	}
	return r, nil
}

// run calculates or lists.
func (r *calculateRequest) run(around surroundings) (int, error) {
	here, err := around.folder()
	if err != nil {
		return exitTrouble, err
	}
	options := checks.Options{Paths: []string{here}, Version: around.version}
	if r.root != "" {
		if !filepath.IsAbs(r.root) {
			r.root = filepath.Join(here, r.root)
		}
		options.Paths, options.Root = []string{r.root}, r.root
	}
	library, err := checks.OpenLibrary(options)
	if err != nil {
		return exitTrouble, err
	}
	settings := report.Settings{Colour: colourFor(r.colour, true, around)}
	if r.list {
		measures := library.Measures(r.measure)
		if r.output == "json" {
			return exitClean, show(around, report.MeasuresJSON(measures, library.Helpers(), around.version))
		}
		return exitClean, show(around, report.MeasuresText(measures, library.Helpers(), settings))
	}
	measure, err := library.Measure(r.measure)
	if err != nil {
		return exitTrouble, fmt.Errorf("%w; \"witnessmark calculate --list\" lists what can be calculated", err)
	}
	result, err := library.Calculate(measure, r.given)
	var not *checks.NotCalculated
	switch {
	case errors.As(err, &not) && r.output == "json":
		return exitTrouble, show(around, report.NotCalculatedJSON(not, around.version))
	case errors.As(err, &not):
		_, _ = around.stderr.Write(report.NotCalculatedText(not, report.Settings{})) // there is nowhere else to complain
		return exitTrouble, nil
	case err != nil:
		return exitTrouble, err
	case r.output == "json":
		return exitClean, show(around, report.CalculatedJSON(result, around.version))
	}
	return exitClean, show(around, report.CalculatedText(result, settings))
}

// show writes to standard output. A reader that went away has what it wanted.
func show(around surroundings, text []byte) error {
	if _, err := around.stdout.Write(text); err != nil && !errors.Is(err, syscall.EPIPE) {
		return fmt.Errorf("write standard output: %w", report.Cause(err))
	}
	return nil
}
