package checks

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"runtime"
	"strings"
	"sync"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/redact"
	"witnessmark.example/checks/register"
	"witnessmark.example/checks/table"
)

// engine is everything the workers share. It is read-only but for the book.
type engine struct {
	place *place
	firm  *define.Firm
	shape *fact.Compiled
	book  *book
	asOf  AsOf
	sinks []Sink
	known leaves

	withoutProposals bool
	redaction        *redaction // nil where private values may be shown

	functions []quantity.Function // of the physics rooms
	tables    *table.Set          // that they look figures up in

	buffers buffers
}

// Lint judges the job files that Options name and hands the results to the
// sinks. An error means that the run could not start at all; everything else,
// unreadable files and broken definitions included, is part of the Run.
func Lint(ctx context.Context, o Options, sinks ...Sink) (*Run, error) {
	where, err := locate(o)
	if err != nil {
		return nil, err
	}
	e, _, run, err := prepare(o, where)
	if err != nil {
		return nil, err
	}
	e.sinks = sinks
	e.buffers.sinks = len(sinks)
	files, problems := where.jobFiles(e.firm.Jobs)
	run.Problems = append(run.Problems, problems...)
	for i := range files {
		if files[i].wanted {
			run.Files++
		}
	}
	c := newCollector(e, run, sinks)
	for i := range problems {
		c.register.Unread(problems[i].File) // whatever stands in it may belong to any premises
	}
	c.begin()
	progress := o.Progress
	if progress == nil {
		progress = func(int, int) {}
	}
	if err := e.judgeAll(ctx, files, o.Workers, c, progress); err != nil {
		return nil, err
	}
	c.end()
	return run, nil
}

// prepare loads the definitions of the tool and of the firm.
func prepare(o Options, where *place) (*engine, *define.Definitions, *Run, error) {
	own, err := shippedFor(o)
	if err != nil {
		return nil, nil, nil, err
	}
	shape, files := own.shape, own.files
	var firm *define.Firm
	run := &Run{Tool: o.Version, AsOf: o.AsOf, Shape: shape, Redacted: o.Redact}
	if where.hasRoot {
		firm = define.ReadFirm(files, where.fsys, shape)
		run.Firm, run.Contacts, run.Languages = firm.Name, firm.Contacts, firm.Languages
		if run.NotKept = notKept(firm); len(run.NotKept) > 0 {
			run.Notes = append(run.Notes, "The firm does not keep "+strings.Join(run.NotKept, ", ")+", so nothing of that was checked.")
		}
	} else {
		firm = define.NoFirm(files, shape)
		run.NotKept = []string{"a root file"}
		run.Notes = append(run.Notes, "No root file ("+define.RootFile+") was found here or above: no equipment data, no policy, no local amendments, no registers and no map of required rule sets were read, so nothing of them was checked.")
	}
	sum := sha256.Sum256([]byte(own.digest + " " + firm.Digest))
	run.LimitsDigest = hex.EncodeToString(sum[:])
	e := &engine{place: where, firm: firm, shape: shape, book: newBook(shape, own.sets, firm), asOf: o.AsOf, functions: own.functions, tables: own.tables, withoutProposals: o.WithoutProposals}
	run.Broken = len(e.book.allFaults(firm)) > 0
	e.known = findLeaves(shape)
	if o.Redact {
		e.redaction = newRedaction(shape, firm)
	}
	return e, own.definitions, run, nil
}

// notKept names what the firm does not keep, so that nothing of it is checked.
func notKept(f *define.Firm) []string {
	var none []string
	if len(f.Required) == 0 {
		none = append(none, "a map of required rule sets")
	}
	for _, name := range define.RegisterNames() {
		if f.Registers[name] == nil {
			none = append(none, "a register of "+name)
		}
	}
	return none
}

// judgeAll spreads the files over the workers and takes their results in order.
// The window keeps a slow file from piling up finished ones behind it.
func (e *engine) judgeAll(ctx context.Context, files []jobFile, workers int, c *collector, progress func(read, files int)) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	window := make(chan struct{}, 4*workers)
	todo, done := make(chan int), make(chan *judged)
	go func() {
		defer close(todo)
		for i := range files {
			select {
			case window <- struct{}{}:
			case <-ctx.Done():
				return
			}
			todo <- i
		}
	}()
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			w := newWorker(e)
			for i := range todo {
				done <- w.judge(i, files[i])
			}
			c.count(w.tally)
		})
	}
	go func() { group.Wait(); close(done) }()
	waiting, next, read := map[int]*judged{}, 0, 0
	progress(read, len(files))
	for j := range done {
		read++
		progress(read, len(files))
		waiting[j.index] = j
		for waiting[next] != nil {
			c.take(waiting[next])
			delete(waiting, next)
			<-window
			next++
		}
	}
	if next < len(files) {
		return fmt.Errorf("the run was broken off: %w", context.Cause(ctx))
	}
	return nil
}

// leaves are the fields of a job that the engine itself reads.
type leaves struct {
	job, premises, zone, status, stage, ruleSets, addsTo, replaces *fact.Leaf
	unique                                                         []*fact.Leaf
	products                                                       []*fact.Leaf
	across                                                         []*fact.Leaf
}

func findLeaves(c *fact.Compiled) leaves {
	k := leaves{job: c.Leaf("job"), premises: c.Leaf("premises.id"), zone: c.Leaf("premises.time_zone"), status: c.Leaf("status"), stage: c.Leaf("stage"),
		ruleSets: c.Leaf("rule_sets"), addsTo: c.Leaf("adds_to"), replaces: c.Leaf("replaces_job")}
	for _, l := range c.Leaves {
		switch {
		case l.Unique:
			k.unique = append(k.unique, l)
		case l.Type == fact.Link && l.Target.List.IsEquipment():
			k.products = append(k.products, l)
		case l.Calculation != nil && l.Calculation.Across:
			k.across = append(k.across, l)
		}
	}
	return k
}

// judged is what a worker hands to the collector for one file.
type judged struct {
	index    int
	file     jobFile
	unread   bool
	part     register.Part
	hasPart  bool
	plan     *limit.Plan
	problems []Problem
	words    *redact.Words // private values of the job; nil where they may be shown
	rendered [][]byte      // by sink; nil for a file that was only indexed
}

// buffers keeps the memory of rendered jobs for the next ones.
type buffers struct {
	sinks int
	pool  sync.Pool
}

// Get returns one empty buffer for each sink.
func (b *buffers) Get() [][]byte {
	if kept, ok := b.pool.Get().(*[][]byte); ok {
		for i := range *kept {
			(*kept)[i] = (*kept)[i][:0]
		}
		return *kept
	}
	return make([][]byte, b.sinks)
}

// Put takes buffers back.
func (b *buffers) Put(kept [][]byte) { b.pool.Put(&kept) }
