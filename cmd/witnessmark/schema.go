package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"witnessmark.example/checks/define"
	"witnessmark.example/schema"
)

// schemaCommand is `witnessmark schema`: it puts the tool's definitions where the
// plain cue command and editors find them, so that a firm's own files can be
// written with completion and checked by hand. The tool itself never reads them
// from there.
func schemaCommand(around surroundings) *cli.Command {
	return &cli.Command{
		Name:      "schema",
		Usage:     "write the definitions for editors and the cue command",
		UsageText: "witnessmark schema --cue [DIR]",
		Description: `Writes the CUE definitions of this version below DIR (by default the folder of the
root file, looked for from here) into cue.mod/pkg, and a cue.mod/module.cue if
there is none. "cue vet -c=false ./..." then checks the firm's definitions by
hand. The linter never reads these copies; keep them out of git if you like.

` + exitHelp,
		HideHelpCommand: true,
		OnUsageError:    func(_ *cli.Context, err error, _ bool) error { return err },
		Flags:           []cli.Flag{&cli.BoolFlag{Name: "cue", Usage: "write the CUE module", DisableDefaultText: true}},
		Action: func(c *cli.Context) error {
			if !c.Bool("cue") {
				return errors.New("say what to write: --cue")
			}
			if c.Args().Len() > 1 {
				return errors.New("name one folder at the most")
			}
			dir, err := schemaFolder(c.Args().First(), around)
			if err != nil {
				return err
			}
			n, err := writeSchema(dir)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(around.stdout, "%d files of definitions written below %s\n", n, filepath.ToSlash(filepath.Join(dir, "cue.mod")))
			return err
		},
	}
}

// schemaFolder is the folder given, or that of the root file above here.
func schemaFolder(given string, around surroundings) (string, error) {
	here, err := around.folder()
	if err != nil {
		return "", err
	}
	if given != "" {
		if !filepath.IsAbs(given) {
			given = filepath.Join(here, given)
		}
		if info, err := os.Stat(given); err != nil || !info.IsDir() {
			return "", fmt.Errorf("%s is no folder", given)
		}
		return given, nil
	}
	for dir := here; ; dir = filepath.Dir(dir) {
		if _, err := os.Lstat(filepath.Join(dir, define.RootFile)); err == nil {
			return dir, nil
		}
		if dir == filepath.Dir(dir) {
			return "", fmt.Errorf("no root file %s here or above; name a folder", define.RootFile)
		}
	}
}

const moduleFile = `module: "firm.example@v0"
language: version: "v0.17.0"
`

// writeSchema writes the definitions below a folder. What is already the same is
// left alone, so that editors do not reload for nothing.
func writeSchema(dir string) (int, error) {
	written := 0
	err := fs.WalkDir(schema.Files, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || path.Ext(name) != ".cue" || strings.HasPrefix(name, "cue.mod/") {
			return err
		}
		data, err := fs.ReadFile(schema.Files, name)
		if err != nil {
			return err
		}
		written++
		return writeIfChanged(filepath.Join(dir, "cue.mod", "pkg", filepath.FromSlash(define.Module), filepath.FromSlash(name)), data)
	})
	if err != nil {
		return 0, fmt.Errorf("write the definitions: %w", err)
	}
	module := filepath.Join(dir, "cue.mod", "module.cue")
	if _, err := os.Stat(module); errors.Is(err, fs.ErrNotExist) {
		if err := os.WriteFile(module, []byte(moduleFile), 0o644); err != nil {
			return 0, fmt.Errorf("write the definitions: %w", err)
		}
	}
	return written, nil
}

func writeIfChanged(name string, data []byte) error {
	if old, err := os.ReadFile(name); err == nil && string(old) == string(data) {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	return os.WriteFile(name, data, 0o644)
}
