//go:build ignore

// Packs folders into archives whose bytes depend on what is in the files and on
// nothing else, and writes checksums.txt over them:
//
//	go run .ci/pack.go -time SECONDS -out FOLDER STAGE…
//
// Each STAGE becomes FOLDER/STAGE.tar.gz, or .zip where its name has _windows_ in it.
// Every entry has the time given, no owner, and one of two modes; entries stand in the
// order of their names.
package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

func main() {
	seconds := flag.Int64("time", -1, "of every entry, in `SECONDS` since 1970")
	out := flag.String("out", "", "`FOLDER` to write to")
	flag.Parse()
	if err := run(time.Unix(*seconds, 0).UTC(), *out, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(2)
	}
}

func run(at time.Time, out string, stages []string) error {
	if at.Unix() < 0 || out == "" || len(stages) == 0 {
		return errors.New("say -time, -out and what to pack")
	}
	var sums strings.Builder
	for _, stage := range stages {
		name, write := filepath.Base(stage)+".tar.gz", tarball
		if strings.Contains(name, "_windows_") {
			name, write = filepath.Base(stage)+".zip", zipped
		}
		f, err := os.OpenFile(filepath.Join(out, name), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		sum := sha256.New()
		if err := errors.Join(write(io.MultiWriter(f, sum), stage, at), f.Close()); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		fmt.Fprintf(&sums, "%x  %s\n", sum.Sum(nil), name)
	}
	return os.WriteFile(filepath.Join(out, "checksums.txt"), []byte(sums.String()), 0o644)
}

// each hands on every file of a folder in the order of their names, by its name in the
// archive. Whatever is neither file nor folder is an error.
func each(stage string, add func(name string, mode fs.FileMode, data []byte) error) error {
	return filepath.WalkDir(stage, func(file string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		if !info.Mode().IsRegular() {
			return fmt.Errorf("%s is no plain file", file)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		inside, err := filepath.Rel(stage, file)
		if err != nil {
			return err
		}
		mode := fs.FileMode(0o644)
		if info.Mode()&0o100 != 0 {
			mode = 0o755
		}
		return add(path.Join(filepath.Base(stage), filepath.ToSlash(inside)), mode, data)
	})
}

func tarball(w io.Writer, stage string, at time.Time) error {
	packed, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	t := tar.NewWriter(packed)
	err = each(stage, func(name string, mode fs.FileMode, data []byte) error {
		err := t.WriteHeader(&tar.Header{Typeflag: tar.TypeReg, Format: tar.FormatPAX, Name: name, Size: int64(len(data)), Mode: int64(mode), ModTime: at})
		if err == nil {
			_, err = t.Write(data)
		}
		return err
	})
	return errors.Join(err, t.Close(), packed.Close())
}

func zipped(w io.Writer, stage string, at time.Time) error {
	z := zip.NewWriter(w)
	err := each(stage, func(name string, mode fs.FileMode, data []byte) error {
		h := &zip.FileHeader{Name: name, Method: zip.Deflate, Modified: at}
		h.SetMode(mode)
		f, err := z.CreateHeader(h)
		if err == nil {
			_, err = f.Write(data)
		}
		return err
	})
	return errors.Join(err, z.Close())
}
