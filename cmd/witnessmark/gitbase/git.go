package gitbase

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
)

// git runs the git command in one folder.
type git struct {
	program string
	folder  string
	env     []string
}

func newGit(folder string) (*git, error) {
	program, err := exec.LookPath("git")
	if err != nil {
		return nil, errors.New("the git command was not found; install git, or lint without --since")
	}
	return &git{program: program, folder: folder, env: ownEnvironment(os.Environ())}, nil
}

// elsewhere are variables that make git look at another repository than the one the
// folder belongs to, as a hook sets some, read paths as patterns, or say more than it is
// asked; and those that are set anew.
var elsewhere = []string{"GIT_DIR", "GIT_WORK_TREE", "GIT_COMMON_DIR", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_NAMESPACE", "GIT_IMPLICIT_WORK_TREE",
	"GIT_OBJECT_DIRECTORY", "GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_SHALLOW_FILE", "GIT_GRAFT_FILE", "GIT_REPLACE_REF_BASE",
	"GIT_LITERAL_PATHSPECS", "GIT_GLOB_PATHSPECS", "GIT_NOGLOB_PATHSPECS", "GIT_ICASE_PATHSPECS",
	"GIT_TRACE", "LANGUAGE", "LC_ALL", "GIT_OPTIONAL_LOCKS", "GIT_TERMINAL_PROMPT"}

// ownEnvironment is an environment in which git looks at the folder it runs in, speaks
// English, asks nothing and writes nothing.
func ownEnvironment(env []string) []string {
	var out []string
	for _, one := range env {
		name, _, _ := strings.Cut(one, "=")
		drop := false
		for _, e := range elsewhere {
			drop = drop || strings.EqualFold(name, e)
		}
		if !drop {
			out = append(out, one)
		}
	}
	return append(out, "LC_ALL=C", "GIT_OPTIONAL_LOCKS=0", "GIT_TERMINAL_PROMPT=0")
}

// command makes a call of git. A monitor of the work tree that the repository's
// settings name is not started: it is a program of somebody's choice.
func (g *git) command(ctx context.Context, args ...string) *exec.Cmd {
	c := exec.CommandContext(ctx, g.program, append([]string{"--no-pager", "--literal-pathspecs", "-c", "core.fsmonitor=false"}, args...)...)
	c.Dir, c.Env = g.folder, g.env
	return c
}

// failure is a call of git that did not end with 0.
type failure struct {
	call   string
	status int
	says   string // what git wrote to standard error
}

func (f *failure) Error() string {
	says := f.says
	if says == "" {
		says = fmt.Sprintf("it ended with %d", f.status)
	}
	return "git " + f.call + ": " + says
}

// output runs git and returns what it wrote to standard output.
func (g *git) output(ctx context.Context, args ...string) (string, error) {
	c := g.command(ctx, args...)
	var out, trouble bytes.Buffer
	c.Stdout, c.Stderr = &out, &trouble
	err := c.Run()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return out.String(), nil
	case ctx.Err() != nil:
		return "", context.Cause(ctx)
	case errors.As(err, &exit):
		return "", &failure{call: args[0], status: exit.ExitCode(), says: strings.Join(strings.Fields(trouble.String()), " ")}
	}
	return "", fmt.Errorf("git %s could not be run: %w", args[0], err)
}

// line is output without the line end.
func (g *git) line(ctx context.Context, args ...string) (string, error) {
	out, err := g.output(ctx, args...)
	return strings.TrimSuffix(out, "\n"), err
}

// object returns the name of the object that an expression means; ok is false where
// there is none. The expression can be no option.
func (g *git) object(ctx context.Context, expression string) (name string, ok bool, err error) {
	name, err = g.line(ctx, "rev-parse", "--verify", "--quiet", "--end-of-options", expression)
	var f *failure
	if errors.As(err, &f) {
		return "", false, nil
	}
	return name, err == nil && isName(name), err
}

// isName tells whether a text is the full name of one object; of ^main git would write
// one with a sign before it.
func isName(text string) bool {
	return len(text) >= 40 && strings.Trim(text, "0123456789abcdef") == ""
}
