// Package gitbase reads a firm's repository as it was at the commit where a branch
// began. It asks the git command, which knows every form a clone can have (shallow,
// partial, work trees, objects kept elsewhere), and touches neither the work tree nor
// the index.
package gitbase

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
)

// Base is the state of a folder at a merge base. Close it after use.
type Base struct {
	Ref         string // as it was given
	Commit      string // full name of the merge base of HEAD and Ref
	Uncommitted int    // paths below the folder that are changed or new and not committed
	Files       fs.FS  // the folder at that commit
	Notes       []string

	tree *tree
}

// Read finds the merge base of HEAD and ref in the repository that a folder belongs
// to, and the folder as it was there. Every error says what to do about it.
func Read(ctx context.Context, folder, ref string) (*Base, error) {
	g, err := newGit(folder)
	if err != nil {
		return nil, err
	}
	if err := g.isRepository(ctx); err != nil {
		return nil, err
	}
	b := &Base{Ref: ref}
	head, ok, err := g.object(ctx, "HEAD^{commit}")
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, errors.New("there is no commit yet that HEAD leads to; commit something, or lint without --since")
	}
	other, err := g.commit(ctx, ref)
	if err != nil {
		return nil, err
	}
	if b.Commit, err = g.mergeBase(ctx, head, other, ref); err != nil {
		return nil, err
	}
	if b.Uncommitted, err = g.uncommitted(ctx, "."); err != nil {
		return nil, err
	}
	if same, err := b.isAsCommitted(ctx, g, head); err != nil {
		return nil, err
	} else if same {
		return nil, fmt.Errorf("nothing differs from %s: HEAD is itself the commit to compare with, and nothing is uncommitted; name the commit or branch that the change began from (after a merge HEAD~1), or lint without --since", ref)
	}
	if err := b.open(ctx, g); err != nil {
		return nil, err
	}
	if on, _ := g.line(ctx, "config", "--bool", "core.sparseCheckout"); on == "true" {
		b.Notes = append(b.Notes, "Only part of the repository is checked out (sparse checkout): a job file that is not checked out looks like one that was removed.")
	}
	return b, nil
}

// Close ends what reads the base.
func (b *Base) Close() { b.tree.close() }

// isRepository tells in plain words why a folder is in no work tree of git.
func (g *git) isRepository(ctx context.Context) error {
	inside, err := g.line(ctx, "rev-parse", "--is-inside-work-tree")
	var f *failure
	switch {
	case errors.As(err, &f) && strings.Contains(f.says, "dubious ownership"):
		return fmt.Errorf("git does not trust %s, since the folder belongs to another account; if it is yours: git config --global --add safe.directory FOLDER, with the folder of the repository", g.folder)
	case errors.As(err, &f) && strings.Contains(f.says, "not a git repository"):
		return fmt.Errorf("%s, where the root of the firm's repository is, belongs to no git repository; --since compares with a commit, so run it in a clone, or lint without --since", g.folder)
	case err != nil:
		return err
	case inside != "true":
		return fmt.Errorf("%s is no folder of a git work tree; run it where the files are checked out, or lint without --since", g.folder)
	}
	return nil
}

// commit returns the commit that a name given by the user means.
func (g *git) commit(ctx context.Context, ref string) (string, error) {
	if ref == "" || strings.HasPrefix(ref, "-") || strings.ContainsRune(ref, 0) {
		return "", fmt.Errorf("%q is no name of a commit; name a branch, a tag or a commit, as in --since origin/main", ref)
	}
	name, ok, err := g.object(ctx, ref+"^{commit}")
	if err != nil || ok {
		return name, err
	}
	if _, ok, _ := g.object(ctx, "refs/remotes/origin/"+ref+"^{commit}"); ok {
		return "", fmt.Errorf("git knows no commit %q here, but origin/%s; write --since origin/%s", ref, ref, ref)
	}
	return "", fmt.Errorf("git knows no commit %q here; look at its spelling, or fetch it first (git fetch origin BRANCH; in CI with fetch-depth: 0)", ref)
}

func (g *git) mergeBase(ctx context.Context, head, other, ref string) (string, error) {
	base, err := g.line(ctx, "merge-base", head, other)
	var f *failure
	if !errors.As(err, &f) || f.status != 1 {
		return base, err
	}
	if shallow, _ := g.line(ctx, "rev-parse", "--is-shallow-repository"); shallow == "true" {
		return "", fmt.Errorf("the commit that HEAD and %s both come from is not in this clone, which is shallow; git fetch --unshallow (in CI: fetch-depth: 0), then lint again", ref)
	}
	return "", fmt.Errorf("HEAD and %s have no commit in common, so there is no base to compare with; name another branch, or lint without --since", ref)
}

// isAsCommitted tells whether nothing can differ from the base: it is HEAD itself, and
// nothing is uncommitted, also above the folder, where links may lead.
func (b *Base) isAsCommitted(ctx context.Context, g *git, head string) (bool, error) {
	if b.Commit != head || b.Uncommitted > 0 {
		return false, nil
	}
	n, err := g.uncommitted(ctx)
	return n == 0, err
}

// uncommitted counts the paths that are not as in HEAD: all, or those below a folder.
func (g *git) uncommitted(ctx context.Context, below ...string) (int, error) {
	out, err := g.output(ctx, append([]string{"status", "--porcelain=v1", "-z", "--untracked-files=normal", "--"}, below...)...)
	if err != nil {
		return 0, err
	}
	n := 0
	entries := strings.Split(strings.TrimSuffix(out, "\x00"), "\x00")
	for i := 0; i < len(entries) && len(entries[i]) > 2; i++ {
		n++
		if strings.ContainsAny(entries[i][:2], "RC") {
			i++ // the path it came from
		}
	}
	return n, nil
}

// open makes the files of the base ready to be read. The whole tree is listed, so
// that links out of the folder lead to where they led then.
func (b *Base) open(ctx context.Context, g *git) error {
	top, err := g.line(ctx, "rev-parse", "--show-toplevel")
	if err != nil {
		return err
	}
	prefix, err := g.line(ctx, "rev-parse", "--show-prefix")
	if err != nil {
		return err
	}
	prefix = strings.TrimSuffix(prefix, "/")
	listing, err := g.output(ctx, "ls-tree", "-r", "-z", "--full-tree", b.Commit)
	if err != nil {
		return err
	}
	if b.tree, err = newTree(listing, filepath.FromSlash(top)); err != nil {
		return err
	}
	b.Files = b.tree
	if prefix != "" {
		if info, err := fs.Stat(b.tree, prefix); err != nil || !info.IsDir() {
			return fmt.Errorf("at the base %s there is no folder %s yet, so there is nothing to compare with; name a later commit, or lint without --since", b.Short(), prefix)
		}
		if b.Files, err = fs.Sub(b.tree, prefix); err != nil {
			return err
		}
	}
	for _, name := range b.tree.submodules {
		if prefix == "" || strings.HasPrefix(name, prefix+"/") {
			b.Notes = append(b.Notes, "The submodule "+strconv.Quote(name)+" was not read in the base: what is found in it counts as new.")
		}
	}
	return b.tree.start(ctx, g)
}

// Short is enough of the name of the merge base to tell it from others by eye.
func (b *Base) Short() string { return b.Commit[:min(12, len(b.Commit))] }
