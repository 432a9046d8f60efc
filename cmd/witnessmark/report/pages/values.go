package pages

import (
	"math"
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/redact"
)

// entries lists the entries of a list of the job, in the order of the file.
func (w *writer) entries(list string) []*fact.Instance {
	sc := w.facts().Shape.Scope(list)
	if sc == nil {
		return nil
	}
	return w.facts().Entries[sc.ID]
}

// find follows a path from an entry to its value: through links, to a product or
// to a register. A plan stands for a reading that is not there, and planned says
// so. Nothing (nil) is recorded of what is absent or cannot be reached.
func (w *writer) find(in *fact.Instance, path string) (v *fact.Value, l *fact.Leaf, planned bool) {
	way, err := w.facts().Shape.Way(path)
	if err != nil {
		return nil, nil, false
	}
	v, of, l, broken := way.Value(in)
	if broken {
		return nil, nil, false
	}
	plan := of.PlannedValue(l)
	switch {
	case plan == nil:
	case v.State == fact.Absent && plan.State == fact.Known:
		v, planned = plan, true
	case v.State == fact.Known && plan.State == fact.Known && v.At == plan.At:
		planned = true // nothing was read yet
	}
	if v.State != fact.Known && v.State != fact.Unreadable {
		return nil, l, false
	}
	return v, l, planned
}

// value shows one value of an entry: a word in the language of the page, a number
// with the decimal sign of the language and in the unit its author wrote.
func (w *writer) value(in *fact.Instance, path string) cell {
	v, l, planned := w.find(in, path)
	c := w.one(v, l)
	if planned && !c.Unknown {
		c.Note = w.T("value.planned")
	}
	return c
}

func (w *writer) one(v *fact.Value, l *fact.Leaf) cell {
	switch {
	case v == nil:
		return w.notRecorded()
	case v.State != fact.Known:
		w.unknown++
		return cell{Text: w.T("value.unreadable"), Unknown: true}
	case v.Written == redact.LeftOut:
		return w.withheld() // of whatever type it is
	case l.Many:
		return w.several(v, l)
	case l.Type == fact.Truth && v.Truth:
		return cell{Text: w.T("value.yes")}
	case l.Type == fact.Truth:
		return cell{Text: w.T("value.no")}
	case l.Type == fact.Quantity:
		return cell{Text: w.quantity(v.Quantity, l)}
	case l.Type == fact.Count:
		return cell{Text: w.decimal(strconv.FormatFloat(v.Quantity.Base(), 'f', -1, 64))}
	case l.Type == fact.Word:
		return cell{Text: w.word(l, v.Text)}
	case l.Type == fact.Date:
		c := w.free(v.Text)
		c.Whole = !c.Unknown
		return c
	}
	return w.free(v.Text)
}

// several shows the values of a field that has many. An empty list says that
// nothing was recorded, never that there is nothing.
func (w *writer) several(v *fact.Value, l *fact.Leaf) cell {
	var out []string
	if v.More != nil {
		for i := range v.More.List {
			one := &v.More.List[i]
			switch {
			case one.State != fact.Known:
				out = append(out, w.T("value.unreadable"))
			case l.Type == fact.Word:
				out = append(out, w.word(l, one.Text))
			default:
				out = append(out, w.free(one.Text).Text)
			}
		}
	}
	if len(out) == 0 {
		return w.notRecorded()
	}
	return cell{Text: listing(out)}
}

// quantity writes a quantity with the decimal sign of the language: as its author
// wrote it, a calculated one in the unit of its measure.
func (w *writer) quantity(q quantity.Quantity, l *fact.Leaf) string {
	text := ""
	if v := q.In(l.Of); q.IsCalculated() && !math.IsNaN(v) {
		text = strings.TrimSpace(shortened(v) + " " + l.Of.Symbol())
	} else {
		text = l.Format(q, q.Unit())
	}
	return w.decimal(strings.ReplaceAll(text, " ", "\u00a0"))
}

// shortened writes a calculated number with four digits that count: nobody on
// site reads more.
func shortened(v float64) string {
	const digits = 4
	places := 0
	if v != 0 {
		places = max(0, digits-1-int(math.Floor(math.Log10(math.Abs(v)))))
	}
	text := strconv.FormatFloat(v, 'f', places, 64)
	if places > 0 {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

func (w *writer) decimal(text string) string {
	if w.comma {
		return strings.ReplaceAll(text, ".", ",")
	}
	return text
}

// free shows text that somebody wrote; nothing written is not recorded, and what was
// left out is recorded all the same.
func (w *writer) free(text string) cell {
	switch {
	case strings.TrimSpace(text) == "":
		return w.notRecorded()
	case text == redact.LeftOut:
		return w.withheld()
	}
	return cell{Text: w.show(text)}
}

func (w *writer) notRecorded() cell {
	w.unknown++
	return cell{Text: w.T("value.not-recorded"), Unknown: true}
}

// withheld stands for a value that is recorded and was left out of this report.
func (w *writer) withheld() cell { return cell{Text: w.T("value.withheld"), Unknown: true} }

// person shows the name that the register has for a key, else the key.
func (w *writer) person(in *fact.Instance, path string) cell {
	v, l, _ := w.find(in, path)
	if v == nil || v.State != fact.Known || v.Target == nil || v.Text != v.Target.Key {
		return w.one(v, l) // as it stands, which may no longer be the key
	}
	name := w.facts().Shape.Leaf("register.people.name")
	if name == nil || v.Target.Scope != name.Scope {
		return w.one(v, l)
	}
	if n := v.Target.Get(name); n.State == fact.Known && n.Text != "" {
		return w.free(n.Text)
	}
	return w.free(v.Text)
}

// greatest is the largest of a measure over some entries; not known where it is
// not known of one of them.
func (w *writer) greatest(of []*fact.Instance, path string) (c cell, ok bool) {
	var most *fact.Value
	var leaf *fact.Leaf
	for _, in := range of {
		v, l, _ := w.find(in, path)
		if v == nil || v.State != fact.Known {
			return w.notRecorded(), false
		}
		if most == nil || v.Quantity.Base() > most.Quantity.Base() {
			most, leaf = v, l
		}
	}
	if most == nil {
		return w.notRecorded(), false
	}
	return w.one(most, leaf), true
}

// distinct shows what some entries have of a fact, each word once.
func (w *writer) distinct(of []*fact.Instance, path string) cell {
	var out []string
	seen := map[string]bool{}
	unknown := len(of) == 0
	for _, in := range of {
		v, l, _ := w.find(in, path)
		if v == nil || v.State != fact.Known {
			unknown = true
			continue
		}
		if text := w.one(v, l).Text; !seen[text] {
			seen[text] = true
			out = append(out, text)
		}
	}
	switch {
	case len(out) == 0:
		return w.notRecorded()
	case unknown:
		return cell{Text: listing(append(out, w.notRecorded().Text))}
	}
	return cell{Text: listing(out)}
}

// linked lists the entries that a field with many links leads to.
func (w *writer) linked(in *fact.Instance, path string) []*fact.Instance {
	l := w.facts().Shape.Leaf(path)
	if l == nil || l.Scope != in.Scope || in.Get(l).More == nil {
		return nil
	}
	var out []*fact.Instance
	list := in.Get(l).More.List
	for i := range list {
		if list[i].Target != nil {
			out = append(out, list[i].Target)
		}
	}
	return out
}
