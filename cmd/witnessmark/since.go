package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
	"witnessmark.example/cmd/witnessmark/gitbase"
	"witnessmark.example/cmd/witnessmark/since"
)

// sinceHelp is what the help of lint says of --since.
const sinceHelp = `With --since REF the commit that HEAD and REF both come from (the merge base) is
judged too, whole, by the same version and as of the same time; the files as they
lie are compared with it. A finding is new where the base does not have it, has it
with another outcome, only as advisory, or with a value nearer to the limit; else it
is known. What the base had is fixed where it is now judged well, and gone where
it is not judged any more. Jobs are shown whose file differs or in which something
is new, fixed or gone; all of them where definitions differ. --fail-on then counts
new findings only; the known ones are counted and said. What could not be read
ends with 2.`

// compare judges the base of --since and makes ready what compares the run with it.
// It changes r so that what ships with the tool is read once for both.
func compare(ctx context.Context, r *request, around surroundings) (*since.Comparison, error) {
	extent, err := checks.ExtentOf(r.options)
	if err != nil {
		return nil, err
	}
	git, err := gitbase.Read(ctx, extent.Folder, r.since)
	if err != nil {
		return nil, sinceError(ctx, err)
	}
	defer git.Close()
	if _, err := fs.Stat(git.Files, define.RootFile); extent.HasRoot && err != nil {
		return nil, fmt.Errorf("--since: at the base %s there was no root file %s here, so that its jobs cannot be judged in the same way; name a later commit, or lint without --since", git.Short(), define.RootFile)
	}
	if r.options.Shipped == nil {
		if r.options.Shipped, err = checks.ReadShipped(); err != nil {
			return nil, err
		}
	}
	base := since.NewBase()
	_, err = around.lint(ctx, checks.Options{Paths: []string{"."}, FS: git.Files, Shipped: r.options.Shipped, AsOf: r.options.AsOf, Workers: r.options.Workers,
		Version: r.options.Version, WithoutProposals: true, Redact: r.options.Redact}, base)
	if err != nil {
		return nil, sinceError(ctx, err)
	}
	head := os.DirFS(extent.Folder)
	return since.NewComparison(base, since.Options{Ref: r.since, Commit: git.Commit, Uncommitted: git.Uncommitted, Notes: git.Notes,
		Changed: since.Definitions(git.Files, head), Moved: since.Moves(base, git.Files, head), Wanted: extent.Wants}), nil
}

func sinceError(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return errors.New("the run was broken off before it was complete; no report was written")
	}
	return fmt.Errorf("--since: %w", err)
}
