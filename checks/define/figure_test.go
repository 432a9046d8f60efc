package define

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// figureTry is one value of a figure as CUE, and what must be said of it; nothing
// where it is right.
type figureTry struct{ text, says, mend string }

const notThere = "has a value of another form than it takes"

// figureTries are right and wrong values of a figure by its type.
func figureTries(t *testing.T, l *fact.Leaf) (out []figureTry) {
	t.Helper()
	one := func(text, says, mend string) { out = append(out, figureTry{text, says, mend}) }
	sample := func(otherwise string) string {
		if l.Example != "" {
			return l.Example
		}
		return otherwise
	}
	switch l.Type {
	case fact.Word:
		for _, w := range l.Words {
			bad := w + "q"
			one(fmt.Sprintf("%q", w), "", "")
			says := fmt.Sprintf("cannot be %q", bad)
			if len(w) > 3 {
				says += fmt.Sprintf("; did you mean %q", w)
			}
			one(fmt.Sprintf("%q", bad), says, "use one of: ")
		}
	case fact.Quantity:
		one(fmt.Sprintf("%q", sample("22 "+l.Unit)), "", "")
		other := "kg"
		if l.Of.Kind() == quantity.Mass {
			other = "V"
		}
		if l.Unit != "ratio" {
			one(`"22"`, `"22" has no unit`, "write 22 "+l.Unit)
		}
		one(`"22 `+other+`"`, "is expected", "write it as in ")
		one(`"22 qxzq"`, "a unit that is not known", "write it as in ")
		one(`"1e400 `+l.Unit+`"`, "absurd exponent", "write it as in ")
		one(`"2,5 `+l.Unit+`"`, "has a comma; figures in definitions have a decimal point", "write 2.5 "+l.Unit)
		one(`"many"`, "does not start with a number", "write it as in ")
		one(`""`, "is empty", "write it as in ")
		one(`22`, notThere, "")
	case fact.Count:
		one(fmt.Sprint(max(l.Least, 1)), "", "")
		for _, bad := range []string{"-1", "2.5", `"3"`, `"3 cells"`} {
			one(bad, notThere, "")
		}
	case fact.Truth:
		one("true", "", "")
		one(`"maybe"`, notThere, "")
		one("1", notThere, "")
	case fact.Date:
		one(`"2024-02-29"`, "", "")
		for _, bad := range []string{"2026-02-31", "11-03-2026", "2026-3-1", "soon", ""} {
			one(fmt.Sprintf("%q", bad), fmt.Sprintf("%q is no date", bad), "write it as in 2026-03-11")
		}
		one("20260311", notThere, "")
	case fact.Text, fact.Link:
		one(fmt.Sprintf("%q", sample("anything")), "", "")
		one("3", notThere, "")
		if l.Pattern != "" {
			one(`"§ 4"`, notThere, "")
		}
	default:
		require.Fail(t, "no bad figure is known for the type of a figure", "%s is a %s", l.Path, l.Type)
	}
	if l.Many {
		right := out[0].text
		for i := range out {
			out[i].text = "[" + right + ", " + out[i].text + "]"
		}
		one(right, notThere, "")
	}
	return out
}

// definitionOf is the name of the form of a kind of equipment or of a register.
func definitionOf(sc *fact.Scope) (kind, form string) {
	kind = sc.List.Name[strings.LastIndexByte(sc.List.Name, '.')+1:]
	return kind, "#" + strings.ToUpper(kind[:1]) + kind[1:]
}

// triesFile writes a product with a revision for each try, or a register with an
// entry for each. A try stands in line 8, 12, 16 and so on.
func triesFile(l *fact.Leaf, product string, tries []figureTry) string {
	kind, form := definitionOf(l.Scope)
	var b strings.Builder
	begin, beside := "equipment."+form+" & ", `title: "T", edition: "A"`
	fmt.Fprintf(&b, "package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: %s: {\n", product)
	if l.Scope.List.IsRegister() {
		b.Reset()
		fmt.Fprintf(&b, "package registers\n\nimport \"witnessmark.example/schema/register\"\n\n#%s: register.%s & {\n", kind, form)
		begin, beside = "", ""
		if kind == "instruments" {
			for _, d := range [][2]string{{"instrument", "other"}, {"calibrated_on", "2020-01-01"}, {"valid_until", "2030-01-01"}} {
				if d[0] != l.Name() {
					beside += fmt.Sprintf("%s: %q, ", d[0], d[1])
				}
			}
		}
	}
	for i, try := range tries {
		fmt.Fprintf(&b, "\t%s_%02d: %s{\n\t\t%s\n\t\t%s: %s\n\t}\n", product, i, begin, beside, strings.ReplaceAll(l.Inside(), ".", ": "), try.text)
	}
	return b.String() + "}\n"
}

// Every figure of every kind of equipment and of every register: what is right is
// read, and each way to write it wrongly is one fault at its line, in plain words.
func TestEveryFigureWrittenWrongly(t *testing.T) {
	t.Parallel()
	c := shape(t)
	files, tries, of := map[string]string{}, map[string][]figureTry{}, map[string]*fact.Leaf{}
	figures := map[string]bool{}
	for i, l := range c.Leaves {
		if !l.Scope.List.IsElsewhere() || l.Calculation != nil {
			continue
		}
		product := fmt.Sprintf("p%03d", i)
		name := "equipment/" + product + ".cue"
		if l.Scope.List.IsRegister() {
			name = "registers/" + product + ".cue"
		}
		tries[name], of[name], figures[l.Path] = figureTries(t, l), l, true
		files[name] = triesFile(l, product, tries[name])
	}
	f := readFirmOf(t, files)
	f.Products.All()
	at := map[fact.Origin][]limit.Fault{}
	for _, fault := range append(f.Products.Faults(), f.Faults...) {
		at[fault.At] = append(at[fault.At], fault)
	}
	for name, l := range of {
		for i, try := range tries[name] {
			here := fact.Origin{File: name, Line: 8 + 4*i}
			checkFigure(t, l, try, at[here])
			delete(at, here)
		}
	}
	assert.Empty(t, at, "faults at lines where nothing is wrong")
	for _, field := range c.Shape.Fields {
		if strings.HasPrefix(field.Path, "equipment.") || strings.HasPrefix(field.Path, "register.") {
			assert.True(t, figures[field.Path], "%s was never written wrongly", field.Path)
		}
	}
	assert.Greater(t, len(figures), 150)
}

func checkFigure(t *testing.T, l *fact.Leaf, try figureTry, got []limit.Fault) {
	t.Helper()
	where := l.Path + ": " + try.text
	if try.says == "" {
		assert.Empty(t, got, where)
		return
	}
	if !assert.Len(t, got, 1, where) {
		return
	}
	assert.Contains(t, got[0].Message, l.Name(), where)
	assert.Contains(t, got[0].Message, try.says, where)
	assert.Contains(t, got[0].Mend, try.mend, where)
	for _, raw := range []string{"conflicting", "disjunction", "=~", "_|_", "#products"} {
		assert.NotContains(t, got[0].Message+got[0].Mend, raw, where)
	}
}

// A list with an element that cannot be read is not known, and says why.
func TestListOfFiguresWithAWrongElement(t *testing.T) {
	c := shape(t)
	l := c.Leaf("register.people.may_rule_on")
	require.NotNil(t, l)
	in := &fact.Instance{Scope: l.Scope, Key: "ro", Values: make([]fact.Value, l.Scope.Slots()), Lines: map[string]fact.Origin{}}
	own := newLoader(nil)
	faults := readFigure(in, l, own.ctx.CompileString("[\n\"policy\",\n\"energize\",\n]"))
	require.Len(t, faults, 1)
	assert.Equal(t, 3, faults[0].At.Line)
	assert.Equal(t, `may_rule_on of ro: cannot be "energize"; did you mean "energise"?`, faults[0].Message)
	v := in.Get(l)
	assert.Equal(t, fact.Unreadable, v.State)
	assert.Contains(t, v.More.Reason, "energize")
	assert.Equal(t, []fact.State{fact.Known, fact.Unreadable}, []fact.State{v.More.List[0].State, v.More.List[1].State})
}
