package checks

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// rowCase is one entry of a job whose verdict turns on cells of published tables.
// In all texts # stands for the number of the case, which makes keys unique.
type rowCase struct {
	turns                 []string // the cells, as cellOf names them
	head                  string   // what the job has besides the two lists; cases of one head share jobs
	conductors, protected string   // entries of conductors and protection, without brackets
	limit, of             string   // full name of the limit, fact it is judged at
	kind                  judge.Kind
	because               string // part of the reason, or of the address of what is absent
	far                   bool   // on the side of the figure where a small change of it shows nothing
}

// rowCases gathers cases.
type rowCases struct {
	t   *testing.T
	all []rowCase
}

// cellOf names a cell by its table, the keys of its row and its column.
func cellOf(table, column string, keys ...string) string {
	for i, k := range keys {
		keys[i] = plain(k)
	}
	return table + " [" + strings.Join(keys, ", ") + "] " + column
}

// plain writes numbers in one way: the files write 1.0 where the tables write 1.
func plain(text string) string {
	if x, err := strconv.ParseFloat(text, 64); err == nil {
		return number(x)
	}
	return text
}

// number writes a figure to twelve digits: less than what a float has, more than
// any table prints.
func number(x float64) string {
	if x == 0 {
		return "0"
	}
	text := strconv.FormatFloat(x, 'f', max(1, 11-int(math.Floor(math.Log10(math.Abs(x))))), 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

func figureOf(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

func (r *rowCases) add(c rowCase) { r.all = append(r.all, c) }

// most adds a case just below a figure, at it and just above it, where c has @ for
// the value and its limit allows no more than the figure.
func (r *rowCases) most(c rowCase, figure, step float64, unit string) {
	for _, x := range []float64{-1, 0, 1} {
		kind := within
		if x > 0 {
			kind = outside
		}
		one := c.with(number(figure+x*step)+" "+unit, kind)
		one.far = x < 0
		r.add(one)
	}
}

// least is most for a limit that allows no less than the figure.
func (r *rowCases) least(c rowCase, figure, step float64, unit string) {
	for _, x := range []float64{-1, 0, 1} {
		kind := within
		if x < 0 {
			kind = outside
		}
		one := c.with(number(figure+x*step)+" "+unit, kind)
		one.far = x > 0
		r.add(one)
	}
}

// with puts a value in the place of @.
func (c rowCase) with(value string, kind judge.Kind) rowCase {
	c.conductors = strings.ReplaceAll(c.conductors, "@", value)
	c.protected = strings.ReplaceAll(c.protected, "@", value)
	c.head = strings.ReplaceAll(c.head, "@", value)
	c.kind = kind
	return c
}

// tableRows are all cases, from the published figures and not from the tables.
func tableRows(t *testing.T) []rowCase {
	r := &rowCases{t: t}
	r.ampacities()
	r.ambientOfNEC()
	r.countOfNEC()
	r.roofAndParallel()
	r.terminalColumns()
	r.standardRatings()
	r.largestDevices()
	r.smallConductors()
	r.continuousLoad()
	r.groundingConductors()
	r.electrodeConductors()
	r.busbarFactors()
	r.resistancesOfNEC()
	r.areasOfNEC()
	r.resistancesOfIEC()
	r.reactance()
	r.capacitiesOfIEC()
	r.ambientOfIEC()
	r.groupsOfIEC()
	r.insulationOfIEC()
	r.protectiveByLine()
	r.factorsK()
	r.beyondK()
	r.adiabaticTimes()
	r.smallestProtective()
	r.tripCurrents()
	return r.all
}

// rowProbe holds limits on measures that no limit of its own turns on.
var rowProbe = [][2]string{
	{"drop", `measure: "conductors.drop", within: <=1, unit: "V"`},
	{"drop-known", `measure: "conductors.drop", within: >=0, unit: "V"`},
	{"line", `measure: "conductors.size", within: >=facts.conductors.protective_table, unit: "mm²", when: conductors: carries: "protective earth"`},
	{"fault", `measure: "conductors.size", within: >=facts.conductors.protective_adiabatic, unit: "mm²", when: conductors: carries: "protective earth"`},
	{"capacity", `measure: "conductors.current", within: <=facts.conductors.capacity_iec, unit: "A"`},
	{"trip", `measure: "protection.fault_current", within: >=facts.protection.trip_current, unit: "A"`},
}

// casesPerJob is how many cases stand in one job.
const casesPerJob = 120

// rowJobs writes the cases into jobs, and tells the file of each case.
func rowJobs(cases []rowCase) (firm, []string) {
	groups := map[string][]int{}
	for i, c := range cases {
		set, _, _ := strings.Cut(c.limit, "#")
		key := fmt.Sprintf("rule_sets: [%s]\n%s", set, c.head)
		groups[key] = append(groups[key], i)
	}
	rules := strings.Replace(ruleFile("probe", "code", "simple", "", rowProbe...), ", always: true", "", 1)
	rules = strings.Replace(rules, "import ", "import \"witnessmark.example/schema/facts\"\nimport ", 1)
	f, files, n := firm{"witnessmark.cue": rootFile, "rules/probe.cue": rules}, make([]string, len(cases)), 0
	for _, head := range slices.Sorted(maps.Keys(groups)) {
		for chunk := range slices.Chunk(groups[head], casesPerJob) {
			file := fmt.Sprintf("jobs/%04d.yaml", n)
			n++
			var conductors, protection strings.Builder
			for _, i := range chunk {
				files[i] = file
				number := strconv.Itoa(i)
				for _, x := range []struct {
					b    *strings.Builder
					text string
				}{{&conductors, cases[i].conductors}, {&protection, cases[i].protected}} {
					if x.text != "" {
						for _, entry := range strings.Split(x.text, "\n") {
							x.b.WriteString("  - {" + strings.ReplaceAll(entry, "#", number) + "}\n")
						}
					}
				}
			}
			text := fmt.Sprintf("job: R-%d\nstage: designed\n%s", n, head)
			if !strings.Contains(head, "premises:") {
				text += fmt.Sprintf("premises: {id: p-%d, occupancy: farm}\n", n)
			}
			if conductors.Len() > 0 {
				text += "conductors:\n" + conductors.String()
			}
			if protection.Len() > 0 {
				text += "protection:\n" + protection.String()
			}
			f[file] = text
		}
	}
	return f, files
}

// judgeRows judges the cases with what ships and tells what is wrong with each;
// empty for one whose verdict is as it should be.
func judgeRows(t *testing.T, s *Shipped, cases []rowCase) []string {
	t.Helper()
	f, files := rowJobs(cases)
	out := &rowVerdicts{limits: map[string]bool{}, seen: map[string]rowVerdict{}}
	for _, c := range cases {
		out.limits[c.limit] = true
	}
	run, err := Lint(context.Background(), Options{FS: f.fs(), Paths: []string{"."}, AsOf: asOf, Shipped: s, Workers: 2, WithoutProposals: true}, out)
	require.NoError(t, err)
	for _, p := range run.Problems {
		require.Empty(t, p.Message, "%s:%d: %s", p.File, p.At.Line, strings.Split(f[p.File]+strings.Repeat("\n", p.At.Line), "\n")[p.At.Line-1])
	}
	wrong := make([]string, len(cases))
	for i, c := range cases {
		of := strings.ReplaceAll(c.of, "#", strconv.Itoa(i))
		got, ok := out.seen[files[i]+" "+c.limit+" "+of]
		switch {
		case !ok:
			wrong[i] = "was not judged"
		case got.kind != c.kind:
			wrong[i] = fmt.Sprintf("is %s: %s", got.kind, got.reason)
		case !strings.Contains(got.reason, c.because):
			wrong[i] = "gives another reason: " + got.reason
		}
	}
	return wrong
}

// rowVerdicts is a sink that keeps the verdicts of some limits.
type rowVerdicts struct {
	limits map[string]bool
	mu     sync.Mutex
	seen   map[string]rowVerdict // by file, limit and fact
}

// rowVerdict is a verdict with its reason and what it waits on.
type rowVerdict struct {
	kind   judge.Kind
	reason string
}

func (v *rowVerdicts) Begin(*Run) error { return nil }
func (v *rowVerdicts) Job([]byte) error { return nil }
func (v *rowVerdicts) End(*Run) error   { return nil }

func (v *rowVerdicts) Render(dst []byte, j *Job) []byte {
	if j.Result == nil {
		return dst
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	for i := range j.Result.Outcomes {
		o := &j.Result.Outcomes[i]
		if o.Limit == nil || !v.limits[o.Limit.FullName] {
			continue
		}
		reason := o.Reason
		for _, w := range o.WaitsOn {
			reason += " " + w.Of.AddressOf(w.Leaf)
		}
		v.seen[j.File+" "+o.Limit.FullName+" "+o.Fact()] = rowVerdict{o.Kind, reason}
	}
	return dst
}

// Every row of every published table decides a verdict of lint as printed: just
// below, at and just above the figure. The figures are those of testdata/reference
// or stand in these tests with their source; the tables are not asked.
func TestEveryTableRowThroughLint(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	t.Parallel()
	cases := tableRows(t)
	require.Greater(t, len(cases), 2000)
	wrong := 0
	for i, text := range judgeRows(t, once(t), cases) {
		c := cases[i]
		if text == "" {
			continue
		}
		if wrong++; wrong < 20 {
			assert.Fail(t, text, "%s, wanted %s %s; %s; %s; %s; %v", c.limit, c.kind, c.because, c.head, c.conductors, c.protected, c.turns)
		}
	}
	assert.Zero(t, wrong, "of %d cases", len(cases))
}
