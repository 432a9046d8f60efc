package checks

import (
	"io/fs"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/schema"
)

// exampleOwn are the limits of the examples, each with the definitions it stands
// in: those of rule sets, those of every revision of every product, and how many
// revisions there are. The policy's own limits come with its bands, the others
// without the policy.
func exampleOwn(t *testing.T, shape *fact.Compiled) (own []ownLimit, revisions int) {
	t.Helper()
	examples := os.DirFS("../examples")
	read := define.ReadFirm(schema.Files, examples, shape)
	require.Empty(t, read.Faults)
	file := func(name string) map[string]string {
		text, err := fs.ReadFile(examples, name)
		require.NoError(t, err)
		return map[string]string{name: string(text)}
	}
	for i := range read.RuleSets {
		rs := &read.RuleSets[i]
		set, faults := limit.CompileSet(shape, rs)
		require.Empty(t, faults)
		for _, l := range set.Limits {
			own = append(own, ownLimit{l, boundary.Own{Files: file(rs.Source.At.File), Bands: set.Bands}})
		}
	}
	names, err := fs.Glob(examples, "equipment/*.cue")
	require.NoError(t, err)
	for _, name := range names {
		files := file(name)
		// Every "#products: key: revision: equipment.#Kind &" of the file.
		for _, m := range regexp.MustCompile(`(?m)^#products: "?([\w-]+)"?: "?([\w.-]+)"?: equipment\.#(\w+) &`).FindAllStringSubmatch(files[name], -1) {
			product, err := read.Products.Product(strings.ToLower(m[3][:1])+m[3][1:], m[1]+"@"+m[2])
			require.NoError(t, err)
			set := read.Products.Set(product.Key)
			require.NotEmpty(t, set.Limits, product.Key)
			revisions++
			for _, l := range set.Limits {
				own = append(own, ownLimit{l, boundary.Own{Files: files, Product: product}})
			}
		}
		assert.Equal(t, strings.Count(files[name], "title:"), strings.Count(files[name], "#products:"), "%s: write each revision as #products: key: revision, so that it is found here", name)
	}
	require.Empty(t, read.Products.Faults())
	return own, revisions
}

// ownLimit is a limit of a firm's own, with what is defined around it.
type ownLimit struct {
	*limit.Compiled
	boundary.Own
}

// Every limit with a number of the examples' own rule sets and equipment data, in
// the same way. Limits of one file are tried in one repository.
func TestEveryLimitOfTheExamplesAtItsBoundary(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}
	own, revisions := exampleOwn(t, shape)
	assert.GreaterOrEqual(t, revisions, 3)
	probes, tried := map[string]*boundary.Probe{}, map[string][]ownCases{}
	limits, cases := 0, 0
	for _, l := range own {
		file := slices.Sorted(maps.Keys(l.Files))[0]
		if probes[file] == nil {
			probes[file] = boundary.NewProbe()
		}
		p := probes[file]
		if one := addCases(t, maker, p, l); one != nil {
			limits++
			cases += len(one.Cases)
			tried[file] = append(tried[file], ownCases{l.Compiled, one})
		}
	}
	t.Logf("%d limits with a number, %d cases", limits, cases)
	for file, p := range probes {
		run, out := lint(t, p.Files)
		require.Empty(t, run.Problems, file)
		for _, one := range tried[file] {
			t.Run(one.limit.FullName, func(t *testing.T) {
				judgeCases(t, run, out, one.limit, one.probe)
				assertReplaces(t, out, one.limit, one.probe)
			})
		}
	}
}

// ownCases are the cases of one limit.
type ownCases struct {
	limit *limit.Compiled
	probe *boundary.Probe
}

// assertReplaces holds what a limit replaces to stand back where the limit is in
// force, and to be judged where it is not yet.
func assertReplaces(t *testing.T, out *lines, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	for _, name := range l.Replaces {
		for _, c := range p.Cases {
			s, ok := out.full[c.File+" "+name+" "+c.Fact]
			require.True(t, ok, "%s: %s is not there to be replaced\n%s", c.File, name, p.Files[c.File])
			if c.Dated {
				assert.Contains(t, []judge.Kind{judge.Within, judge.Outside}, s.kind, "%s outside the dates of %s", name, l.FullName)
				continue
			}
			assert.Equal(t, judge.NotApplicable.String(), s.kind.String(), name)
			assert.Contains(t, s.reason, "replaced by "+l.FullName)
		}
	}
}
