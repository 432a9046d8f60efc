package define

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
)

// shapeReader walks the definition of a job (or of a kind of equipment) and
// collects its lists and fields.
type shapeReader struct {
	shape *fact.Shape
}

// elsewhere are the lists whose entries never stand in a job: kinds of equipment
// data and registers, each with the definition that describes one of them.
var elsewhere = []struct{ list, dir, definition, topic string }{
	{"equipment.storage", "equipment", "#Storage", "storage"},
	{"equipment.inverter", "equipment", "#Inverter", "supply"},
	{"equipment.protection", "equipment", "#Protection", "protection"},
	{"equipment.conductor", "equipment", "#Conductor", "cables"},
	{"equipment.fastener", "equipment", "#Fastener", "fixing"},
	{"register.instruments", "register", "#Instrument", "tests"},
	{"register.people", "register", "#Person", "work"},
}

// readShape reads the shape of jobs and equipment data from the tool's own
// module. A form it does not understand is an error.
func readShape(l *loader) (*fact.Shape, error) {
	r := &shapeReader{shape: &fact.Shape{}}
	job, err := l.ownPackage("job")
	if err != nil {
		return nil, fmt.Errorf("package job: %w", err)
	}
	if err := r.fields(job.LookupPath(cue.ParsePath("#Job")), "", ""); err != nil {
		return nil, err
	}
	for _, e := range elsewhere {
		pkg, err := l.ownPackage(e.dir)
		if err != nil {
			return nil, fmt.Errorf("package %s: %w", e.dir, err)
		}
		v := pkg.LookupPath(cue.ParsePath(e.definition))
		if !v.Exists() {
			continue // a module of a test may do without
		}
		r.shape.Lists = append(r.shape.Lists, fact.List{Name: e.list, At: at(v.Pos()), Meaning: docs(v)})
		r.shape.Topics = append(r.shape.Topics, fact.Topic{Path: e.list, Name: e.topic})
		if err := r.fields(v, e.list, ""); err != nil {
			return nil, err
		}
	}
	return r.shape, nil
}

// fields reads the fields of one struct; prefix is their path so far, key the
// key field of the list the struct is an entry of.
func (r *shapeReader) fields(v cue.Value, prefix, key string) error {
	it, err := v.Fields(cue.Optional(true))
	if err != nil {
		return fmt.Errorf("%s: %s is not a struct", at(v.Pos()), prefix)
	}
	for it.Next() {
		name := it.Selector().Unquoted()
		path := strings.TrimPrefix(prefix+"."+name, ".")
		if slices.ContainsFunc(elsewhere, func(e struct{ list, dir, definition, topic string }) bool { return e.list == prefix }) && isNoFact(name) {
			continue
		}
		if err := r.field(it.Value(), path, key == name && key != ""); err != nil {
			return fmt.Errorf("%s: %s: %w", at(it.Value().Pos()), path, err)
		}
	}
	return nil
}

// isNoFact names the fields of equipment data and registers that are no facts.
func isNoFact(name string) bool {
	switch name {
	case "title", "edition", "address", "limits", "kind", "earlier":
		return true
	}
	return false
}

func (r *shapeReader) field(v cue.Value, path string, isKey bool) error {
	attrs, err := readAttributes(v)
	if err != nil {
		return err
	}
	if attrs.topic != "" {
		r.shape.Topics = append(r.shape.Topics, fact.Topic{Path: path, Name: attrs.topic})
	}
	switch v.IncompleteKind() {
	case cue.StructKind:
		delete(attrs.seen, "topic")
		if len(attrs.seen) > 0 {
			return fmt.Errorf("attributes belong on fields and lists, not on a block; only @topic goes with one")
		}
		return r.fields(v, path, "")
	case cue.ListKind:
		elem := v.LookupPath(cue.MakePath(cue.AnyIndex))
		if !elem.Exists() {
			return fmt.Errorf("a list must be open: [...#Entry]")
		}
		if elem.IncompleteKind() == cue.StructKind {
			return r.list(v, elem, path, attrs)
		}
		return r.leaf(elem, v, path, attrs, true, isKey)
	}
	return r.leaf(v, v, path, attrs, false, isKey)
}

func (r *shapeReader) list(v, elem cue.Value, path string, attrs attributes) error {
	if attrs.key == "" {
		return fmt.Errorf("a list of entries needs @key(…)")
	}
	if attrs.has("unit", "built", "ref", "date", "stage") {
		return fmt.Errorf("a list of entries takes only @key, @label, @due and @topic")
	}
	parent := ""
	for _, l := range r.shape.Lists {
		if strings.HasPrefix(path, l.Name+".") && len(l.Name) > len(parent) {
			parent = l.Name
		}
	}
	r.shape.Lists = append(r.shape.Lists, fact.List{Name: path, Parent: parent, Key: attrs.key, Due: attrs.due, Label: attrs.label, Meaning: docs(v), At: at(v.Pos())})
	return r.fields(elem, path, attrs.key)
}

// leaf reads one field. v has the type, whole the documentation (they differ for
// a field with many values).
func (r *shapeReader) leaf(v, whole cue.Value, path string, attrs attributes, many, isKey bool) error {
	f := fact.Field{Path: path, Many: many, Label: attrs.label, Meaning: docs(whole), Example: attrs.example,
		Belongs: attrs.belongs, Signed: attrs.signed, Past: attrs.past, Form: attrs.form, After: attrs.after, Gone: attrs.gone, ValidOn: attrs.on, RulesOn: attrs.rulesOn, Private: attrs.private, Unique: attrs.unique, Stage: attrs.stage, Link: attrs.ref, Back: attrs.back, Unit: attrs.unit, Built: attrs.built, Due: attrs.due, DueOf: attrs.dueOf, At: at(whole.Pos())}
	if !attrs.has("due") {
		return fmt.Errorf("every field needs @due(…)")
	}
	if f.Label["en"] == "" || f.Meaning == "" {
		return fmt.Errorf("every field needs a meaning (a comment above it) and @label(en=…)")
	}
	if err := typeOf(v, &f, attrs, isKey); err != nil {
		return err
	}
	if f.After != "" && f.Type != fact.Date {
		return fmt.Errorf("@after goes with a date")
	}
	if f.Past && f.Type != fact.Date {
		return fmt.Errorf("@past goes with a date")
	}
	if f.Signed && f.Type != fact.Quantity {
		return fmt.Errorf("@signed goes with a quantity")
	}
	if f.Private && f.Type != fact.Text && f.Type != fact.Key && f.Type != fact.Link {
		return fmt.Errorf("@private goes with text, a key or a link; what is calculated from a number, a date or a word of a list would tell it all the same")
	}
	if f.Belongs && (f.Type != fact.Link || f.Many) {
		return fmt.Errorf("@belongs goes with a link to one entry")
	}
	r.shape.Fields = append(r.shape.Fields, f)
	return nil
}

// typeOf decides the type of a field from its CUE type and its attributes.
func typeOf(v cue.Value, f *fact.Field, attrs attributes, isKey bool) error {
	con, err := readConstraint(v)
	if err != nil {
		return err
	}
	switch v.IncompleteKind() {
	case cue.BoolKind:
		f.Type = fact.Truth
	case cue.IntKind:
		f.Type = fact.Count
		if f.Unit == "" {
			return fmt.Errorf("a whole number needs @unit(…), naming what is counted")
		}
		if f.Least, err = con.least(); err != nil {
			return err
		}
		if attrs.has("ref", "date", "stage") {
			return fmt.Errorf("@ref, @date and @stage do not go with a whole number")
		}
		return nil
	case cue.StringKind:
		f.Type = fact.Text
		return textType(con, f, attrs, isKey)
	default:
		return fmt.Errorf("a field is text, words, a whole number, or true or false; use a string with @unit for a quantity")
	}
	if attrs.has("unit", "ref", "date", "stage") {
		return fmt.Errorf("@unit, @ref, @date and @stage do not go with this type")
	}
	return nil
}

func textType(con *constraintTree, f *fact.Field, attrs attributes, isKey bool) error {
	words, pattern, err := con.wordsOrPattern()
	if err != nil {
		return err
	}
	f.Pattern = pattern
	special := 0
	for name, t := range map[string]fact.Type{"unit": fact.Quantity, "date": fact.Date, "ref": fact.Link} {
		if attrs.has(name) {
			f.Type = t
			special++
		}
	}
	switch {
	case special > 1 || special > 0 && len(words) > 0 && !isKey:
		return fmt.Errorf("only one of @unit, @date, @ref and a list of words describes a field")
	case isKey && special > 0:
		return fmt.Errorf("a key is plain text")
	case isKey:
		f.Type, f.Words = fact.Key, words
		if len(words) > 0 {
			f.Pattern = ""
		}
	case len(words) > 0:
		f.Type, f.Words, f.Pattern = fact.Word, words, ""
	}
	return nil
}

// attributes are the attributes of one field.
type attributes struct {
	seen                          map[string]bool
	unit, key, ref, back, example string
	on, rulesOn, after, gone      string
	dueOf, form, topic            string
	due                           fact.Due
	built                         fact.Stage
	private, stage, unique        bool
	belongs, signed, past         bool
	label                         fact.Labels
}

func (a attributes) has(names ...string) bool {
	for _, n := range names {
		if a.seen[n] {
			return true
		}
	}
	return false
}

func readAttributes(v cue.Value) (attributes, error) {
	a := attributes{seen: map[string]bool{}}
	for _, attr := range v.Attributes(cue.ValueAttr) {
		name := attr.Name()
		if a.seen[name] {
			return a, fmt.Errorf("@%s stands twice", name)
		}
		a.seen[name] = true
		if err := a.read(name, attr); err != nil {
			return a, fmt.Errorf("@%s: %w", name, err)
		}
	}
	return a, nil
}

func (a *attributes) read(name string, attr cue.Attribute) error {
	first, _ := attr.String(0)
	switch name {
	case "unit":
		a.unit = first
	case "key":
		a.key = first
	case "example":
		a.example = first
	case "private":
		a.private = true
	case "stage":
		a.stage = true
	case "unique":
		a.unique = true
		a.gone, _, _ = attr.Lookup(0, "until")
	case "after":
		a.after = first
	case "past":
		a.past = true
	case "form":
		a.form = first
	case "signed":
		a.signed = true
	case "belongs":
		a.belongs = true
	case "topic":
		if !slices.Contains(fact.Topics(), first) {
			return fmt.Errorf("%q is no topic; topics are %s", first, strings.Join(fact.Topics(), ", "))
		}
		a.topic = first
	case "date":
	case "ref":
		a.ref = first
		a.back, _, _ = attr.Lookup(1, "back")
		a.on, _, _ = attr.Lookup(1, "on")
		a.rulesOn, _, _ = attr.Lookup(1, "for")
	case "built":
		s, ok := fact.ParseStage(first)
		if !ok {
			return fmt.Errorf("%q is no stage", first)
		}
		a.built = s
	case "due":
		due, err := fact.ParseDue(first)
		if err != nil {
			return err
		}
		if days, ok, _ := attr.Lookup(1, "days"); ok {
			if due.Days, err = strconv.Atoi(days); err != nil || due.Days < 1 {
				return fmt.Errorf("%q is no number of days", days)
			}
		}
		a.due = due
		a.dueOf, _, _ = attr.Lookup(1, "of")
	case "label":
		a.label = fact.Labels{}
		for i := 0; i < attr.NumArgs(); i++ {
			language, text := attr.Arg(i)
			if len(language) != 2 || text == "" {
				return fmt.Errorf("write it as en=\"…\"")
			}
			a.label[language] = text
		}
	default:
		return fmt.Errorf("it is not understood")
	}
	return nil
}

// docs joins the comment above a field into one text.
func docs(v cue.Value) string {
	for _, g := range v.Doc() {
		if text := strings.Join(strings.Fields(g.Text()), " "); text != "" {
			return text
		}
	}
	return ""
}
