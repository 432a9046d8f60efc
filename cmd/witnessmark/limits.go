package main

import (
	"errors"

	"github.com/urfave/cli/v2"
)

// limitsCommand is `witnessmark limits`. It leaves the exit status in status.
func limitsCommand(around surroundings, status *int) *cli.Command {
	return &cli.Command{
		Name:            "limits",
		Usage:           "list the limits there are, or check their definitions",
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Subcommands:     []*cli.Command{limitsCheckCommand(around, status)},
		Action:          func(*cli.Context) error { return errors.New("not built yet") },
	}
}
