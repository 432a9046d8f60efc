package main

import (
	"errors"

	"github.com/urfave/cli/v2"
)

// limitsCheckCommand is `witnessmark limits check`. It leaves the exit status in
// status.
func limitsCheckCommand(_ surroundings, _ *int) *cli.Command {
	return &cli.Command{
		Name:            "check",
		Usage:           "look for mistakes in the definitions",
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Action:          func(*cli.Context) error { return errors.New("not built yet") },
	}
}
