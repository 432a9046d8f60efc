package report

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"witnessmark.example/checks/fact"
)

// calculations writes calculations in full: formula, inputs, steps, result,
// source, and below each how its calculated inputs came about.
type calculations struct {
	*lines
	name  string                 // of the first line
	file  string                 // the job file as shown
	given bool                   // the inputs were given by hand, not read from a job
	told  map[*fact.Working]bool // written already in this finding
}

// row is one line of a calculation: what it is called, its value, where that is from.
type row struct{ name, value, from string }

// all writes a calculation and those of its inputs, each once.
func (c *calculations) all(w *fact.Working) {
	if c.told[w] {
		return
	}
	c.told[w] = true
	c.one(w)
	for i := range w.Inputs {
		if v := w.Inputs[i].Value; v != nil && v.More != nil && v.More.From != nil {
			c.name = "calculated"
			c.all(v.More.From)
		}
	}
}

// one writes one calculation: quantities in columns, then what is said of it.
func (c *calculations) one(w *fact.Working) {
	c.item(c.name).from(label(w.Leaf)).own(" (").from(address(w.Of, w.Leaf)).own(")").end()
	rows, remarks := c.rows(w)
	names, values := len("formula"), 0
	for _, r := range rows {
		names, values = max(names, utf8.RuneCountInString(r.name)), max(values, utf8.RuneCountInString(r.value))
	}
	c.remark(names, "formula", w.Leaf.Calculation.Formula)
	for _, r := range rows {
		c.hang = 4 + names + 3
		c.own("    ").from(r.name).own(pad(r.name, names))
		if r.value != "" {
			c.own(" = ").from(r.value)
		}
		if r.from != "" {
			c.own(pad(r.value, values), "  ").from(r.from)
		}
		c.end()
	}
	for _, text := range remarks {
		c.remark(names, "remark", text)
	}
	c.remark(names, "source", w.Leaf.Calculation.Source)
	c.remark(names, "valid", w.Leaf.Calculation.Validity)
}

// remark writes words about a calculation in line with its values, unless there are
// none.
func (c *calculations) remark(width int, name, text string) {
	if text != "" {
		c.hang = 4 + width + 3
		c.own("    ").in(c.paint.faint, name).own(pad(name, width), "   ").from(text).end()
	}
}

func pad(text string, width int) string {
	return strings.Repeat(" ", max(0, width-utf8.RuneCountInString(text)))
}

// rows are the inputs, the steps and the result.
func (c *calculations) rows(w *fact.Working) (rows []row, remarks []string) {
	for i := range w.Inputs {
		rows = append(rows, c.input(&w.Inputs[i]))
	}
	if len(w.Inputs) == 0 {
		remarks = append(remarks, "no entry goes into it")
	}
	for _, s := range w.Steps() {
		if s.Symbol == "" {
			remarks = append(remarks, s.From)
			continue
		}
		rows = append(rows, row{s.Symbol, s.Value.String(), s.From})
	}
	if w.Result.State == fact.Known {
		return append(rows, row{"result", w.Leaf.Format(w.Result.Quantity, w.Leaf.Of), ""}), remarks
	}
	why := w.Result.More.Reason
	if why == "" {
		why = "an input is not known"
	}
	return append(rows, row{"result", "none", why}), remarks
}

// input is the row of one input. Of a sum the parts have no symbol and go by their
// address.
func (c *calculations) input(in *fact.WorkingInput) row {
	r := row{name: in.Symbol, value: inputText(in), from: c.origin(in)}
	switch address := address(in.Of, in.Leaf); {
	case r.name == "":
		r.name = address
	case r.from == "":
		r.from = address
	default:
		r.from = address + ", " + r.from
	}
	return r
}

// address names a value, or an entry where there is no leaf.
func address(of *fact.Instance, l *fact.Leaf) string {
	if l == nil {
		return of.Address()
	}
	return of.AddressOf(l)
}

// origin says where the value of an input stands: in the job, in a datasheet, or
// in a calculation below.
func (c *calculations) origin(in *fact.WorkingInput) string {
	v := in.Value
	calculated := v != nil && v.More != nil && v.More.From != nil
	switch {
	case calculated:
		return "calculated below"
	case c.given && in.Leaf != nil && v == nil:
		return "not given"
	case c.given:
		return "given"
	case in.Of.Scope.List.IsElsewhere():
		from := productOrigin(in.Of, in.Leaf)
		if from.File == "" {
			return ""
		}
		return placeText(c.path(from.File), from.Line)
	case in.Leaf == nil:
		return placeText(c.file, in.Of.At.Line)
	case v != nil:
		return placeText(c.file, v.At.Line)
	}
	return ""
}

func placeText(file string, line int) string {
	if line == 0 {
		return file
	}
	return file + ":" + strconv.Itoa(line)
}
