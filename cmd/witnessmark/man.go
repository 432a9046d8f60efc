package main

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/cpuguy83/go-md2man/v2/md2man"
	"github.com/urfave/cli/v2"
)

// manCommand is `witnessmark man`.
func manCommand(around surroundings) *cli.Command {
	return &cli.Command{
		Name:      "man",
		Usage:     "write the manual page",
		UsageText: "witnessmark man",
		Description: `Writes to standard output the manual page, with the help of every command.

   witnessmark man > witnessmark.1
   man -l witnessmark.1

` + exitHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return errors.New("man takes no arguments")
			}
			_, err := fmt.Fprintf(around.stdout, "%s", manPage(c.App, around.version))
			return err
		},
	}
}

// manPage is the manual page in roff. It is made from the definitions of the
// commands; the page of the command-line library leaves their descriptions out.
func manPage(app *cli.App, version string) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%% %[1]s 1 \"\" \"%[1]s %[2]s\"\n\n# NAME\n\n%[1]s - %[3]s\n\n# SYNOPSIS\n\n", app.Name, version, app.Usage)
	synopsis(&b, app.UsageText)
	b.WriteString("# DESCRIPTION\n\n")
	literal(&b, app.Description)
	b.WriteString("# OPTIONS\n\n")
	manOptions(&b, app.VisibleFlags())
	b.WriteString("# COMMANDS\n\n")
	manCommands(&b, app.Name, app.VisibleCommands())
	return portable(md2man.Render([]byte(b.String())))
}

// portable writes every sign outside ASCII by its number, so that no reader has to
// know the encoding, and every - as one that can be copied into a command.
func portable(page []byte) []byte {
	var b strings.Builder
	for line := range strings.Lines(string(page)) {
		if !strings.HasPrefix(line, ".") {
			line = strings.ReplaceAll(strings.ReplaceAll(line, `\-`, "-"), "-", `\-`)
		}
		for _, r := range line {
			if r < utf8.RuneSelf {
				b.WriteRune(r)
				continue
			}
			fmt.Fprintf(&b, `\[u%04X]`, r)
		}
	}
	return []byte(b.String())
}

func manCommands(b *strings.Builder, before string, commands []*cli.Command) {
	for _, c := range commands {
		if c.Hidden || c.Name == "help" {
			continue
		}
		name := before + " " + c.Name
		fmt.Fprintf(b, "### %s\n\n%s\n\n", name, escaped(c.Usage))
		synopsis(b, c.UsageText)
		literal(b, c.Description)
		manOptions(b, c.VisibleFlags())
		manCommands(b, name, c.Subcommands)
	}
}

func synopsis(b *strings.Builder, lines string) {
	for line := range strings.SplitSeq(lines, "\n") {
		fmt.Fprintf(b, "**%s**\n\n", escaped(line))
	}
}

// literal keeps the lines of a text as they are.
func literal(b *strings.Builder, text string) {
	for line := range strings.SplitSeq(strings.Trim(text, "\n"), "\n") {
		b.WriteString("    " + line + "\n")
	}
	b.WriteString("\n")
}

func manOptions(b *strings.Builder, flags []cli.Flag) {
	for _, f := range flags {
		d, ok := f.(cli.DocGenerationFlag)
		if !ok {
			continue
		}
		var names []string
		for _, n := range f.Names() {
			dashes := "--"
			if len(n) == 1 {
				dashes = "-"
			}
			names = append(names, "**"+dashes+escaped(n)+"**")
		}
		b.WriteString(strings.Join(names, ", "))
		if value := placeholderOf(f); d.TakesValue() && value != "" {
			b.WriteString(" *" + escaped(value) + "*")
		}
		usage := escaped(strings.ReplaceAll(d.GetUsage(), "`", ""))
		if text := d.GetDefaultText(); d.TakesValue() && text != "" {
			usage += " (default: " + escaped(strings.Trim(text, `"`)) + ")"
		}
		fmt.Fprintf(b, "\n:   %s\n\n", usage)
	}
}

// escaped keeps Markdown from reading marks into plain text.
func escaped(text string) string {
	return strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "|", `\|`).Replace(text)
}
