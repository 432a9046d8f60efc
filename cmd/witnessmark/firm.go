package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"syscall"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
	"witnessmark.example/cmd/witnessmark/report"
)

// firmCommand is `witnessmark firm`: where the repository of the firm is, and
// what it keeps.
func firmCommand(around surroundings) *cli.Command {
	return &cli.Command{
		Name:            "firm",
		Usage:           "print where the firm's repository is and what it keeps",
		UsageText:       "witnessmark firm [OPTION…] [PATH]",
		Description:     firmHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Usage: "write `text|json|root`", Value: "text"},
			&cli.StringFlag{Name: "root", Usage: "`DIR` of the root file witnessmark.cue (default: looked for above the path)"},
		},
		Action: func(c *cli.Context) error {
			output := c.String("output")
			if err := oneOf("output", output, "text", "json", "root"); err != nil {
				return err
			}
			if c.Args().Len() > 1 {
				return errors.New("name one path at the most")
			}
			return printFirm(checks.Options{Paths: c.Args().Slice(), Root: c.String("root"), Version: around.version, Shipped: around.shipped}, output, around)
		},
	}
}

const firmHelp = `Finds the root file witnessmark.cue by walking up from PATH (by default the working
folder) and prints its folder, the folders of jobs, equipment data, rules and
registers with what is in them, how the firm writes, whom to call, and which rule
sets its jobs must name where. --output root prints the folder of the root file
alone, for scripts.

` + exitHelp + `
Without a root file it ends with 2.`

func printFirm(o checks.Options, output string, around surroundings) error {
	if len(o.Paths) == 0 && o.Root != "" {
		o.Paths = []string{o.Root}
	}
	if len(o.Paths) == 0 {
		here, err := around.folder()
		if err != nil {
			return err
		}
		o.Paths = []string{here}
	}
	library, err := checks.OpenLibrary(o)
	if err != nil {
		return err
	}
	if !library.HasFirm {
		return fmt.Errorf("no root file %s here or above; jobs here are judged by what ships with the tool alone", define.RootFile)
	}
	var text []byte
	switch output {
	case "root":
		text = append(report.AppendPath(nil, filepath.ToSlash(library.Root)), '\n')
	case "json":
		text = report.FirmJSON(library)
	default:
		text = report.FirmText(library)
	}
	if _, err := around.stdout.Write(text); err != nil && !errors.Is(err, syscall.EPIPE) {
		return fmt.Errorf("write standard output: %w", report.Cause(err))
	}
	if n := len(library.Faults); n > 0 {
		return fmt.Errorf("%s in the definitions; \"witnessmark limits check\" lists them", plural(n, "mistake"))
	}
	return nil
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
