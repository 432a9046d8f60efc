// Command witnessmark judges the job files of battery-storage installations
// against the limits of codes, standards, datasheets and a firm's own policy.
//
// What the process is given (arguments, environment, terminal, clock, working
// folder) is looked at here, once, and passed down.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"witnessmark.example/checks"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/cmd/witnessmark/report"
)

// Exit statuses.
const (
	exitClean    = 0 // nothing to act on
	exitFindings = 1 // findings at or above the threshold
	exitTrouble  = 2 // something could not be checked or written
)

// surroundings are what a command is given from outside.
type surroundings struct {
	stdout, stderr io.Writer
	terminal       bool // stdout is one
	columns        int  // of the terminal that stdout is; 0 where it is none or does not say
	errTerminal    bool // stderr is one
	errColumns     int
	stdoutIsFile   bool // one that keeps what is written, not a pipe or a device
	env            func(string) string
	now            func() time.Time
	folder         func() (string, error) // the working folder
	version        string                 // of the command; it stands in reports
	built          string                 // what else --version says of the build
	shipped        *checks.Shipped        // for tests: what ships with the tool, read before
	lint           func(context.Context, checks.Options, ...checks.Sink) (*checks.Run, error)
}

func main() {
	// A reader that goes away is an error of the write, not the end of the process:
	// the other reports are still to be written.
	signal.Ignore(syscall.SIGPIPE)
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400) // a run is short and holds little; measured 10 to 15 % faster, see DEVELOPERS.md
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	built := thisBuild()
	status := run(ctx, os.Args, surroundings{
		stdout: os.Stdout, stderr: os.Stderr, terminal: isatty.IsTerminal(os.Stdout.Fd()), columns: columnsOf(os.Stdout),
		errTerminal: isatty.IsTerminal(os.Stderr.Fd()), errColumns: columnsOf(os.Stderr), stdoutIsFile: isFile(os.Stdout),
		env: os.Getenv, now: time.Now, folder: os.Getwd, version: built.version, built: built.details(), lint: checks.Lint,
	})
	stop()
	os.Exit(status)
}

// columnsOf is the width of a terminal; 0 where there is none or it does not say.
func columnsOf(f *os.File) int {
	columns, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return columns
}

func isFile(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode().IsRegular()
}

// run is the whole program; it returns the exit status.
func run(ctx context.Context, args []string, around surroundings) int {
	status := exitClean
	commands := commandsOf(around, &status)
	app := &cli.App{
		Name:        "witnessmark",
		Usage:       "check battery-storage job files against the limits that apply to them",
		UsageText:   "witnessmark COMMAND [OPTION…] [ARGUMENT…]",
		Description: "Reads a firm's job files and says, job by job, what is outside a limit, which document sets\nit, by how much, what is not yet recorded and what could not be checked.\n\n" + exitHelp + "\n\n\"witnessmark COMMAND --help\" explains a command.",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "version", Usage: "print the version, the commit it was built from, and stop", DisableDefaultText: true},
		},
		Commands:                  commands,
		HideHelpCommand:           true,
		HideVersion:               true,
		DisableSliceFlagSeparator: true, // a path may have commas in it
		Writer:                    around.stdout,
		ErrWriter:                 around.stderr,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              func(_ *cli.Context, err error, _ bool) error { return err },
		Action: func(c *cli.Context) error {
			if c.Bool("version") {
				_, err := fmt.Fprintf(around.stdout, "witnessmark %s\n%s", around.version, around.built)
				return err
			}
			if name := c.Args().First(); name != "" {
				return unknownCommand(name, commands)
			}
			return errors.New("name a command; \"witnessmark --help\" lists them")
		},
	}
	args, err := arrange(args, app)
	if err == nil {
		err = app.RunContext(ctx, args)
	}
	if err != nil {
		complain(around.stderr, err)
		return exitTrouble
	}
	return status
}

// commandsOf lists the commands; they leave the exit status in status.
func commandsOf(around surroundings, status *int) []*cli.Command {
	return []*cli.Command{
		lintCommand(around, status), explainCommand(around), calculateCommand(around, status), limitsCommand(around, status),
		firmCommand(around), schemaCommand(around), completionCommand(around), manCommand(around), completeCommand(around),
	}
}

const exitHelp = "Exit status: 0 when there is nothing to act on, 1 when there are findings at or above the\nthreshold, 2 when something could not be checked or written, which is never a pass."

func unknownCommand(name string, commands []*cli.Command) error {
	var names []string
	for _, c := range commands {
		if !c.Hidden {
			names = append(names, c.Name)
		}
	}
	return fmt.Errorf("there is no command %q%s", name, nearest.Hint(nearest.Of(name, names)))
}

// complain writes an error to standard error as one plain line; of several that are
// joined, each. It may quote file names and arguments, so it goes through the
// escaping as well.
func complain(w io.Writer, err error) {
	if several, ok := err.(interface{ Unwrap() []error }); ok && errors.Join(several.Unwrap()...).Error() == err.Error() {
		for _, one := range several.Unwrap() {
			complain(w, one)
		}
		return
	}
	_, _ = fmt.Fprintln(w, "witnessmark: "+report.Shown(err.Error())) // there is nowhere else to complain
}
