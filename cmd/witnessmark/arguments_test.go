package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
)

// nested is a program with a command that has commands of its own.
func nested() *cli.App {
	colour := &cli.StringFlag{Name: "color"}
	return &cli.App{Name: "w", Flags: []cli.Flag{&cli.BoolFlag{Name: "version"}}, Commands: []*cli.Command{
		{Name: "lint", Flags: []cli.Flag{colour}},
		{Name: "limits", Flags: []cli.Flag{colour, &cli.StringFlag{Name: "for"}, &cli.BoolFlag{Name: "blocking"}}, Subcommands: []*cli.Command{
			{Name: "check", Flags: []cli.Flag{colour, &cli.StringSliceFlag{Name: "only"}, &cli.BoolFlag{Name: "strict"}}},
		}},
	}}
}

func TestArrange(t *testing.T) {
	for _, c := range []struct{ given, want []string }{
		{[]string{"lint", "a", "--color", "never"}, []string{"lint", "--color", "never", "--", "a"}},
		{[]string{"limits", "--color", "never", "--for", "x"}, []string{"limits", "--color", "never", "--for", "x"}},
		{[]string{"limits", "check", "--color", "never", "a"}, []string{"limits", "check", "--color", "never", "--", "a"}},
		{[]string{"limits", "check", "a", "--strict", "b", "--only=x"}, []string{"limits", "check", "--strict", "--only=x", "--", "a", "b"}},
		{[]string{"limits", "--color", "never", "check", "a"}, []string{"limits", "check", "--color", "never", "--", "a"}},
		{[]string{"limits", "--strict", "check", "a"}, []string{"limits", "check", "--strict", "--", "a"}},
		{[]string{"limits", "--only", "check", "check", "a"}, []string{"limits", "check", "--only", "check", "--", "a"}},
		{[]string{"limits", "check", "check"}, []string{"limits", "check", "--", "check"}},
		{[]string{"limits", "check", "--", "--only"}, []string{"limits", "check", "--", "--only"}},
		{[]string{"limits", "--for", "check"}, []string{"limits", "--for", "check"}},
		{[]string{"limits", "chek", "check"}, []string{"limits", "--", "chek", "check"}},
		{[]string{"limits", "check", "a", "-h"}, []string{"limits", "check", "--help"}},
		{[]string{"limits", "--help"}, []string{"limits", "--help"}},
		{[]string{"lint", "check"}, []string{"lint", "--", "check"}},
		{[]string{"--version", "limits", "check"}, []string{"--version", "limits", "check"}},
	} {
		given := append([]string{"w"}, c.given...)
		before := append([]string(nil), given...)
		got, err := arrange(given, nested())
		require.NoError(t, err, c.given)
		assert.Equal(t, append([]string{"w"}, c.want...), got, c.given)
		assert.Equal(t, before, given, "what was given is left as it is")
	}
	for _, c := range []struct {
		given []string
		want  string
	}{
		{[]string{"limits", "--strict"}, "there is no option --strict here"},
		{[]string{"limits", "--blocking", "check"}, "there is no option --blocking here"},
		{[]string{"limits", "check", "--colr", "never"}, `there is no option --colr here; did you mean "--color"?`},
		{[]string{"limits", "check", "a", "--only"}, "option --only needs a value"},
	} {
		_, err := arrange(append([]string{"w"}, c.given...), nested())
		assert.ErrorContains(t, err, c.want)
	}
}
