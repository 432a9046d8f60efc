package limit

import (
	"fmt"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// Fault is a mistake in a definition: where it stands, what is wrong and what to
// do. The rest of the definitions stays in use.
type Fault struct {
	At      fact.Origin
	Code    string
	Message string
	Mend    string
}

// Set is a compiled rule set.
type Set struct {
	*RuleSet
	Limits []*Compiled
	Bands  map[*fact.Leaf]Band
}

// Band is the uncertainty that a firm's policy gives to bare nominals.
type Band struct{ Of quantity.Quantity }

// CompileSet compiles a rule set. A limit that is not understood is left out and
// reported; the others stay.
func CompileSet(c *fact.Compiled, rs *RuleSet) (*Set, []Fault) {
	s := &Set{RuleSet: rs, Bands: map[*fact.Leaf]Band{}}
	var faults []Fault
	seen := map[string]bool{}
	for i := range rs.Limits {
		l := &rs.Limits[i]
		name := rs.Source.Name + "#" + l.Name
		if seen[l.Name] {
			faults = append(faults, Fault{l.At, "limit-twice", fmt.Sprintf("limit %s is defined twice", name), "give each limit a name of its own"})
			continue
		}
		seen[l.Name] = true
		compiled, err := Compile(c, rs, l)
		if err != nil {
			faults = append(faults, Fault{l.At, "broken-limit", fmt.Sprintf("limit %s: %v", name, err), "mend the definition; the limit is not applied until then"})
			rs.Broken = append(rs.Broken, name)
			continue
		}
		s.Limits = append(s.Limits, compiled)
	}
	for measure, text := range rs.Bands {
		leaf := c.Leaf(measure)
		if leaf == nil {
			faults = append(faults, Fault{rs.BandsAt, "broken-band", fmt.Sprintf("%s: band: there is no measure %q%s", rs.Source.Name, measure, nearest.Hint(nearest.Of(measure, c.Paths()))), "name a measure that exists"})
			continue
		}
		if leaf.Type != fact.Quantity || leaf.Calculation != nil {
			faults = append(faults, Fault{rs.BandsAt, "broken-band", fmt.Sprintf("%s: band: %s is not a quantity that somebody writes", rs.Source.Name, measure), "give bands to readings only"})
			continue
		}
		q, err := bandFor(leaf, text)
		if err != nil {
			faults = append(faults, Fault{rs.BandsAt, "broken-band", fmt.Sprintf("%s: band of %s: %v", rs.Source.Name, measure, err), "write it as \"4 %\" or in the unit of the measure"})
			continue
		}
		s.Bands[leaf] = Band{q}
	}
	return s, faults
}

// bandFor reads a band: a share of the value, or a quantity of the same kind.
func bandFor(l *fact.Leaf, text string) (quantity.Quantity, error) {
	kind := l.Of.Kind()
	if kind == quantity.Area {
		return quantity.Quantity{}, fmt.Errorf("a size may be written as a gauge, which has no band")
	}
	q, err := quantity.Parse(text, quantity.MustUnit("%"), quantity.Options{})
	if err != nil {
		unit := l.Of
		if kind == quantity.Temperature {
			unit = quantity.MustUnit("K")
		}
		if q, err = quantity.Parse(text, unit, quantity.Options{}); err != nil {
			return q, err
		}
	}
	if !kind.FitsAsUncertainty(q.Unit()) {
		return quantity.Quantity{}, fmt.Errorf("%s is no uncertainty of a %s", text, kind)
	}
	return q, nil
}
