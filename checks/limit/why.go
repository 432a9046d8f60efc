package limit

import (
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
)

// Unmet is one reason why a limit does not apply to an entry. Its texts belong to
// the caller: they stay good when the facts are gone.
type Unmet struct {
	Fact  string // address of the fact: "premises.occupancy"; of `some`, the name of the list
	Value string // what it is: `"shop"`, "14 mm", "2026-03-02", "orrelin@B"
	Asked string // what the limit asks for instead: `"dwelling"`, "< 12 mm", "from 2026-07-01"
	Text  string // all of it as one phrase
}

// WhyNot lists what keeps the limit from applying to an entry: another product, a
// date out of force, each part of the condition that is not met. It is empty
// where Applies says anything but No.
func (l *Compiled) WhyNot(facts *fact.Facts, in *fact.Instance) []Unmet {
	if t, _ := l.Applies(facts, in); t != No {
		return nil
	}
	var out []Unmet
	if l.reach != nil {
		if t, _ := l.reach.holds(in, l.Source.Name); t == No {
			return l.reach.others(in, strings.TrimPrefix(l.Source.Name, "equipment/"))
		}
	}
	if l.Selects != fact.Never {
		if day, ok := facts.Date(l.Selects); ok {
			out = append(out, l.outOfForce(day)...)
		}
	}
	for i := range l.when {
		out = append(out, l.when[i].unmet(facts, in)...)
	}
	return out
}

// InForce tells whether a limit with first and last day is in force on the date
// its source goes by; Unknown where the job does not record that date. A limit
// without such days is always in force.
func (l *Compiled) InForce(date fact.Day, recorded bool) Truth {
	switch {
	case l.Selects == fact.Never:
		return Yes
	case !recorded:
		return Unknown
	}
	return truth(len(l.outOfForce(date)) == 0)
}

func (l *Compiled) outOfForce(day fact.Day) []Unmet {
	asked := ""
	switch {
	case l.From != fact.NoDay && day < l.From:
		asked = "from " + l.From.String()
	case l.Until != fact.NoDay && day > l.Until:
		asked = "until " + l.Until.String()
	default:
		return nil
	}
	name := "dates." + l.Selects.String()
	return []Unmet{{name, day.String(), asked, name + " is " + day.String() + "; the limit is in force " + asked}}
}

// others names the products that are used where the limit's own is not.
func (r *reach) others(in *fact.Instance, own string) []Unmet {
	level := []*fact.Instance{in}
	var out []Unmet
	for i, hop := range r.hops {
		var next []*fact.Instance
		for _, at := range level {
			for at.Scope != hop.Scope {
				at = at.Parent
			}
			v := at.Get(hop)
			values := []fact.Value{*v}
			if hop.Many && v.More != nil {
				values = v.More.List
			}
			for k := range values {
				if one := &values[k]; i == len(r.hops)-1 && one.Text != "" {
					name, used := at.AddressOf(hop), strings.Clone(one.Text)
					out = append(out, Unmet{name, used, own, name + " is " + used + "; the limit is for " + own})
				} else if one.State == fact.Known && one.Target != nil {
					next = append(next, one.Target)
				}
			}
		}
		level = next
	}
	if len(out) == 0 {
		last := r.hops[len(r.hops)-1].Path
		out = append(out, Unmet{last, "nothing", own, last + " names nothing here; the limit is for " + own})
	}
	return out
}

// unmet says how a condition is not met; nothing where it is, or is not known.
func (k *condition) unmet(facts *fact.Facts, in *fact.Instance) []Unmet {
	if t, _ := k.holds(facts, in); t != No {
		return nil
	}
	if k.list == nil {
		v, of, leaf, _ := k.way.Value(in)
		name, value, asked := of.AddressOf(leaf), valueText(v, leaf), k.asked()
		return []Unmet{{name, value, asked, name + " is " + value + "; the limit asks for " + asked}}
	}
	if k.list.List.IsEquipment() {
		return k.unmetByProduct(facts, in)
	}
	if k.every {
		return k.exceptions(facts, in)
	}
	n := 0
	for _, m := range facts.Entries[k.list.ID] {
		if ok, lack := k.belongs(m, in); ok && lack == nil {
			n++
		}
	}
	name, value, asked := k.list.List.Name, "none of "+strconv.Itoa(n), "some with "+strings.Join(phrases(k.of), " and ")
	if n == 0 {
		value = "no entry"
	}
	return []Unmet{{name, value, asked, name + ": " + value + "; the limit asks for " + asked}}
}

// unmetByProduct says what of the datasheet does not meet what is asked of it, or that
// no product is named.
func (k *condition) unmetByProduct(facts *fact.Facts, in *fact.Instance) []Unmet {
	v := in.Get(k.tie)
	if v.State != fact.Known || v.Target == nil {
		name, asked := in.AddressOf(k.tie), "a product with "+strings.Join(phrases(k.of), " and ")
		return []Unmet{{name, "not recorded", asked, name + " is not recorded; the limit asks for " + asked}}
	}
	var out []Unmet
	for i := range k.of {
		out = append(out, k.of[i].unmet(facts, v.Target)...)
	}
	return out
}

// exceptions names what the entries that `every` fails for do not meet.
func (k *condition) exceptions(facts *fact.Facts, in *fact.Instance) []Unmet {
	var out []Unmet
	for _, m := range facts.Entries[k.list.ID] {
		if ok, lack := k.belongs(m, in); !ok || lack != nil {
			continue
		}
		for i := range k.of {
			for _, u := range k.of[i].unmet(facts, m) {
				u.Text = u.Fact + " is " + u.Value + "; the limit asks of every entry of " + k.list.List.Name + " for " + u.Asked
				out = append(out, u)
			}
		}
	}
	return out
}

// valueText writes a known value as a reader needs it beside a condition.
func valueText(v *fact.Value, l *fact.Leaf) string {
	switch {
	case v == nil || v.State != fact.Known:
		return "not recorded"
	case l.Many:
		return WordsOf(v)
	case l.Type == fact.Truth && v.Truth:
		return "yes"
	case l.Type == fact.Truth:
		return "no"
	case l.Type == fact.Count:
		return l.Format(v.Quantity, l.Of)
	case l.Type == fact.Quantity && v.Written == "":
		return l.Format(v.Quantity, l.Of)
	case l.Type == fact.Quantity:
		return strings.Clone(v.Written)
	}
	return `"` + v.Text + `"`
}

// Conditions writes each part of the limit's `when` as a phrase, in the order of
// its definition: `premises.occupancy is "dwelling"`. All of them must hold.
func (l *Compiled) Conditions() []string { return phrases(l.when) }

func phrases(cs []condition) []string {
	out := make([]string, 0, len(cs))
	for i := range cs {
		out = append(out, cs[i].phrase())
	}
	return out
}

// asked is what a condition asks of its fact. That one word of a list is enough is
// what every condition means.
func (k *condition) asked() string {
	if k.is.op == Some {
		return k.is.args[0].describe()
	}
	return k.is.describe()
}

func (k *condition) phrase() string {
	if k.list != nil {
		word := "some of "
		if k.every {
			word = "every one of "
		}
		return word + k.list.List.Name + " with " + strings.Join(phrases(k.of), " and ")
	}
	asked := k.asked()
	for _, sign := range []string{"<", ">", "matching ", "not matching ", "("} {
		if strings.HasPrefix(asked, sign) {
			return k.way.Text + " " + asked
		}
	}
	return k.way.Text + " is " + asked
}
