package define

import (
	"fmt"
	"io/fs"
	"sort"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Registers are a firm's registers: by their name ("instruments"), the entries by
// key. A register that the firm does not keep is absent. An entry that is broken
// has no scope; the files that are broken as a whole stand under the name "".
type Registers map[string]map[string]*fact.Instance

// registerDefinitions are the definitions a register file may hold, with the forms
// of the whole, of an entry and of an earlier time of one.
var registerDefinitions = []registerDefinition{
	{"#instruments", "instruments", "#Instruments", "#Instrument", "#Calibration"},
	{"#people", "people", "#People", "#Person", "#Licence"},
}

type registerDefinition struct{ definition, register, form, entry, earlier string }

// readRegisters reads every file of the folder of registers. An entry that is
// broken is reported and not used; so is a second one with the same key.
func readRegisters(l *loader, shape *fact.Compiled, fsys fs.FS, dir string, others []string) (Registers, []limit.Fault) {
	names, faults := definitionFiles(fsys, dir, "registers", others...)
	r := Registers{}
	for _, name := range names {
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			faults = append(faults, unreadable(name, err))
			r.broken("", name, name)
			continue
		}
		b := l.buildFile(name, data, true, l.registerForms())
		faults = append(faults, b.faults...)
		if b.useless {
			r.brokenFile(name, string(data))
			continue
		}
		faults = append(faults, r.read(l, shape, b, name)...)
	}
	return r, faults
}

// registerForms are what the definitions of a register file must fit.
func (l *loader) registerForms() forms {
	out := forms{}
	for _, d := range registerDefinitions {
		out[d.definition] = l.form("register", d.form)
	}
	return out
}

// brokenFile notes a file of which nothing can be used. The registers that it
// names are kept, though what they hold is not known.
func (r Registers) brokenFile(file, text string) {
	r.broken("", file, file)
	for _, d := range registerDefinitions {
		if strings.Contains(text, d.definition) && r[d.register] == nil {
			r[d.register] = map[string]*fact.Instance{}
		}
	}
}

// broken notes an entry that cannot be used.
func (r Registers) broken(register, key, file string) {
	if r[register] == nil {
		r[register] = map[string]*fact.Instance{}
	}
	if r[register][key] == nil {
		r[register][key] = &fact.Instance{Key: key, File: file}
	}
}

// read takes the entries of one built file.
func (r Registers) read(l *loader, shape *fact.Compiled, b built, file string) []limit.Fault {
	var faults []limit.Fault
	found := false
	for _, d := range registerDefinitions {
		all := b.value.LookupPath(cue.ParsePath(d.definition))
		scope := shape.Scope("register." + d.register)
		if !all.Exists() || scope == nil {
			continue
		}
		found = true
		if r[d.register] == nil {
			r[d.register] = map[string]*fact.Instance{}
		}
		read := entryReader{scope: scope, file: file, needs: required(l.form("register", d.entry)), needsEarlier: required(l.form("register", d.earlier))}
		it, err := all.Fields()
		for err == nil && it.Next() {
			key := it.Selector().Unquoted()
			at := origin(it.Value())
			if first := r[d.register][key]; first != nil {
				faults = append(faults, limit.Fault{At: at, Code: "registered-twice", Message: fmt.Sprintf("%q stands in the register of %s already, in %s", key, d.register, first.File), Mend: "keep one of them"})
				continue
			}
			in, more, sound := read.entry(it.Value(), key)
			faults = append(faults, more...)
			if sound && !b.left[d.definition+"."+key] { // a part of it may be left out, and the rest not
				r[d.register][key] = in
			} else {
				r.broken(d.register, key, file)
			}
		}
		for path := range b.left {
			if key, ok := strings.CutPrefix(path, d.definition+"."); ok {
				r.broken(d.register, key, file)
			}
		}
	}
	faults = append(faults, unknownRegisters(b.value, file)...)
	if !found && len(b.faults) == 0 && len(faults) == 0 {
		faults = append(faults, limit.Fault{At: fact.Origin{File: file, Line: 1}, Code: "no-register", Message: "the file holds no register, so nothing of it is used",
			Mend: "write #instruments: register.#Instruments & {…}, or #people: register.#People & {…}"})
	}
	return faults
}

// entryReader reads the entries of one register in one file.
type entryReader struct {
	scope               *fact.Scope
	file                string
	needs, needsEarlier []string // fields that an entry, and an earlier time of one, must have
}

// entry reads one entry with the times in which it was good. One that lacks a
// field or has a wrong date is not sound: nobody knows when it was good.
func (r *entryReader) entry(v cue.Value, key string) (in *fact.Instance, faults []limit.Fault, sound bool) {
	in = &fact.Instance{Scope: r.scope, Key: key, File: r.file, Values: make([]fact.Value, r.scope.Slots()), Lines: map[string]fact.Origin{"": origin(v)}}
	in.At.Line = origin(v).Line
	for _, l := range r.scope.Leaves {
		faults = append(faults, readFigure(in, l, v.LookupPath(cue.ParsePath(l.Inside())))...)
	}
	sound = true
	name, needs := key, r.needs
	times := append([]cue.Value{v}, items(v.LookupPath(cue.ParsePath("earlier")))...)
	for _, t := range times {
		for _, field := range needs {
			if !t.LookupPath(cue.ParsePath(field)).Exists() {
				sound = false
				faults = append(faults, limit.Fault{At: origin(t), Code: "broken-register", Message: fmt.Sprintf("%s of %s is missing", field, name), Mend: "add it"})
			}
		}
		span, more, ok := readSpan(t, name, name == key)
		faults, sound = append(faults, more...), sound && ok
		if span.From != fact.NoDay || span.Until != fact.NoDay || len(times) > 1 {
			in.Valid = append(in.Valid, span) // one without dates beside others was good at any time
		}
		name, needs = "an earlier time of "+key, r.needsEarlier
	}
	if !sound {
		for i := range faults {
			faults[i].Mend += "; " + key + " is not applied until then"
		}
	}
	return in, faults, sound
}

// unknownRegisters reports definitions that are no register: a misspelt one would
// make the firm look as if it kept none.
func unknownRegisters(v cue.Value, file string) []limit.Fault {
	var names []string
	for _, d := range registerDefinitions {
		names = append(names, d.definition)
	}
	var faults []limit.Fault
	it, err := v.Fields(cue.Definitions(true))
	for err == nil && it.Next() {
		if name := it.Selector().String(); it.Selector().IsDefinition() && !isRegister(name) {
			at := origin(it.Value())
			if at.Line == 0 || isForm(at.File) {
				at = fact.Origin{File: file, Line: 1}
			}
			faults = append(faults, limit.Fault{At: at, Code: "no-register", Message: fmt.Sprintf("%s is no register, so nothing of it is used%s", name, nearest.Hint(nearest.Of(name, names))),
				Mend: "name it #instruments or #people, or hide it with _ if it only helps others"})
		}
	}
	return faults
}

// readSpan reads the first and last day of one calibration or licence. Told says
// that dates that are none have been reported with the figures.
func readSpan(v cue.Value, key string, told bool) (span fact.Span, faults []limit.Fault, sound bool) {
	span, sound = fact.Span{From: fact.NoDay, Until: fact.NoDay}, true
	for _, d := range []struct {
		field string
		to    *fact.Day
	}{{"calibrated_on", &span.From}, {"valid_from", &span.From}, {"valid_until", &span.Until}} {
		w := v.LookupPath(cue.ParsePath(d.field))
		if !w.Exists() {
			continue
		}
		day, ok := fact.ParseDay(text(v, d.field))
		if !ok {
			sound = false
			if !told {
				faults = append(faults, limit.Fault{At: origin(w), Code: "broken-register", Message: fmt.Sprintf("%s of %s: %q is no date", d.field, key, text(v, d.field)), Mend: "write year-month-day, for example 2026-03-11"})
			}
			continue
		}
		*d.to = day
	}
	if span.From != fact.NoDay && span.Until != fact.NoDay && span.Until < span.From {
		sound = false
		faults = append(faults, limit.Fault{At: origin(v.LookupPath(cue.ParsePath("valid_until"))), Code: "broken-register",
			Message: fmt.Sprintf("%s is good until %s, before it begins on %s", key, span.Until, span.From), Mend: "correct the dates"})
	}
	return span, faults, sound
}

// Find looks an entry up. Kept tells whether the firm keeps the register at all.
// What is broken is not taken for missing.
func (r Registers) Find(register, key string) (entry *fact.Instance, kept bool, err error) {
	entries, kept := r[register]
	in := entries[key]
	switch {
	case in != nil && in.Scope != nil:
		return in, true, nil
	case in != nil:
		return nil, true, &fact.BrokenEntry{Reason: fmt.Sprintf("the entry of %q in the register of %s is broken (see the problems of %s)", key, register, in.File)}
	case len(r[""]) > 0:
		return nil, true, &fact.BrokenEntry{Reason: fmt.Sprintf("%q could not be looked up in the register of %s, since a file of it is broken (see the problems of %s)", key, register, r.Keys("")[0])}
	case !kept:
		return nil, false, nil
	}
	return nil, true, fmt.Errorf("there is no %q in the register of %s%s", key, register, nearest.Hint(nearest.Of(key, r.Keys(register))))
}

// Keys lists the keys of a register, sorted.
func (r Registers) Keys(register string) []string {
	var out []string
	for key := range r[register] {
		out = append(out, key)
	}
	sort.Strings(out)
	return out
}

// RegisterNames lists the registers there can be.
func RegisterNames() []string {
	var out []string
	for _, d := range registerDefinitions {
		out = append(out, d.register)
	}
	return out
}

// isRegisterEntry tells whether a path in a file is that of an entry of a register.
func isRegisterEntry(path []string) bool {
	for _, d := range registerDefinitions {
		if len(path) == 2 && path[0] == d.definition && !strings.HasPrefix(path[1], "[") {
			return true
		}
	}
	return false
}

// isRegister tells whether a definition is a register as a whole.
func isRegister(name string) bool {
	for _, d := range registerDefinitions {
		if name == d.definition {
			return true
		}
	}
	return false
}
