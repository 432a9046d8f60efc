package checks

import (
	"context"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// workings is a sink that calculates anew, by hand, what a run calculated.
type workings struct {
	t       *testing.T
	library *Library
	seen    map[string]int
}

func (w *workings) Begin(*Run) error { return nil }
func (w *workings) Job([]byte) error { return nil }
func (w *workings) End(*Run) error   { return nil }

func (w *workings) Render(dst []byte, j *Job) []byte {
	for _, one := range j.Result.Facts.Workings {
		w.again(j.File, one)
	}
	return dst
}

// again calculates one measure from the values that went into it, as their author
// wrote them.
func (w *workings) again(file string, one *fact.Working) {
	measure := w.library.Shape.Leaf(one.Leaf.Path) // the run has a shape of its own
	var given []Given
	for i := range one.Inputs {
		switch in := &one.Inputs[i]; {
		case in.Leaf == nil || in.Value == nil:
		case in.Symbol == "":
			given = append(given, Given{in.Leaf.Path, textOf(in)})
		default:
			given = append(given, Given{measure.Calculation.Inputs[i].Fact, textOf(in)})
		}
	}
	if c := measure.Calculation.Count; c != nil {
		given = []Given{{c.Fact, strconv.Itoa(len(one.Inputs))}}
	}
	if measure.Calculation.Function == "" && len(one.Inputs) == 0 && measure.Calculation.Count == nil {
		return // nothing to add: by hand that is not known
	}
	got, err := w.library.Calculate(measure, given)
	if !assert.NoError(w.t, err, "%s %s %v", file, one.Of.AddressOf(one.Leaf), given) {
		return
	}
	w.seen[measure.Path]++
	assert.InEpsilon(w.t, 1+one.Result.Quantity.Base(), 1+got.Result.Quantity.Base(), 1e-12, "%s %s %v", file, one.Of.AddressOf(one.Leaf), given)
	for i := range one.Inputs {
		if in := &one.Inputs[i]; in.Value == nil && in.Leaf != nil {
			return // by hand there is an entry behind every link, and the steps may be others
		}
	}
	assert.Equal(w.t, told(one.Steps()), told(got.Result.More.From.Steps()), "%s %s", file, one.Of.AddressOf(one.Leaf))
}

// told is steps as a reader sees them: the last digit of a float is not among that.
func told(steps []quantity.Step) (out []string) {
	for _, s := range steps {
		out = append(out, s.Symbol+" = "+s.Value.String()+", "+s.From)
	}
	return out
}

// textOf is the value of an input as it can be given; of a calculated one with all
// of its digits.
func textOf(in *fact.WorkingInput) string {
	v := in.Value
	if v.Written != "" || in.Leaf.Type != fact.Quantity && in.Leaf.Type != fact.Count {
		return v.Written
	}
	text := strconv.FormatFloat(v.Quantity.In(in.Leaf.Of), 'f', -1, 64)
	if in.Leaf.Type == fact.Count || in.Leaf.Of == quantity.Ratio.BaseUnit() {
		return text
	}
	return text + " " + in.Leaf.Of.Symbol()
}

// What is calculated by hand is what a run calculates from the same values.
func TestCalculateSameAsLint(t *testing.T) {
	w := &workings{t: t, library: openExamples(t), seen: map[string]int{}}
	run, err := Lint(context.Background(), Options{FS: os.DirFS("../examples"), Workers: 1}, w)
	require.NoError(t, err)
	require.NotZero(t, run.Counts.Jobs)
	require.Greater(t, len(w.seen), 3)
	t.Log(w.seen)
}
