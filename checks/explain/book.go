package explain

import (
	"regexp"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Book is what explanations are taken from. It is only read.
type Book struct {
	Shape  *fact.Compiled
	Sets   []*limit.Set // rule sets and the limits of products
	Faults []limit.Fault
	Ships  map[string]bool // rule sets that ship with the tool
	Firm   bool            // the definitions of a firm are among them
	Comma  bool            // the firm writes decimals with a comma

	Required map[string][]string // by rule set: where the firm's map requires it, as phrases

	Entries func(key string) []Entry // finds the jobs and entries of registers with a key; nil where there is no firm
}

// equipment begins the names of what datasheets limit.
const equipment = "equipment/"

// Explain explains a name: a full name, the short name of a limit, a dotted fact
// or list (also as an address in a report, or along links), a word, a rule set, a
// built-in check. A short name of several things gives an explanation of the kind
// several. Errors are *Unknown and *Broken.
func (b *Book) Explain(name string) (*Explanation, error) {
	asked := plainName(name)
	if asked == "" {
		return nil, &Unknown{Name: name, NoFirm: !b.Firm}
	}
	if all := b.exact(asked); len(all) > 0 {
		return b.together(asked, all), nil
	}
	if all := b.short(asked); len(all) == 1 {
		return b.together(asked, all), nil
	} else if len(all) > 1 {
		return candidates(asked, all), nil
	}
	if faults := b.broken(asked); len(faults) > 0 {
		return nil, &Broken{Name: asked, Faults: faults}
	}
	if w, err := b.Shape.Way(asked); err == nil {
		e := b.fact(w.Leaf)
		if w.Text != w.Leaf.Path {
			e.Notes = append(e.Notes, asked+" leads along links to "+w.Leaf.Path+".")
		}
		return b.together(asked, []*Explanation{e}), nil
	}
	u := &Unknown{Name: name, Nearest: b.near(asked), NoFirm: !b.Firm}
	if b.Entries != nil {
		u.Entries = b.Entries(asked)
	}
	return nil, u
}

// near finds the names nearest to one that does not exist: as a whole, else by
// what stands after its last dot or #.
func (b *Book) near(asked string) []string {
	names := b.Names()
	if near := nearest.Of(asked, names); len(near) > 0 {
		return near
	}
	last := func(s string) string { return s[strings.LastIndexAny(s, ".#")+1:] }
	byLast, lasts := map[string]string{}, []string(nil)
	for _, n := range names {
		if l := last(n); l != n && byLast[l] == "" {
			byLast[l], lasts = n, append(lasts, l)
		}
	}
	var out []string
	for _, l := range nearest.Of(last(asked), lasts) {
		out = append(out, byLast[l])
	}
	return out
}

// keys in an address of a report: stacks[A].wall_gap.
var keyInAddress = regexp.MustCompile(`\[[^\]]*\]`)

func plainName(name string) string {
	return strings.TrimSpace(keyInAddress.ReplaceAllString(name, ""))
}

// exact finds what has exactly this name; one word may have several meanings.
func (b *Book) exact(name string) []*Explanation {
	var out []*Explanation
	for _, s := range b.Sets {
		for _, l := range s.Limits {
			if l.FullName == name || l.FullName == equipment+name {
				out = append(out, b.limit(s, l))
			}
		}
		if s.Source.Name == name || s.Source.Name == equipment+name {
			out = append(out, b.ruleSet(s))
		}
	}
	if l := b.Shape.Leaf(name); l != nil {
		out = append(out, b.fact(l))
	}
	if sc := b.Shape.Scope(name); sc != nil && sc != b.Shape.Root {
		out = append(out, b.list(sc))
	}
	for _, c := range BuiltIn() {
		if c.Name == name {
			out = append(out, c)
		}
	}
	return append(out, b.words(name)...)
}

// short finds what a short name may stand for: limits, else facts and lists by
// their last parts, products by their name, built-in checks.
func (b *Book) short(name string) []*Explanation {
	var out []*Explanation
	for _, s := range b.Sets {
		for _, l := range s.Limits {
			if l.Name == name {
				out = append(out, b.limit(s, l))
			}
		}
	}
	for _, c := range BuiltIn() {
		if strings.HasSuffix(c.Name, "#"+name) {
			out = append(out, c)
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, s := range b.Sets {
		if s.Product != "" && (strings.HasPrefix(s.Source.Name, equipment+name+"@") || strings.HasPrefix(s.Source.Name, name+"@")) {
			out = append(out, b.ruleSet(s))
		}
	}
	for _, l := range b.Shape.Leaves {
		if strings.HasSuffix(l.Path, "."+name) {
			out = append(out, b.fact(l))
		}
	}
	for _, sc := range b.Shape.Scopes {
		if strings.HasSuffix(sc.List.Name, "."+name) {
			out = append(out, b.list(sc))
		}
	}
	return out
}

// Names lists every name that can be explained: full names, and the short names
// of limits, each once, in a fixed order.
func (b *Book) Names() []string {
	names := Words()
	for _, s := range b.Sets {
		names = append(names, s.Source.Name)
		for _, l := range s.Limits {
			names = append(names, l.FullName, l.Name)
		}
	}
	names = append(names, b.Shape.Paths()...)
	for _, sc := range b.Shape.Scopes {
		if sc.List.Name != "" {
			names = append(names, sc.List.Name)
		}
	}
	for _, c := range BuiltIn() {
		names = append(names, c.Name)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// together makes one explanation of those that share a name.
func (b *Book) together(name string, all []*Explanation) *Explanation {
	out := all[0]
	if len(all) > 1 {
		out = &Explanation{Kind: OfSeveral, Name: name, What: "This word has several meanings.", Explanations: all}
	}
	if !b.Firm {
		out.Notes = append(out.Notes, "No root file was found here or above: only what ships with the tool is explained, without a firm's policy, equipment data and amendments.")
	}
	return out
}

// candidates lists what a short name may stand for.
func candidates(name string, all []*Explanation) *Explanation {
	out := &Explanation{Kind: OfSeveral, Name: name, What: "Several things have this short name; ask for one of them by its full name."}
	for _, e := range all {
		what := e.What
		if e.Limit != nil {
			what = e.Label + " (" + e.Limit.Measure + ") " + e.Limit.Within
		}
		out.Candidates = append(out.Candidates, Candidate{e.Kind, e.Name, what})
	}
	return out
}

// broken finds the mistakes of a limit that is defined and not applied, by its
// full or short name.
func (b *Book) broken(name string) []limit.Fault {
	source, short, full := strings.Cut(name, "#")
	if !full {
		source, short = "", name
	}
	file := "" // of the source, where it is known
	for _, s := range b.Sets {
		if full && s.Source.Name == source {
			file = s.Source.At.File
		}
	}
	var out []limit.Fault
	for _, f := range b.Faults {
		about := strings.HasPrefix(f.Message, "limit "+name+":")
		about = about || !full && f.Code == "broken-limit" && strings.Contains(f.Message, "#"+short+":")
		cut := strings.HasSuffix(f.Mend, "; "+short+" is not applied until then")
		if about || cut && (file == "" || file == f.At.File) {
			out = append(out, f)
		}
	}
	return out
}
