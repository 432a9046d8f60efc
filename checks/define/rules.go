package define

import (
	"fmt"
	"sort"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// readRuleSets reads every rule set of a built file or package: each definition
// that is a rule set. A limit that is not understood is left out and reported.
//
// Left are the parts of the file that were cut out before, by their paths.
func readRuleSets(v cue.Value, left map[string]bool) ([]limit.RuleSet, []limit.Fault) {
	var out []limit.RuleSet
	var faults []limit.Fault
	it, err := v.Fields(cue.Definitions(true))
	if err != nil {
		return nil, []limit.Fault{{At: at(v.Pos()), Code: "broken-definition", Message: "the file holds no definitions", Mend: "write rule sets as #name: limit.#RuleSet & {…}"}}
	}
	for it.Next() {
		if !it.Selector().IsDefinition() {
			continue
		}
		if !it.Value().LookupPath(cue.ParsePath("source")).Exists() {
			faults = append(faults, limit.Fault{At: origin(it.Value()), Code: "no-rule-set", Message: it.Selector().String() + " is no rule set: it has no source, so nothing of it is applied", Mend: "give it a source, or hide it with _ if it only helps others"})
			continue
		}
		set, more := readRuleSet(it.Value())
		faults = append(faults, more...)
		set.Broken = append(set.Broken, cutOut(left, it.Selector().String(), set.Source.Name)...)
		if set.Source.Name != "" {
			out = append(out, set)
		}
	}
	return out, faults
}

func readRuleSet(v cue.Value) (limit.RuleSet, []limit.Fault) {
	var set limit.RuleSet
	src := v.LookupPath(cue.ParsePath("source"))
	set.Source = readSource(src)
	if set.Source.Name == "" || set.Source.Kind == "" || set.Source.Decision == "" || set.Source.Title == "" || set.Source.DecidedBy == "" {
		return limit.RuleSet{}, []limit.Fault{{At: origin(src), Code: "broken-definition",
			Message: "a rule set's source lacks its name, title, kind, decision or decided_by", Mend: "state all of them; compare #Source in package schema"}}
	}
	set.Source.Always = set.Source.Always || set.Source.Kind == limit.Policy // a firm's policy is for all of its jobs
	limits, broken, faults := readLimits(v.LookupPath(cue.ParsePath("limits")), set.Source.Name)
	set.Limits, set.Broken = limits, broken
	set.Bands = readTexts(v.LookupPath(cue.ParsePath("bands")))
	set.Promotes = readList(v.LookupPath(cue.ParsePath("promotes")))
	set.BandsAt, set.PromotesAt = origin(v.LookupPath(cue.ParsePath("bands"))), origin(v.LookupPath(cue.ParsePath("promotes")))
	return set, faults
}

func readSource(v cue.Value) limit.Source {
	return limit.Source{
		Name: text(v, "name"), Title: text(v, "title"), Edition: text(v, "edition"), Kind: limit.Kind(text(v, "kind")),
		Decision: limit.Decision(text(v, "decision")), DecidedBy: text(v, "decided_by"), SelectedBy: text(v, "selected_by"),
		Always: truth(v, "always"), Address: text(v, "address"), At: origin(v.LookupPath(cue.ParsePath("name"))),
	}
}

// cutOut lists the limits below a path that were cut out of a file.
func cutOut(left map[string]bool, path, source string) []string {
	var out []string
	for p := range left {
		if name, ok := strings.CutPrefix(p, path+".limits."); ok {
			out = append(out, source+"#"+name)
		}
	}
	sort.Strings(out)
	return out
}

// readLimits reads a struct of limits, in the order of the file, and the full names
// of those that are not understood.
func readLimits(v cue.Value, source string) (out []limit.Limit, broken []string, faults []limit.Fault) {
	if !v.Exists() {
		return nil, nil, nil
	}
	it, err := v.Fields()
	if err != nil {
		return nil, nil, []limit.Fault{{At: origin(v), Code: "broken-definition", Message: source + ": limits is not a block of limits", Mend: "write limits: \"name\": {…}"}}
	}
	for it.Next() {
		name := it.Selector().Unquoted()
		l, err := readLimit(it.Value(), name)
		if err != nil {
			faults = append(faults, limit.Fault{At: l.At, Code: "broken-limit", Message: fmt.Sprintf("limit %s#%s: %v", source, name, err),
				Mend: "mend the definition; the limit is not applied until then"})
			broken = append(broken, source+"#"+name)
			continue
		}
		out = append(out, l)
	}
	return out, broken, faults
}

func readLimit(v cue.Value, name string) (limit.Limit, error) {
	l := limit.Limit{Name: name, Measure: text(v, "measure"), Unit: text(v, "unit"), Clause: text(v, "clause"), Grade: limit.Grade(text(v, "grade")),
		From: text(v, "from"), Until: text(v, "until"), HandsOverTo: text(v, "hands_over_to"), Address: text(v, "address"), Reviewed: text(v, "reviewed"),
		ReviewBy: text(v, "review_by"), Why: text(v, "why"), Replaces: readList(v.LookupPath(cue.ParsePath("replaces"))),
		At: origin(v.LookupPath(cue.ParsePath("measure")))}
	if l.At.Line == 0 {
		l.At = origin(v)
	}
	for _, need := range []struct{ what, text string }{{"measure", l.Measure}, {"clause", l.Clause}, {"grade", string(l.Grade)}, {"reviewed", l.Reviewed}, {"review_by", l.ReviewBy}, {"why", l.Why}} {
		if need.text == "" {
			return l, fmt.Errorf("%s is missing", need.what)
		}
	}
	within, err := readWithin(v)
	if err != nil {
		return l, err
	}
	l.Within = *within
	if p := v.LookupPath(cue.ParsePath("printed")); p.Exists() {
		second, err := readWithin(p)
		if err != nil {
			return l, fmt.Errorf("printed: %w", err)
		}
		l.Printed = &limit.Printed{Within: *second, Unit: text(p, "unit")}
	}
	if e := v.LookupPath(cue.ParsePath("examples")); e.Exists() {
		l.Examples = &limit.Examples{Within: readList(e.LookupPath(cue.ParsePath("within"))), Outside: readList(e.LookupPath(cue.ParsePath("outside"))), At: origin(e)}
	}
	if w := v.LookupPath(cue.ParsePath("when")); w.Exists() {
		if l.When, err = readWhen(w, nil); err != nil {
			return l, fmt.Errorf("when: %w", err)
		}
	}
	return l, nil
}

func readWithin(v cue.Value) (*limit.Constraint, error) {
	w := v.LookupPath(cue.ParsePath("within"))
	if !w.Exists() {
		return nil, fmt.Errorf("within is missing")
	}
	c, err := readConstraint(w)
	if err != nil {
		return nil, fmt.Errorf("within: %w", err)
	}
	if c.Constraint == nil {
		return nil, fmt.Errorf("within allows everything; write a bound")
	}
	return c.Constraint, nil
}

// readWhen reads a pattern on facts as a list of conditions. A struct that is
// anything but plain fields (alternatives, above all) would show no fields and
// make the limit unconditional, so it is refused.
func readWhen(v cue.Value, path []string) ([]limit.Condition, error) {
	if err := plainStruct(v); err != nil {
		return nil, err
	}
	it, err := v.Fields(cue.All())
	if err != nil {
		return nil, fmt.Errorf("%s is not a pattern of facts", strings.Join(path, "."))
	}
	var out []limit.Condition
	n := 0
	for it.Next() {
		n++
		if !it.Selector().IsString() || it.IsOptional() || it.Selector().ConstraintType() != 0 {
			return nil, fmt.Errorf("%s: only plain fields are understood in a condition", it.Selector())
		}
		key := it.Selector().Unquoted()
		var more []limit.Condition
		if len(path) == 0 && (key == "some" || key == "every") {
			more, err = readQuantifier(it.Value(), key)
		} else {
			more, err = readPart(it.Value(), append(append([]string(nil), path...), key))
		}
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	if n == 0 {
		return nil, fmt.Errorf("%s asks nothing", strings.TrimPrefix(strings.Join(path, ".")+" {}", " "))
	}
	return out, nil
}

func readPart(v cue.Value, path []string) ([]limit.Condition, error) {
	if v.IncompleteKind() == cue.StructKind {
		return readWhen(v, path)
	}
	c, err := readConstraint(v)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", strings.Join(path, "."), err)
	}
	if c.Constraint == nil {
		return nil, fmt.Errorf("%s: nothing is asked of it", strings.Join(path, "."))
	}
	return []limit.Condition{{Fact: strings.Join(path, "."), Is: c.Constraint}}, nil
}

// readQuantifier reads some: {list: {…}}. Facts inside are named from the list.
func readQuantifier(v cue.Value, word string) ([]limit.Condition, error) {
	if err := plainStruct(v); err != nil {
		return nil, err
	}
	it, err := v.Fields(cue.All())
	if err != nil {
		return nil, fmt.Errorf("%s: write it as %s: {list: {…}}", word, word)
	}
	var out []limit.Condition
	for it.Next() {
		list := it.Selector().Unquoted()
		of, err := readPart(it.Value(), []string{list})
		if err != nil {
			return nil, err
		}
		out = append(out, limit.Condition{Quantifier: word, List: list, Of: of})
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s: no list is named", word)
	}
	return out, nil
}

// plainStruct refuses structs that are alternatives or calculated. A unified
// struct is an & of structs.
func plainStruct(v cue.Value) error {
	op, args := v.Expr()
	switch op {
	case cue.NoOp, cue.SelectorOp:
		return nil
	case cue.AndOp:
		for _, a := range args {
			if err := plainStruct(a); err != nil {
				return err
			}
		}
		return nil
	}
	return fmt.Errorf("alternatives between blocks are not understood; list the words of one fact, or write two limits")
}

// text reads a string field; empty where it is absent.
func text(v cue.Value, field string) string {
	s, _ := v.LookupPath(cue.ParsePath(field)).String()
	return s
}

func truth(v cue.Value, field string) bool {
	b, _ := v.LookupPath(cue.ParsePath(field)).Bool()
	return b
}

func readList(v cue.Value) []string {
	it, err := v.List()
	if err != nil {
		return nil
	}
	var out []string
	for it.Next() {
		if s, err := it.Value().String(); err == nil {
			out = append(out, s)
		}
	}
	return out
}

func readTexts(v cue.Value) map[string]string {
	it, err := v.Fields()
	if err != nil {
		return nil
	}
	out := map[string]string{}
	for it.Next() {
		if s, err := it.Value().String(); err == nil {
			out[it.Selector().Unquoted()] = s
		}
	}
	return out
}

// origin finds where a unified value was written by the author of the rule set
// rather than in the definition it was unified with.
func origin(v cue.Value) fact.Origin {
	var places []fact.Origin
	var collect func(cue.Value, int)
	collect = func(v cue.Value, depth int) {
		if p := at(v.Pos()); p.Line > 0 {
			places = append(places, p)
		}
		if op, args := v.Expr(); op == cue.AndOp && depth < 4 {
			for _, a := range args {
				collect(a, depth+1)
			}
		}
	}
	collect(v, 0)
	sort.SliceStable(places, func(i, j int) bool { return !isForm(places[i].File) && isForm(places[j].File) })
	if len(places) == 0 {
		return fact.Origin{}
	}
	return places[0]
}

// isForm tells whether a file defines forms rather than limits or data.
func isForm(file string) bool {
	for _, dir := range []string{"schema/limit/", "schema/equipment/", "schema/firm/", "schema/job/", "schema/register/", "schema/tables/table.cue"} {
		if strings.HasPrefix(file, dir) {
			return true
		}
	}
	return false
}
