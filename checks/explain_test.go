package checks

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// openExamples reads the definitions that ship and those of the example firm.
func openExamples(t *testing.T) *Library {
	t.Helper()
	l, err := OpenLibrary(Options{FS: os.DirFS("../examples"), Shipped: once(t)})
	require.NoError(t, err)
	return l
}

// anything stands for the products and registers of a firm: whatever is named is
// there.
type anything struct{ shape *fact.Compiled }

func (a anything) Product(kind, name string) (*fact.Instance, error) {
	if !strings.Contains(name, "@") {
		return nil, &fact.Unpinned{Product: name}
	}
	sc := a.shape.Scope("equipment." + kind)
	return &fact.Instance{Scope: sc, Key: name, Values: make([]fact.Value, sc.Slots())}, nil
}

func (a anything) Registered(register, key string) (*fact.Instance, bool, error) {
	sc := a.shape.Scope("register." + register)
	return &fact.Instance{Scope: sc, Key: key, Values: make([]fact.Value, sc.Slots())}, true, nil
}

// decoded reads a fragment as the top of a job file, and returns its facts. The
// fragment itself must be read without any problem.
func decoded(t *testing.T, l *Library, e explain.Example) *fact.Facts {
	t.Helper()
	text := e.Text
	for _, line := range []string{"job: J-1\n", "stage: surveyed\n"} {
		if key, _, _ := strings.Cut(line, " "); !strings.HasPrefix(text, key) && !strings.Contains(text, "\n"+key) {
			text += line
		}
	}
	f, problems := jobfile.Read("job.yaml", []byte(text), jobfile.Limits{})
	require.Empty(t, problems, "%s", text)
	facts := fact.NewDecoder(l.Shape, anything{l.Shape}, quantity.Options{DecimalComma: l.Firm.DecimalComma}).Decode(f)
	require.Empty(t, facts.Problems, "%s", text)
	return facts
}

// found returns the first known value of a fact, planned ones too.
func found(facts *fact.Facts, l *fact.Leaf) (*fact.Value, *fact.Instance) {
	for _, in := range facts.Entries[l.Scope.ID] {
		if v := in.Get(l); v.State == fact.Known {
			return v, in
		}
		if v := in.PlannedValue(l); v != nil && v.State == fact.Known {
			return v, in
		}
	}
	return nil, nil
}

// Every name can be explained, with all that its kind must have; and what is
// shown as an example of a job file is read without a problem by the tool itself.
func TestEveryNameIsExplained(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	l := openExamples(t)
	book := l.Explainer()
	kinds := map[explain.Kind]int{}
	for _, name := range book.Names() {
		e, err := book.Explain(name)
		require.NoError(t, err, name)
		all := []*explain.Explanation{e}
		if e.Kind == explain.OfSeveral {
			require.Greater(t, len(e.Candidates)+len(e.Explanations), 1, name)
			all = e.Explanations
		}
		for _, e := range all {
			kinds[e.Kind]++
			complete(t, e)
			for _, x := range e.Examples {
				if x.Language == "yaml" && e.Kind != explain.OfCheck {
					decoded(t, l, x)
				}
			}
		}
	}
	for _, k := range []explain.Kind{explain.OfLimit, explain.OfMeasure, explain.OfField, explain.OfList, explain.OfRuleSet, explain.OfCheck,
		explain.OfOutcome, explain.OfGrade, explain.OfWeight, explain.OfDecision, explain.OfStage, explain.OfGate, explain.OfEvent} {
		assert.Positive(t, kinds[k], k)
	}
}

// complete holds an explanation to what its kind must have.
func complete(t *testing.T, e *explain.Explanation) {
	t.Helper()
	assert.NotEmpty(t, e.Name)
	assert.NotEmpty(t, e.What, e.Name)
	assert.NotEmpty(t, e.Why, e.Name)
	for _, n := range e.Notes {
		assert.NotEmpty(t, n, e.Name)
	}
	switch e.Kind {
	case explain.OfLimit:
		x := e.Limit
		for _, s := range []string{x.Measure, x.Within, x.InWords, x.Clause, x.Grade, x.Meaning, x.JudgedFor, x.Applies, x.Reviewed, x.ReviewBy,
			e.Source.Title, e.Source.Edition, e.Source.DecidedBy, e.Source.Decides, e.Due.Text, e.Label} {
			assert.NotEmpty(t, s, e.Name)
		}
		if !slices.Contains(e.Notes, explain.MovesWithItself) {
			require.Len(t, e.Examples, 2, e.Name)
		}
	case explain.OfField, explain.OfMeasure:
		assert.NotEmpty(t, e.Label, e.Name)
		assert.NotEmpty(t, e.Due.Text, e.Name)
		require.NotEmpty(t, e.Examples, e.Name)
		assert.NotEmpty(t, e.Examples[0].Text, e.Name)
		assert.Equal(t, e.Kind == explain.OfMeasure, e.Calculation != nil)
		if e.Calculation != nil {
			assert.NotEmpty(t, e.Calculation.Formula, e.Name)
			assert.NotEmpty(t, e.Calculation.Inputs, e.Name)
		}
	case explain.OfOutcome, explain.OfGrade, explain.OfWeight, explain.OfDecision:
		assert.NotEmpty(t, e.Examples[0].Value, e.Name)
	case explain.OfCheck:
		assert.NotEmpty(t, e.Due.Text, e.Name)
		assert.NotEmpty(t, e.Examples, e.Name)
	}
	if e.Kind == explain.OfLimit || e.Kind == explain.OfField || e.Kind == explain.OfMeasure || e.Kind == explain.OfRuleSet {
		assert.NotEmpty(t, e.At.File, e.Name)
		assert.Positive(t, e.At.Line, e.Name)
	}
}

// The example of every field holds the field: its value is there when it is read,
// by a firm that writes points and by one that writes commas.
func TestFieldExamplesHoldTheField(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	for _, comma := range []bool{false, true} {
		l := openExamples(t)
		l.Firm.DecimalComma = comma
		holdsEveryField(t, l)
	}
}

func holdsEveryField(t *testing.T, l *Library) {
	t.Helper()
	book := l.Explainer()
	written := 0
	for _, leaf := range l.Shape.Leaves {
		e, err := book.Explain(leaf.Path)
		require.NoError(t, err)
		if leaf.Calculation != nil || e.Examples[0].Language != "yaml" {
			continue
		}
		for _, x := range e.Examples {
			v, in := found(decoded(t, l, x), leaf)
			require.NotNil(t, v, "%s\n%s", leaf.Path, x.Text)
			if x.Title == "read on site" {
				assert.Equal(t, fact.Known, in.Get(leaf).State, x.Text)
			}
			written++
		}
		assert.Equal(t, leaf.Planned >= 0, len(e.Examples) == 2, leaf.Path)
	}
	assert.Greater(t, written, 200)
}

// The engine itself finds the values that are shown as within and outside to be so.
func TestLimitExamplesAreWithinAndOutside(t *testing.T) {
	l := openExamples(t)
	book := l.Explainer()
	judged := 0
	for _, m := range l.Limits() {
		e, err := book.Explain(m.FullName)
		require.NoError(t, err)
		for _, x := range e.Examples {
			leaf := m.Way.Leaf
			v, in := &fact.Value{State: fact.Known}, (*fact.Instance)(nil)
			if x.Text != "" {
				v, in = found(decoded(t, l, x), leaf)
				require.NotNil(t, v, "%s\n%s", m.FullName, x.Text)
			} else if leaf.Type == fact.Count {
				n, err := quantity.ParseDecimal(strings.Fields(x.Value)[0])
				require.NoError(t, err)
				v.Quantity = quantity.New(n, leaf.Of)
			} else {
				v.Quantity = quantity.MustOf(x.Value, m.Of.Symbol())
			}
			if m.Refers() && (in == nil || in.Scope != m.Scope) {
				continue // the bound is a fact that cannot be reached from the value alone
			}
			verdict, _ := m.Judge(v, v.Quantity, in)
			if verdict.Holds == limit.Unknown {
				assert.True(t, m.Refers(), "%s: %s", m.FullName, x.Text)
				continue // the bound is a figure of a product, or calculated, which is not in the example
			}
			if at := verdict.At.Leaf; at != nil && at.Calculation != nil && at.Calculation.Count != nil {
				assert.Contains(t, x.Note, at.Path, "%s: what is counted is not in the example, so its number is told", m.FullName)
				continue
			}
			assert.Equal(t, x.Title == "within", verdict.Holds == limit.Yes, "%s: %s %s", m.FullName, x.Title, x.Value)
			judged++
		}
	}
	assert.Greater(t, judged, 100)
}

// Every name of a built-in check in the engine has its words.
func TestEveryBuiltInCheckIsExplained(t *testing.T) {
	constant := regexp.MustCompile(`"(record#[a-z-]+)"`)
	known := map[string]bool{}
	for _, c := range explain.BuiltIn() {
		known[c.Name] = true
	}
	seen := map[string]bool{}
	require.NoError(t, filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range constant.FindAllStringSubmatch(string(text), -1) {
			seen[m[1]] = true
			assert.True(t, known[m[1]], "%s: %s has no words in checks/explain/builtin.go", path, m[1])
		}
		return err
	}))
	for name := range known {
		assert.True(t, seen[name], "%s is explained and is no check", name)
	}
	assert.NotEmpty(t, seen)
}
