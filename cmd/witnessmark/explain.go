package main

import (
	"errors"

	"github.com/urfave/cli/v2"
)

// explainCommand is `witnessmark explain`.
func explainCommand(_ surroundings) *cli.Command {
	return &cli.Command{
		Name:            "explain",
		Usage:           "explain a limit, a measure, a field, an outcome or a rule set",
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Action:          func(*cli.Context) error { return errors.New("not built yet") },
	}
}
