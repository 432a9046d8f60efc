package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
)

// entry is what an archive says of one file.
type entry struct {
	name  string
	mode  fs.FileMode
	data  string
	owner string
	time  time.Time
}

// packedInto packs two stages whose files were made at a time, in an order and with a
// umask of their own, and returns the archives and their checksums by name.
func packedInto(t *testing.T, at time.Time, names []string, readable fs.FileMode) map[string]string {
	t.Helper()
	dir := t.TempDir()
	args := []string{"run", "../../.ci/pack.go", "-time", "1700000000", "-out", filepath.Join(dir, "out")}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "out"), 0o755))
	for _, stage := range []string{"w_1_linux_amd64", "w_1_windows_amd64"} {
		for _, n := range names {
			file := filepath.Join(dir, stage, n)
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
			mode := readable
			if n == "witnessmark" {
				mode |= 0o100
			}
			require.NoError(t, os.WriteFile(file, []byte("text of "+n), mode))
			require.NoError(t, os.Chtimes(file, at, at))
		}
		args = append(args, filepath.Join(dir, stage))
	}
	said, err := exec.Command("go", args...).CombinedOutput()
	require.NoError(t, err, string(said))
	files, err := os.ReadDir(filepath.Join(dir, "out"))
	require.NoError(t, err)
	out := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(dir, "out", f.Name()))
		require.NoError(t, err)
		out[f.Name()] = string(data)
	}
	return out
}

// Archives hold what stands in the files and nothing of when, where and by whom.
func TestPack(t *testing.T) {
	if raced {
		t.Skip("it starts no goroutine")
	}
	first := packedInto(t, time.Now(), []string{"witnessmark", "completions/_witnessmark", "LICENSE", "a.txt"}, 0o644)
	again := packedInto(t, time.Unix(1, 0), []string{"a.txt", "LICENSE", "completions/_witnessmark", "witnessmark"}, 0o600)
	assert.Equal(t, first, again)

	made := time.Unix(1700000000, 0).UTC()
	want := func(stage string) (out []entry) {
		for _, n := range []string{"LICENSE", "a.txt", "completions/_witnessmark", "witnessmark"} {
			e := entry{stage + "/" + n, 0o644, "text of " + n, "0:0", made}
			if n == "witnessmark" {
				e.mode = 0o755
			}
			out = append(out, e)
		}
		return out
	}
	const tarred, zipped = "w_1_linux_amd64.tar.gz", "w_1_windows_amd64.zip"
	require.Len(t, first, 3)
	assert.Equal(t, want("w_1_linux_amd64"), entriesOfTar(t, first[tarred]))
	assert.Equal(t, want("w_1_windows_amd64"), entriesOfZip(t, first[zipped]))
	sum := func(name string) string {
		h := sha256.Sum256([]byte(first[name]))
		return hex.EncodeToString(h[:]) + "  " + name + "\n"
	}
	assert.Equal(t, sum(tarred)+sum(zipped), first["checksums.txt"])
}

func entriesOfTar(t *testing.T, data string) (out []entry) {
	z, err := gzip.NewReader(strings.NewReader(data))
	require.NoError(t, err)
	assert.True(t, z.ModTime.IsZero())
	assert.Empty(t, z.Name)
	for r := tar.NewReader(z); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.Empty(t, h.Uname+h.Gname)
		owner := "0:0"
		if h.Uid != 0 || h.Gid != 0 {
			owner = "somebody"
		}
		out = append(out, entry{h.Name, fs.FileMode(h.Mode), string(text), owner, h.ModTime.UTC()})
	}
}

func entriesOfZip(t *testing.T, data string) (out []entry) {
	z, err := zip.NewReader(strings.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		out = append(out, entry{f.Name, f.Mode(), string(text), "0:0", f.Modified.UTC()})
	}
	return out
}

// No engine builds the image in tests, so the recipe is read: what is shipped holds
// the static command alone, started by nobody in particular, built as releases are.
func TestContainerfile(t *testing.T) {
	text, err := os.ReadFile("../../.ci/Containerfile")
	require.NoError(t, err)
	script, err := os.ReadFile("../../.ci/release")
	require.NoError(t, err)
	var stages [][]string
	for line := range strings.Lines(strings.ReplaceAll(string(text), "\\\n", "")) {
		line = strings.Join(strings.Fields(line), " ")
		switch {
		case line == "" || strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "FROM "):
			stages = append(stages, []string{line})
		default:
			require.NotEmpty(t, stages, line)
			stages[len(stages)-1] = append(stages[len(stages)-1], line)
		}
	}
	require.Len(t, stages, 2)
	compiler := regexp.MustCompile(`(?m)^compiler=go(\d+\.\d+\.\d+)$`).FindStringSubmatch(string(script))
	require.NotNil(t, compiler)
	assert.Equal(t, "FROM golang:"+compiler[1]+" AS build", stages[0][0])

	build := regexp.MustCompile(`(?m)^build=\((.*)\)$`).FindStringSubmatch(string(script))
	require.NotNil(t, build)
	last := stages[0][len(stages[0])-1]
	assert.Contains(t, last, " "+build[1]+" -o /out/witnessmark ./cmd/witnessmark")
	settings := regexp.MustCompile(`(?m)^export ((?:CGO_ENABLED|GOFLAGS)=.*)$`).FindAllStringSubmatch(string(script), -1)
	require.Len(t, settings, 2)
	for _, s := range settings {
		for one := range strings.FieldsSeq(s[1]) {
			assert.Contains(t, last, one)
		}
	}

	assert.Equal(t, []string{
		"FROM scratch",
		"COPY --from=build /out/witnessmark /source/LICENSE /",
		"USER 65532:65532",
		"WORKDIR /repository",
		`ENTRYPOINT ["/witnessmark"]`,
		`CMD ["--help"]`,
	}, stages[1], "nothing runs in the last stage, and nobody is root")
}

// The hooks for pre-commit: one for the files that changed, one for all of them.
func TestPreCommitHooks(t *testing.T) {
	text, err := os.ReadFile("../../.pre-commit-hooks.yaml")
	require.NoError(t, err)
	type hook struct {
		ID, Name, Description, Entry, Language, Files string
		PassFilenames                                 *bool `yaml:"pass_filenames"`
		RequireSerial                                 bool  `yaml:"require_serial"`
	}
	var hooks []hook
	require.NoError(t, yaml.Load(text, &hooks, yaml.WithKnownFields()))
	require.Len(t, hooks, 2)
	changed, all := hooks[0], hooks[1]
	assert.Equal(t, "witnessmark", changed.ID)
	assert.Nil(t, changed.PassFilenames)
	assert.True(t, changed.RequireSerial, "one run reads the whole repository; several at once would do so several times")
	assert.Equal(t, "witnessmark-repository", all.ID)
	require.NotNil(t, all.PassFilenames)
	assert.False(t, *all.PassFilenames)
	files := regexp.MustCompile(changed.Files)
	for name, want := range map[string]bool{"jobs/2026-019.yaml": true, "jobs/a/b.json": true, "papers/jobs.yaml": false, "equipment/morvane.cue": false, "examples/jobs/a.yml": true} {
		assert.Equal(t, want, files.MatchString(name), name)
	}
	files = regexp.MustCompile(all.Files)
	for name, want := range map[string]bool{"jobs/2026-019.yaml": true, "equipment/morvane.cue": true, "witnessmark.cue": true, "papers/a.pdf": false, "README.md": false} {
		assert.Equal(t, want, files.MatchString(name), name)
	}
	for _, h := range hooks {
		assert.Equal(t, "golang", h.Language)
		assert.NotEmpty(t, h.Name)
		// What is started is a command that exists, with options that exist.
		_, _, err := sortOut(strings.Fields(h.Entry)[2:], lintCommand(surroundings{}, new(int)).Flags)
		assert.NoError(t, err)
		assert.Equal(t, []string{"witnessmark", "lint"}, strings.Fields(h.Entry)[:2])
	}
}
