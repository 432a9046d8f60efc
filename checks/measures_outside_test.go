package checks

import (
	"encoding/csv"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
)

// byTool holds that the example says what the tool was given and printed, and that
// this is what the example gives. The last number printed counts, in the unit of gives.
func (w *worked) byTool(t *testing.T, tool string, outside firm) {
	t.Helper()
	require.NotEmpty(t, tool, "%s: tool", w.file)
	require.Equal(t, "arithmetic", w.grade, "%s: the grade of what a tool calculated", w.file)
	require.Contains(t, outside, "outside/netlist.cir", w.file)
	require.Contains(t, outside, "outside/printed", w.file)
	lines := strings.Split(strings.TrimSpace(outside["outside/printed"]), "\n")
	_, last, _ := strings.Cut(lines[len(lines)-1], " = ")
	printed, err := strconv.ParseFloat(last, 64)
	require.NoError(t, err, "%s: printed", w.file)
	u := w.gives.Unit()
	require.InDelta(t, printed, w.gives.In(u), w.gives.BaseUncertainty()/w.gives.Base()*w.gives.In(u), "%s: the tool printed another result", w.file)
}

// outsideGrades are those of a figure that comes from outside the project: trade
// practice and memory are multiplied out by hand, from the formula that is to be checked.
var outsideGrades = []string{"document", "copy", "official", "secondary", "arithmetic"}

// withoutSource says of one measure why no figure from outside is needed: it only
// chooses, adds or compares what goes into it.
type withoutSource struct {
	measure, reason string
	made            []string // the facts that go into it, as its description names them
}

func readWithoutSource(t *testing.T) []withoutSource {
	t.Helper()
	f, err := os.Open("../testdata/measures/without_source.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"measure", "made_of", "reason"}, rows[0])
	var out []withoutSource
	for _, r := range rows[1:] {
		require.NotEmpty(t, r[2], "%s: reason", r[0])
		out = append(out, withoutSource{r[0], r[2], strings.Fields(r[1])})
	}
	return out
}

// notFromOutside lists what keeps a measure with a function from having its check
// against something outside the project, and rows that no longer hold.
func notFromOutside(t *testing.T, shape *fact.Compiled, all []worked, rows []withoutSource) []string {
	t.Helper()
	o := outsideCheck{shape: shape, figures: map[string]bool{}, rows: map[string]withoutSource{}}
	seen := map[string]bool{}
	for _, w := range all {
		seen[w.measure] = seen[w.measure] || w.refuses == ""
		o.figures[w.measure] = o.figures[w.measure] || w.refuses == "" && slices.Contains(outsideGrades, w.grade)
	}
	var faults []string
	for _, r := range rows {
		if _, twice := o.rows[r.measure]; twice {
			faults = append(faults, r.measure+" stands twice in without_source.csv")
		}
		o.rows[r.measure] = r
		faults = append(faults, o.row(r)...)
	}
	for _, l := range shape.Leaves {
		if l.Calculation == nil || l.Calculation.Function == "" {
			continue
		}
		if !seen[l.Path] {
			faults = append(faults, l.Path+" has no worked example in testdata/measures")
		}
		if gap := o.gap(l); gap != "" {
			faults = append(faults, l.Path+" has no check from outside: "+gap)
		}
	}
	return faults
}

type outsideCheck struct {
	shape   *fact.Compiled
	figures map[string]bool // measures with a figure from outside
	rows    map[string]withoutSource
}

// row lists what is wrong with a row by itself.
func (o *outsideCheck) row(r withoutSource) []string {
	l := o.shape.Leaf(r.measure)
	switch {
	case l == nil || l.Calculation == nil || l.Calculation.Function == "":
		return []string{r.measure + " stands in without_source.csv and is no measure with a function"}
	case o.figures[r.measure]:
		return []string{r.measure + " stands in without_source.csv and has a figure from outside: take the row out"}
	}
	var inputs []string
	for _, in := range l.Calculation.Inputs {
		inputs = append(inputs, in.Fact)
	}
	slices.Sort(inputs)
	made := slices.Sorted(slices.Values(r.made))
	if !slices.Equal(inputs, made) {
		return []string{fmt.Sprintf("%s is made of %v, and without_source.csv says of %v", r.measure, inputs, made)}
	}
	return nil
}

// gap names what has no check from outside, of the fact and all that goes into it;
// nothing where there is none. What is recorded is not calculated and needs none. That
// measures never go round in a circle is held when the shape is compiled.
func (o *outsideCheck) gap(l *fact.Leaf) string {
	if l.Calculation == nil || o.figures[l.Path] {
		return ""
	}
	var parts []string
	if l.Calculation.Function != "" {
		row, ok := o.rows[l.Path]
		if !ok {
			return l.Path + " has neither a figure nor a row in without_source.csv"
		}
		parts = row.made
	} else if l.Calculation.Count == nil {
		for _, term := range l.Calculation.Terms() {
			parts = append(parts, term.Fact)
		}
	}
	for _, part := range parts {
		w, err := o.shape.Way(part)
		if err != nil {
			return err.Error()
		}
		if gap := o.gap(w.Leaf); gap != "" {
			return gap
		}
	}
	return ""
}

// Each way in which a measure can lack its check from outside is found.
func TestMeasuresFromOutside(t *testing.T) {
	shape := shapeOf(t)
	rows := readWithoutSource(t)
	var all []worked
	for _, l := range shape.Leaves {
		if l.Calculation != nil && l.Calculation.Function != "" {
			grade := "secondary"
			if slices.ContainsFunc(rows, func(r withoutSource) bool { return r.measure == l.Path }) {
				grade = "practice"
			}
			all = append(all, worked{measure: l.Path, grade: grade})
		}
	}
	regrade := func(measure, grade string) []worked {
		out := slices.Clone(all)
		for i := range out {
			if out[i].measure == measure {
				out[i].grade = grade
			}
		}
		return out
	}
	without := func(measure string) []withoutSource {
		return slices.DeleteFunc(slices.Clone(rows), func(r withoutSource) bool { return r.measure == measure })
	}
	assert.Empty(t, notFromOutside(t, shape, all, rows))
	for name, c := range map[string]struct {
		all  []worked
		rows []withoutSource
		want string
	}{
		"no row":                {all, without("inverters.cable_difference"), "inverters.cable_difference has neither a figure nor a row"},
		"memory is no figure":   {regrade("stacks.energy", "memory"), rows, "stacks.energy has neither a figure nor a row"},
		"practice is no figure": {regrade("stacks.energy", "practice"), rows, "stacks.energy has neither a figure nor a row"},
		"a part without figure": {regrade("stacks.voltage_high", "practice"), rows, "stacks.joined_voltage_high has no check from outside: stacks.voltage_high"},
		"a superfluous row":     {regrade("inverters.cable_difference", "copy"), rows, "take the row out"},
		"a row for nothing":     {all, append(without(""), withoutSource{"stacks.width", "no reason", nil}), "stacks.width stands in without_source.csv and is no measure"},
		"a row twice":           {all, append(without(""), rows[0]), "stands twice"},
		"a part left out":       {all, append(without("inverters.cable_difference"), withoutSource{"inverters.cable_difference", "less", []string{"inverters.cable_longest"}}), "is made of [inverters.cable_longest inverters.cable_shortest]"},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Contains(t, strings.Join(notFromOutside(t, shape, c.all, c.rows), "\n"), c.want)
		})
	}
}
