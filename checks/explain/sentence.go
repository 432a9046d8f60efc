package explain

import (
	"maps"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// label is what people call a fact.
func label(l *fact.Leaf) string {
	if s := l.Label.In("en"); s != "" {
		return s
	}
	return l.Path
}

func sortedKeys(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

// words writes a constraint so that it follows "must be": "at least 3 ft",
// `"garage" or "carport"`, "yes". Numbers are in unit u.
func words(c limit.Constraint, l *fact.Leaf, u quantity.Unit) string {
	switch c.Op {
	case limit.All:
		return joined(c, l, u, " and ")
	case limit.Any:
		return joined(c, l, u, " or ")
	case limit.Some:
		return words(c.Args[0], l, u) + " among them"
	case limit.Every:
		return "each of them " + words(c.Args[0], l, u)
	}
	if c.Operand.Fact != "" && l.Type != fact.Quantity && l.Type != fact.Count {
		if c.Op == limit.Differs {
			return "none of " + c.Operand.Fact
		}
		return "one of " + c.Operand.Fact
	}
	before := map[limit.Op]string{limit.Less: "less than ", limit.AtMost: "at most ", limit.Greater: "more than ", limit.AtLeast: "at least ",
		limit.Differs: "anything but ", limit.Matches: "of the form ", limit.DoesNotMatch: "anything but of the form "}[c.Op]
	if c.Op == limit.Equals && (l.Type == fact.Quantity || l.Type == fact.Count) {
		before = "exactly "
	}
	return before + operand(c.Operand, l, u)
}

func joined(c limit.Constraint, l *fact.Leaf, u quantity.Unit, word string) string {
	parts := make([]string, len(c.Args))
	for i, a := range c.Args {
		parts[i] = words(a, l, u)
		if len(c.Args) > 1 && (a.Op == limit.All || a.Op == limit.Any) && a.Op != c.Op {
			parts[i] = "(" + parts[i] + ")"
		}
	}
	if len(parts) > 2 {
		last := len(parts) - 1
		return strings.Join(parts[:last], ", ") + word + parts[last]
	}
	return strings.Join(parts, word)
}

// operand writes what is compared with, numbers with their unit.
func operand(o *limit.Operand, l *fact.Leaf, u quantity.Unit) string {
	switch {
	case o.Fact != "":
		s := o.Fact
		if o.Times != "" {
			s = o.Times + " times " + s
		}
		if o.Plus != "" {
			s += " plus " + number(o.Plus, l, u)
		}
		return s
	case o.Truth != nil && *o.Truth:
		return "yes"
	case o.Truth != nil:
		return "no"
	case o.Number != "":
		return number(o.Number, l, u)
	}
	return `"` + o.Text + `"`
}

func number(text string, l *fact.Leaf, u quantity.Unit) string {
	n, err := quantity.ParseDecimal(text)
	if err != nil {
		return text
	}
	return l.Format(quantity.New(n, u), u)
}

// conditions writes the parts of a `when`, each as a sentence.
func (b *Book) conditions(all []limit.Condition) []Condition {
	var out []Condition
	for _, c := range all {
		if c.Quantifier != "" {
			name := c.List
			if sc := b.Shape.Scope(c.List); sc != nil && sc.List.Label.In("en") != "" {
				name = sc.List.Label.In("en") + " (entry of " + c.List + ")"
			}
			text := c.Quantifier + " " + name + " meets all of this"
			if sc := b.Shape.Scope(c.List); sc != nil && sc.List.IsEquipment() {
				text = "a product is named (" + c.List + ") whose datasheet meets all of this"
			}
			out = append(out, Condition{Text: text, List: c.List, Of: b.conditions(c.Of)})
			continue
		}
		w, err := b.Shape.Way(c.Fact)
		if err != nil || c.Is == nil {
			continue // a limit with such a condition is not compiled
		}
		is := words(*c.Is, w.Leaf, w.Leaf.Of)
		text := label(w.Leaf) + " (" + c.Fact + ") is " + is
		if w.Leaf.Many && c.Is.Brackets() {
			text = label(w.Leaf) + " (" + c.Fact + "): " + listWords(*c.Is, w.Leaf)
		} else if w.Leaf.Many {
			text = "one of " + label(w.Leaf) + " (" + c.Fact + ") is " + is
		}
		out = append(out, Condition{Text: text, Fact: c.Fact})
	}
	return out
}

// dueOf says when a fact is due, planned and built.
func dueOf(l *fact.Leaf) *Due {
	d := &Due{At: l.DueAt.At.String(), Days: l.DueAt.Days}
	switch {
	case l.DueAt.At == fact.Never && l.Calculation != nil:
		d.Text = "nothing that it is calculated from is ever demanded; it is judged where all of it is recorded"
	case l.DueAt.At == fact.Never && l.Scope.List.IsEquipment():
		d.Text = "never demanded; what needs it and does not find it in the datasheet is not checked"
	case l.DueAt.At == fact.Never:
		d.Text = "optional: nothing demands it"
	default:
		d.Text = dueText(l.DueAt)
		if g, ok := l.DueAt.At.Gate(); ok && l.DueAt.Days == 0 {
			d.Gate = g.String()
			d.Text += "; open before the gate " + d.Gate + " until then"
		}
		if l.DueOf != "" {
			d.Text += "; only where an entry of " + l.DueOf + " leads here"
		}
		if l.Calculation != nil {
			d.Text = "when the latest of its inputs is: " + d.Text
		}
	}
	switch {
	case l.Planned >= 0 && l.DueAt.At == fact.Never:
		d.Built = l.Built.String()
		d.Text += "; where it is planned, its reading on site is due from " + d.Built + " on, and decides from then on"
	case l.Planned >= 0:
		d.Built = l.Built.String()
		d.Text += "; the reading on site is due from " + d.Built + " on, and decides from then on"
	case l.Calculation != nil && l.DueOnSite != l.DueAt && l.DueOnSite.At != fact.Never:
		d.Built = l.DueOnSite.At.String()
		d.Text += "; with readings on site: " + dueText(l.DueOnSite)
	}
	return d
}

// dueText writes a due date: "energise", "30 days after handed-over".
func dueText(d fact.Due) string {
	if d.Days == 0 {
		return d.At.String()
	}
	return fact.CountOf(quantity.Decimal{Coef: int64(d.Days)}.String(), "days") + " after " + d.At.String()
}
