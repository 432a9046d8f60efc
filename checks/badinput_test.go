package checks

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// faulty is a firm in memory of which some names cannot be opened as they should.
type faulty struct {
	files fstest.MapFS
	open  map[string]func() (fs.File, error)
	links map[string]bool // names that are links, as Lstat shows them
}

func (f faulty) Open(name string) (fs.File, error) {
	if open := f.open[name]; open != nil {
		return open()
	}
	return f.files.Open(name)
}

// Lstat and ReadLink make links visible as such.
func (f faulty) Lstat(name string) (fs.FileInfo, error) {
	if f.links[name] {
		return info{name: name, mode: fs.ModeSymlink}, nil
	}
	return f.files.Lstat(name)
}

func (f faulty) ReadLink(name string) (string, error) { return "elsewhere", nil }

func refuse(err error) func() (fs.File, error) {
	return func() (fs.File, error) { return nil, &fs.PathError{Op: "open", Path: "x", Err: err} }
}

// info describes a made-up file.
type info struct {
	name string
	size int64
	mode fs.FileMode
}

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return i.size }
func (i info) Mode() fs.FileMode  { return i.mode }
func (i info) ModTime() time.Time { return time.Time{} }
func (i info) IsDir() bool        { return i.mode.IsDir() }
func (i info) Sys() any           { return nil }

// endless is a file that never ends, whatever size it says it has.
type endless struct {
	info
	read *atomic.Int64
}

func (e endless) Stat() (fs.FileInfo, error) { return e.info, nil }
func (e endless) Close() error               { return nil }
func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '#'
	}
	e.read.Add(int64(len(p)))
	return len(p), nil
}

// locked is a folder whose list of files cannot be read.
type locked struct{ info }

func (l locked) Stat() (fs.FileInfo, error)         { return l.info, nil }
func (l locked) Close() error                       { return nil }
func (l locked) Read([]byte) (int, error)           { return 0, io.EOF }
func (l locked) ReadDir(int) ([]fs.DirEntry, error) { return nil, fs.ErrPermission }
func lock(name string) func() (fs.File, error) {
	return func() (fs.File, error) { return locked{info{name: name, mode: fs.ModeDir | 0o111}}, nil }
}
func interrupted(after string) func() (fs.File, error) {
	return func() (fs.File, error) { return &torn{rest: after}, nil }
}

// torn is a file whose disk gives out in the middle.
type torn struct{ rest string }

func (t *torn) Stat() (fs.FileInfo, error) { return info{name: "torn", size: 100}, nil }
func (t *torn) Close() error               { return nil }
func (t *torn) Read(p []byte) (int, error) {
	if t.rest == "" {
		return 0, &fs.PathError{Op: "read", Path: "x", Err: syscall.EIO}
	}
	n := copy(p, t.rest)
	t.rest = t.rest[n:]
	return n, nil
}

// wellKept is a firm whose job good is judged by the policy and by a product.
func wellKept() firm {
	return firm{"witnessmark.cue": rootFile, "equipment/quell.cue": product,
		"rules/r.cue":    ruleFile("policy", "policy", "guarded", "", [2]string{"up", gap + `within: <=20`}, [2]string{"energy", `measure: "premises.energy", within: <=50, unit: "kWh"`}),
		"jobs/good.yaml": strings.Replace(oneStack("    wall_gap: 30 mm\n    equipment: quell@A\n    modules: 9\n"), "job: 1", "job: good", 1),
		"jobs/bad.yaml":  strings.Replace(oneStack("    wall_gap: 40 mm\n"), "job: 1", "job: bad", 1)}
}

// lintFaulty judges a firm some of whose files cannot be read.
func lintFaulty(t *testing.T, f faulty) (*Run, *lines) {
	t.Helper()
	out := newLines()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	run, err := Lint(ctx, Options{FS: f, Paths: []string{"."}, AsOf: asOf, Shipped: once(t), Workers: 2}, out)
	require.NoError(t, err)
	return run, out
}

// problemOf returns the only problem of a file.
func problemOf(t *testing.T, r *Run, file string) Problem {
	t.Helper()
	var found []Problem
	for _, p := range r.Problems {
		if p.File == file {
			found = append(found, p)
		}
	}
	require.Len(t, found, 1, "problems of %s among %v", file, r.Problems)
	return found[0]
}

// sumOf returns the outcome of the limit on the energy of the only premises.
func sumOutcome(t *testing.T, r *Run) RepositoryOutcome {
	t.Helper()
	for _, p := range r.Repository.Premises {
		for _, o := range p.Outcomes {
			if o.Name == "policy#energy" {
				return o
			}
		}
	}
	require.Fail(t, "no sum was judged")
	return RepositoryOutcome{}
}

// A job file that cannot be read is reported with what to do about it. The others
// are judged, and no sum that it may belong to is within.
func TestUnreadableJobFile(t *testing.T) {
	var read atomic.Int64
	const bad = "jobs/bad.yaml"
	for _, c := range []struct {
		name          string
		open          func() (fs.File, error)
		link          bool
		message, mend string
	}{
		{name: "permission", open: refuse(fs.ErrPermission), message: "may not be read by this user", mend: "read permission"},
		{name: "dangling link", open: refuse(fs.ErrNotExist), link: true, message: "a link to a file that is not there", mend: "correct the link"},
		{name: "link loop", open: refuse(syscall.ELOOP), link: true, message: "a link that leads back to itself", mend: "correct the link"},
		{name: "vanished after it was listed", open: refuse(fs.ErrNotExist), message: "there is no such file", mend: "check the name"},
		{name: "large", open: func() (fs.File, error) { return endless{info{name: "bad.yaml", size: 100 << 20}, &read}, nil }, message: "the file has 104857600 bytes", mend: "keep photographs and logs elsewhere"},
		{name: "endless", open: func() (fs.File, error) { return endless{info{name: "bad.yaml", size: 10}, &read}, nil }, message: "the file is larger than 1048576 bytes", mend: "keep photographs and logs elsewhere"},
		{name: "device", open: func() (fs.File, error) { return endless{info{name: "bad.yaml", mode: fs.ModeDevice}, &read}, nil }, message: "a device, not an ordinary file", mend: "an ordinary file"},
		{name: "folder", open: lock("bad.yaml"), message: "a folder, not a file", mend: "name the job file in it"},
		{name: "broken disk", open: interrupted("job: bad\n"), message: "could not be read: input/output error", mend: "check disk"},
	} {
		t.Run(c.name, func(t *testing.T) {
			read.Store(0)
			run, out := lintFaulty(t, faulty{wellKept().fs(), map[string]func() (fs.File, error){bad: c.open}, map[string]bool{bad: c.link}})
			p := problemOf(t, run, bad)
			assert.Contains(t, p.Message, c.message)
			assert.Contains(t, p.Mend, c.mend)
			assert.Equal(t, 1, run.Counts.Unread)
			assert.Equal(t, 1, run.Counts.Jobs)
			assert.Equal(t, "outside", out.full["jobs/good.yaml policy#up stacks[A].wall_gap"].kind.String())
			sum := sumOutcome(t, run)
			assert.Equal(t, "not_checked", sum.Kind.String())
			assert.Contains(t, sum.Reason, "jobs/bad.yaml could not be read")
			assert.LessOrEqual(t, read.Load(), int64(4<<20), "bytes read of a file that is too large")
		})
	}
}

// A folder that cannot be listed may hold any job.
func TestUnreadableFolder(t *testing.T) {
	f := wellKept()
	f["jobs/2026/a.yaml"] = f["jobs/bad.yaml"]
	run, out := lintFaulty(t, faulty{files: f.fs(), open: map[string]func() (fs.File, error){"jobs/2026": lock("2026")}})
	assert.Contains(t, problemOf(t, run, "jobs/2026").Message, "folder could not be read")
	assert.Equal(t, "outside", out.full["jobs/good.yaml policy#up stacks[A].wall_gap"].kind.String())
	sum := sumOutcome(t, run)
	assert.Equal(t, "not_checked", sum.Kind.String())
	assert.Contains(t, sum.Reason, "jobs/2026 could not be read")
}

// Definitions that cannot be read never leave limits out without a word.
func TestUnreadableDefinitions(t *testing.T) {
	const series, up = "jobs/good.yaml equipment/quell@A#series stacks[A].modules", "jobs/good.yaml policy#up stacks[A].wall_gap"
	for _, c := range []struct {
		name, broken string
		open         func() (fs.File, error)
		message      string
		lost, kept   string
	}{
		{"product", "equipment/quell.cue", refuse(fs.ErrPermission), "the file could not be read", series, up},
		{"policy", "rules/r.cue", refuse(fs.ErrPermission), "the file could not be read", up, series},
		{"folder of products", "equipment", lock("equipment"), "the folder could not be read", series, up},
		{"folder of rules", "rules", lock("rules"), "the folder could not be read", up, series},
		{"root file", "witnessmark.cue", interrupted(rootFile[:20]), "the file could not be read", "", up},
	} {
		t.Run(c.name, func(t *testing.T) {
			run, out := lintFaulty(t, faulty{files: wellKept().fs(), open: map[string]func() (fs.File, error){c.broken: c.open}})
			p := problemOf(t, run, c.broken)
			assert.Contains(t, p.Message, c.message)
			assert.Contains(t, p.Mend, "permissions")
			assert.NotContains(t, out.full, c.lost)
			assert.Equal(t, "outside", out.full[c.kept].kind.String())
		})
	}
}

// A folder that the root file names must exist, and definitions in folders below
// are not passed over in silence.
func TestFoldersOfDefinitions(t *testing.T) {
	f := wellKept()
	f["witnessmark.cue"] = strings.Replace(rootFile, `name:`, `rules: "policies", name:`, 1)
	run, _ := lint(t, f)
	assert.Contains(t, problemOf(t, run, "policies").Message, "does not exist")

	f = wellKept()
	f["rules/2026/more.cue"] = f["rules/r.cue"]
	run, _ = lint(t, f)
	assert.Contains(t, problemOf(t, run, "rules/2026/more.cue").Message, "not read")

	f = wellKept() // one folder in the other is nobody's mistake
	f["witnessmark.cue"] = strings.Replace(rootFile, `name:`, `equipment: "rules/data", name:`, 1)
	f["rules/data/quell.cue"] = product
	run, _ = lint(t, f)
	assert.Empty(t, run.Problems)
}

// mixed is a repository of forty files with every kind of mistake.
func mixed() faulty {
	f := wellKept()
	f["equipment/broken.cue"] = "package equipment\n\n#A: {\n"
	for i := range 40 {
		job := strings.NewReplacer("job: 1", fmt.Sprintf("job: %d", i-i%7/6), "id: p1", fmt.Sprintf("id: p%d", i%5)).Replace(
			oneStack(fmt.Sprintf("    wall_gap: %d mm\n    equipment: %s\n    modules: %d\n    controller_serial: K%d\n", 10+i, []string{"quell@A", "broken@A", "quell@B", "quell"}[i%4], i%10, i%30)))
		switch i % 10 {
		case 3:
			job += "x: [\n"
		case 5:
			job += "staks: []\n"
		case 8:
			job = strings.Replace(job, " mm", "", 1)
		}
		f[fmt.Sprintf("jobs/%02d.yaml", i)] = job
	}
	return faulty{files: f.fs(), open: map[string]func() (fs.File, error){"jobs/17.yaml": refuse(fs.ErrPermission)}}
}

// The results are the same, byte for byte, however many files are judged at once.
func TestSameBytesAtAnyParallelism(t *testing.T) {
	results := func(workers int) string {
		out := newLines()
		run, err := Lint(context.Background(), Options{FS: mixed(), Paths: []string{"."}, AsOf: asOf, Shipped: once(t), Workers: workers}, out)
		require.NoError(t, err)
		text := strings.Join(out.all, "\n")
		for _, p := range run.Problems {
			text += fmt.Sprintf("\n%s:%d:%d: %s; %s", p.File, p.At.Line, p.At.Column, p.Message, p.Mend)
		}
		for _, p := range run.Repository.Premises {
			for _, o := range p.Outcomes {
				text += fmt.Sprintf("\n%s %v %s %s %s %s", p.Premises, p.Jobs, o.Name, o.Kind, o.Margin, o.Reason)
			}
		}
		for _, o := range run.Repository.Outcomes {
			text += fmt.Sprintf("\n%s:%d %s %s", o.File, o.At.Line, o.Name, o.Reason)
		}
		return text + fmt.Sprintf("\n%v", run.Counts)
	}
	one := results(1)
	require.Greater(t, strings.Count(one, "\n"), 200)
	for _, want := range []string{"record#serial-unique", "record#job-number-unique", "quell", "may not be read", "staks", "jobs/39.yaml"} {
		require.Contains(t, one, want)
	}
	for _, workers := range []int{2, 8} {
		assert.Equal(t, one, results(workers), "%d workers", workers)
	}
}

// A run that is broken off gives an error and no half result.
func TestBrokenOff(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	why := errors.New("enough")
	cancel(why)
	run, err := Lint(ctx, Options{FS: mixed(), Paths: []string{"."}, AsOf: asOf, Shipped: once(t), Workers: 2}, newLines())
	require.ErrorIs(t, err, why)
	assert.Nil(t, run)
}
