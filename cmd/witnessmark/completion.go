package main

import (
	_ "embed"
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"
)

// The scripts hand what was typed to `witnessmark complete` and show what it says,
// so that they never fall behind the commands.
var (
	//go:embed completion/witnessmark.bash
	bashCompletion string
	//go:embed completion/witnessmark.zsh
	zshCompletion string
	//go:embed completion/witnessmark.fish
	fishCompletion string
)

// completionCommand is `witnessmark completion`.
func completionCommand(around surroundings) *cli.Command {
	return &cli.Command{
		Name:            "completion",
		Usage:           "write the completion of commands, options and their values for a shell",
		UsageText:       "witnessmark completion bash|zsh|fish",
		Description:     completionHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Action: func(c *cli.Context) error {
			scripts := map[string]string{"bash": bashCompletion, "zsh": zshCompletion, "fish": fishCompletion}
			if c.Args().Len() != 1 {
				return errors.New("name one shell: bash, zsh or fish")
			}
			script, ok := scripts[c.Args().First()]
			if !ok {
				return unknownWord(c.Args().First(), []string{"bash", "zsh", "fish"})
			}
			_, err := fmt.Fprint(around.stdout, script)
			return err
		},
	}
}

const completionHelp = `Writes to standard output the script that makes a shell complete what is typed
behind witnessmark: commands, options, their words, formats, rule sets, measures,
names to explain, files and folders. For one session:

   source <(witnessmark completion bash)      bash, zsh
   witnessmark completion fish | source       fish

For good, write it where the shell looks: the bash-completion folder as witnessmark,
a folder of fpath as _witnessmark, or completions/witnessmark.fish.

` + exitHelp

// completeCommand is the hidden `witnessmark complete -- WORD…`, which the scripts
// ask. WORDs are what stands behind the name of the program up to the cursor, the
// last of them the one that is being typed. See suggestion.text for what it prints.
func completeCommand(around surroundings) *cli.Command {
	return &cli.Command{
		Name:            "complete",
		Usage:           "say what may be typed next, for the scripts of completion",
		UsageText:       "witnessmark complete -- WORD…",
		Hidden:          true,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Action: func(c *cli.Context) error {
			words := c.Args().Slice()
			if len(words) == 0 {
				words = []string{""}
			}
			_, err := fmt.Fprint(around.stdout, suggest(words, c.App, &names{around: around}).text())
			return err
		},
	}
}

// suggestion is what may be typed next.
type suggestion struct {
	kind   kind
	prefix string // what of the word stands before the path
	words  []word
}

// kind tells whether words, files or folders are wanted.
type kind string

const (
	someWord kind = ":words"
	aFile    kind = ":files"
	aFolder  kind = ":folders"
)

// word is a whole word, and what it means; that may be empty.
type word struct{ text, meaning string }

// text is a first line with the kind and, behind a blank, the prefix; then a line for
// each word, with its meaning behind a tab.
func (s suggestion) text() string {
	var b strings.Builder
	b.WriteString(strings.TrimRight(string(s.kind)+" "+s.prefix, " ") + "\n")
	for _, w := range s.words {
		b.WriteString(w.text)
		if w.meaning != "" {
			b.WriteString("\t" + w.meaning)
		}
		b.WriteByte('\n')
	}
	return b.String()
}
