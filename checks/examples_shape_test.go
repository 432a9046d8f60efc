package checks

import (
	"context"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/register"
)

// usage is a sink that notes what of the shape the jobs make use of.
type usage struct {
	*lines
	mu       sync.Mutex
	jobs     int
	shape    *fact.Compiled
	entries  map[string]int  // by list
	blocks   map[string]bool // "stacks.clearance": a value in it is recorded
	products map[string]int  // "orrelin@B", also as planned
	kinds    map[string]int  // "equipment.storage", "register.people": by how many links
}

// Render keeps of the facts only counts: they are gone afterwards.
func (u *usage) Render(dst []byte, j *Job) []byte {
	if j.Result == nil {
		return dst
	}
	u.mu.Lock()
	u.jobs++
	facts := j.Result.Facts
	u.shape = facts.Shape
	for id, entries := range facts.Entries {
		u.entries[facts.Shape.Scopes[id].List.Name] += len(entries)
		for _, in := range entries {
			u.note(in)
		}
	}
	u.mu.Unlock()
	return u.lines.Render(dst, j)
}

// note takes the values of one entry, plans too.
func (u *usage) note(in *fact.Instance) {
	for _, l := range in.Scope.Leaves {
		for _, v := range []*fact.Value{in.Get(l), in.PlannedValue(l)} {
			if l.Calculation != nil || v == nil || v.State != fact.Known {
				continue
			}
			if block := blockOf(l); block != "" {
				u.blocks[block] = true
			}
			if l.Target == nil || !l.Target.List.IsElsewhere() || v.Target == nil {
				continue
			}
			u.kinds[l.Target.List.Name]++
			if l.Target.List.IsEquipment() {
				u.products[v.Target.Key]++
			}
		}
	}
}

// blockOf is the block of an entry that a field stands in, "stacks.clearance";
// empty for a field of the entry itself.
func blockOf(l *fact.Leaf) string {
	if !strings.Contains(l.Inside(), ".") {
		return ""
	}
	return strings.TrimSuffix(l.Path, "."+l.Name())
}

func usageOfTheExamples(t *testing.T) (*Run, *usage) {
	t.Helper()
	u := &usage{lines: newLines(), entries: map[string]int{}, blocks: map[string]bool{}, products: map[string]int{}, kinds: map[string]int{}}
	run, err := Lint(context.Background(), Options{Paths: []string{"../examples"}, AsOf: asOf, Shipped: once(t), Workers: 2}, u)
	require.NoError(t, err)
	require.Empty(t, run.Problems)
	return run, u
}

// The examples show the whole shape: every list of a job has an entry somewhere,
// every block a value, every kind of equipment and every register is named.
func TestExamplesUseTheWholeShape(t *testing.T) {
	_, u := usageOfTheExamples(t)
	for _, sc := range u.shape.Scopes {
		switch name := sc.List.Name; {
		case sc.List.IsElsewhere():
			assert.NotZero(t, u.kinds[name], "no example job names an entry of %s", name)
		default:
			assert.NotZero(t, u.entries[name], "no example job has an entry in the list %q", name)
		}
		for _, l := range sc.Leaves {
			if block := blockOf(l); block != "" && l.Calculation == nil && !sc.List.IsElsewhere() && !u.blocks[block] {
				u.blocks[block] = true // said once
				assert.Fail(t, "unused", "no example job has a value in the block %s", block)
			}
		}
	}
}

// The examples are as large as a firm's repository has to be to show everything,
// and no equipment data lies there that no job names.
func TestExamplesAreAWholeFirm(t *testing.T) {
	_, u := usageOfTheExamples(t)
	assert.GreaterOrEqual(t, u.jobs, 16)
	l := openExamples(t)
	require.Empty(t, l.Faults)
	products, revisions := map[string]int{}, map[string]int{}
	for _, p := range l.Products {
		assert.NotZero(t, u.products[p.Name], "no example job names %s", p.Name)
		key, _, _ := strings.Cut(p.Name, "@")
		if revisions[key]++; revisions[key] == 1 {
			products[p.Kind]++
		}
	}
	assert.GreaterOrEqual(t, products["storage"], 2)
	assert.GreaterOrEqual(t, revisions["orrelin"], 2, "one storage product has two revisions side by side")
	assert.GreaterOrEqual(t, products["inverter"], 2)
	assert.GreaterOrEqual(t, products["protection"], 3)
	assert.NotEmpty(t, l.Firm.Required)
	assert.NotEmpty(t, l.Firm.Contacts)
	assert.Greater(t, len(l.Firm.Languages), 1)
}

// notShown lists the built-in checks that no example fails, each with the reason.
var notShown = map[string]string{
	judge.DatasheetRead: "equipment data that cannot be read is a problem of the run as well, and the examples are read without any",
	register.JobUnique:  "two files of one number would leave it open which of them another example means",
}

// Every outcome occurs in the examples, and every built-in check finds something
// in them where that can be.
func TestExamplesShowEveryOutcome(t *testing.T) {
	run, u := usageOfTheExamples(t)
	kinds, found := map[judge.Kind]int{}, map[string]int{}
	count := func(name string, kind judge.Kind) {
		kinds[kind]++
		if kind.IsFinding() {
			found[name]++
		}
	}
	for key, s := range u.full {
		count(strings.Fields(key)[1], s.kind)
	}
	for _, o := range run.Repository.Outcomes {
		count(o.Name, o.Kind)
	}
	for _, k := range judge.Kinds() {
		assert.NotZero(t, kinds[k], "no example comes out as %s", k)
	}
	checks := map[string]bool{}
	for _, c := range explain.BuiltIn() {
		checks[c.Name] = true
		if reason, excepted := notShown[c.Name]; excepted {
			assert.Zero(t, found[c.Name], "%s is excepted (%s), but an example shows it", c.Name, reason)
			continue
		}
		assert.NotZero(t, found[c.Name], "no example shows what %s finds", c.Name)
	}
	for name := range notShown {
		assert.True(t, checks[name], "%s is excepted, but there is no such check", name)
	}
}
