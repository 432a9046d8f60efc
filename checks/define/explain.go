package define

import (
	"fmt"
	"regexp"
	"sort"
	"strings"

	"cuelang.org/go/cue/ast"
	cueerrors "cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/token"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

func newLoadError(pos token.Pos, path string) cueerrors.Error {
	return cueerrors.Newf(pos, "import failed: %s", path)
}

// explain turns errors of CUE into faults in our own words, each at a place in
// the file that is being read. The same place is reported once.
func explain(file string, err error, syntax *ast.File) []limit.Fault {
	var out []limit.Fault
	seen := map[string]bool{}
	words := enumerations(err)
	for _, e := range cueerrors.Errors(err) {
		format, args := e.Msg()
		message, mend := translate(format, args, nameOf(e.Path()))
		if w, ok := words[strings.Join(e.Path(), ".")]; ok {
			message, mend = w.explain(nameOf(e.Path()))
		} else if name := lastOf(e.Path()); strings.Contains(format, "field not allowed") {
			message += nearest.Hint(nearest.Of(name, fieldNames))
		}
		if a, b := twoLines(file, e); b > 0 && strings.Contains(format, "conflicting values") {
			message = fmt.Sprintf("%s has two values that contradict each other, in lines %d and %d", nameOf(e.Path()), a, b)
			mend = "keep one of the two"
		}
		f := limit.Fault{At: placeIn(file, e, syntax), Code: "broken-definition", Message: message, Mend: mend}
		key := message
		if !seen[key] {
			seen[key] = true
			out = append(out, f)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At.Line < out[j].At.Line })
	const most = 20
	if len(out) > most {
		more := len(out) - most
		out = append(out[:most], limit.Fault{At: out[most].At, Code: "broken-definition",
			Message: fmt.Sprintf("%d more mistakes follow in this file", more), Mend: "mend those above first"})
	}
	return out
}

// enumeration is a word that is none of those allowed.
type enumeration struct {
	written string
	allowed []string
}

func (w enumeration) explain(name string) (message, mend string) {
	return fmt.Sprintf("%s cannot be %s%s", name, w.written, nearest.Hint(nearest.Of(strings.Trim(w.written, `"`), w.allowed))), "use one of: " + strings.Join(w.allowed, ", ")
}

// enumerations finds words that fit no alternative: CUE reports each alternative
// by itself, as two values that contradict each other, of which one is always the
// author's.
func enumerations(err error) map[string]enumeration {
	pairs := map[string][][2]string{}
	for _, e := range cueerrors.Errors(err) {
		if format, args := e.Msg(); strings.HasPrefix(format, "conflicting values %s and %s") && len(args) >= 2 {
			path := strings.Join(e.Path(), ".")
			pairs[path] = append(pairs[path], [2]string{fmt.Sprint(args[0]), fmt.Sprint(args[1])})
		}
	}
	out := map[string]enumeration{}
	for path, all := range pairs {
		for side := range 2 {
			written := all[0][side]
			w := enumeration{written: written}
			for _, p := range all {
				other := p[0]
				if p[0] == written {
					other = p[1]
				} else if p[1] != written {
					w.allowed = nil
					break
				}
				if !strings.HasPrefix(other, `"`) { // a type or a pattern, no word
					w.allowed = nil
					break
				}
				w.allowed = append(w.allowed, strings.Trim(other, `"`))
			}
			if len(all) > 1 && len(w.allowed) == len(all) {
				out[path] = w
			}
		}
	}
	return out
}

func lastOf(path []string) string {
	if len(path) == 0 {
		return ""
	}
	return strings.Trim(path[len(path)-1], `"`)
}

// fieldNames are the fields of rule sets, limits, root files, equipment data and
// registers, for suggestions. A test holds them to the definitions.
var fieldNames = []string{
	"source", "limits", "bands", "promotes",
	"name", "title", "edition", "kind", "decision", "decided_by", "selected_by", "always", "address",
	"measure", "within", "unit", "printed", "when", "from", "until", "replaces", "hands_over_to", "clause", "grade", "reviewed", "review_by", "why",
	"jobs", "equipment", "rules", "decimal", "time_zone",
	"architecture", "chemistry", "module", "output", "dimensions",
	"firmware", "examples", "series", "base_mass", "cabinet", "terminals_at_rest", "controller", "current", "energy", "derating", "ip", "mixing", "parallel",
	"compatible_inverters", "joints", "switch_on", "switch_off", "phases", "isolated", "dc_earthing", "modes", "listed_to",
	"interactive", "dc", "ac", "efficiency", "mass", "profiles", "serial_pattern", "device", "rating", "poles", "curve",
	"rcd_type", "residual", "let_through", "terminal", "size", "material", "insulation_type", "temperature", "voltage",
	"resistance", "diameter", "bending_radius", "sunlight_resistant", "thread", "pitch", "class", "coating", "friction",
	"proof_stress", "anchor", "torque_low", "torque_high", "instrument", "model", "serial", "range", "accuracy", "category",
	"points", "calibrated_on", "valid_until", "certificate", "earlier", "licence", "valid_from", "may_rule_on", "registers",
	"languages", "required", "contacts", "region", "occupancies", "rule_sets", "says", "telephone", "hours",
}

// twoLines returns the two places of a contradiction that lies in the file alone,
// not between the file and the tool's definitions; zeros for any other.
func twoLines(file string, e cueerrors.Error) (a, b int) {
	var lines []int
	for _, p := range cueerrors.Positions(e) {
		if !p.IsValid() || p.Filename() != file {
			return 0, 0
		}
		lines = append(lines, p.Line())
	}
	if len(lines) != 2 {
		return 0, 0
	}
	return min(lines[0], lines[1]), max(lines[0], lines[1])
}

// placeIn finds the place of an error in the file: where its path leads in the
// syntax, else the first of the error's own places that lies in the file. (The
// definitions of the tool that a file contradicts are not where to mend it.)
func placeIn(file string, e cueerrors.Error, syntax *ast.File) fact.Origin {
	var best fact.Origin
	for _, p := range append([]token.Pos{e.Position()}, cueerrors.Positions(e)...) {
		if p.IsValid() && p.Filename() == file && best.Line == 0 {
			best = at(p)
		}
	}
	if syntax != nil {
		if p := placeOf(syntax.Decls, e.Path()); p.Line > best.Line {
			return p
		}
	}
	if best.Line == 0 {
		best = fact.Origin{File: file, Line: 1}
	}
	return best
}

// placeOf follows a path through the syntax as far as it goes. The same field may
// be written in several places; the one that leads furthest counts.
func placeOf(decls []ast.Decl, path []string) fact.Origin {
	var best fact.Origin
	deepest := 0
	eachField(decls, nil, func(f *ast.Field, here []string) bool {
		last := len(here) - 1
		if last >= len(path) || here[last] != strings.Trim(path[last], `"`) {
			return false
		}
		if len(here) > deepest {
			best, deepest = at(f.Pos()), len(here)
		}
		return true
	})
	return best
}

// nameOf writes an error's path as a reader knows it: without definitions, and
// with the product it belongs to.
func nameOf(path []string) string {
	var parts []string
	for _, p := range path {
		if !strings.HasPrefix(p, "#") {
			parts = append(parts, strings.Trim(p, `"`))
		}
	}
	if len(path) > 0 && path[0] == "#products" && len(parts) > 2 {
		return strings.Join(parts[2:], ".") + " of " + parts[0] + "@" + parts[1]
	}
	return strings.Join(parts, ".")
}

// messages maps what CUE says to what we say. The first that matches counts.
var messages = []struct {
	pattern       *regexp.Regexp
	message, mend string
}{
	{regexp.MustCompile(`field not allowed`), "%s is no field that belongs here", "look at its spelling; the definitions of package schema list what belongs where"},
	{regexp.MustCompile(`reference .* not found|undefined field`), "%s refers to something that does not exist", "look at the spelling of the reference"},
	{regexp.MustCompile(`required but not present`), "%s is missing", "add it"},
	{regexp.MustCompile(`incomplete value|non-concrete`), "%s has no definite value", "write the value itself"},
	{regexp.MustCompile(`incompatible .* bounds`), "%s allows nothing: its bounds contradict each other", "change one of the bounds"},
	{regexp.MustCompile(`cannot use list for bound`), "%s compares with a list of words", "of a list of words a word can be one (within: facts.f) or none (within: !=facts.f)"},
	{regexp.MustCompile(`illegal (character|UTF-8|byte order)|NUL`), "the file is not plain text in UTF-8 here", "save it as UTF-8, or restore it"},
	{regexp.MustCompile(`conflicting values|mismatched types|empty disjunction|invalid value|out of bound|does not match`), "%s has a value of another form than it takes", "look at how it is written in the definitions of package schema; texts, words and quantities stand in quotes, numbers and true or false do not"},
	{regexp.MustCompile(`import failed|cannot find package|package .* not found|import path|unknown import|imported and not used`), "an import is not understood or not used", "import only " + Module + "/limit, /equipment, /firm and /facts, and only what is used"},
	{regexp.MustCompile(`structural cycle|cycle`), "%s refers to itself", "break the circle"},
}

func translate(format string, args []any, path string) (message, mend string) {
	text := fmt.Sprintf(format, args...)
	if path == "" {
		path = "the file"
	}
	for _, m := range messages {
		if m.pattern.MatchString(text) {
			if strings.Contains(m.message, "%s") {
				return fmt.Sprintf(m.message, path), m.mend
			}
			return m.message, m.mend
		}
	}
	if strings.Contains(text, "expected") || strings.Contains(text, "syntax") || strings.Contains(text, "literal") || strings.Contains(text, "missing") {
		return "the file is not well-formed CUE here", "look for a missing bracket, quote or comma on this line or the one before"
	}
	return "the definition of " + path + " is not understood", "compare it with the definitions of package schema"
}
