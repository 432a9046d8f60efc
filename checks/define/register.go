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
// key. A register that the firm does not keep is absent.
type Registers map[string]map[string]*fact.Instance

// registerDefinitions are the definitions a register file may hold.
var registerDefinitions = []struct{ definition, register, form string }{
	{"#instruments", "instruments", "#Instruments"},
	{"#people", "people", "#People"},
}

// readRegisters reads every file of the folder of registers. An entry that is
// broken is left out and reported; so is a second one with the same key.
func readRegisters(l *loader, shape *fact.Compiled, fsys fs.FS, dir string, others []string) (Registers, []limit.Fault) {
	names, faults := definitionFiles(fsys, dir, "registers", others...)
	r := Registers{}
	for _, name := range names {
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			faults = append(faults, unreadable(name, err))
			continue
		}
		b := l.buildFile(name, data, true, l.registerForms())
		faults = append(faults, b.faults...)
		if !b.useless {
			faults = append(faults, r.read(shape, b.value, name)...)
		}
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

// read takes the entries of one built file.
func (r Registers) read(shape *fact.Compiled, v cue.Value, file string) []limit.Fault {
	var faults []limit.Fault
	found := false
	for _, d := range registerDefinitions {
		all := v.LookupPath(cue.ParsePath(d.definition))
		scope := shape.Scope("register." + d.register)
		if !all.Exists() || scope == nil {
			continue
		}
		found = true
		if r[d.register] == nil {
			r[d.register] = map[string]*fact.Instance{}
		}
		it, err := all.Fields()
		for err == nil && it.Next() {
			key := it.Selector().Unquoted()
			at := origin(it.Value())
			if first := r[d.register][key]; first != nil {
				faults = append(faults, limit.Fault{At: at, Code: "registered-twice", Message: fmt.Sprintf("%q stands in the register of %s already, in %s", key, d.register, first.File), Mend: "keep one of them"})
				continue
			}
			in, more := readEntry(scope, it.Value(), key, file)
			r[d.register][key] = in
			faults = append(faults, more...)
		}
	}
	if !found {
		faults = append(faults, limit.Fault{At: fact.Origin{File: file, Line: 1}, Code: "no-register", Message: "the file holds no register, so nothing of it is used",
			Mend: "write #instruments: register.#Instruments & {…}, or #people: register.#People & {…}"})
	}
	return faults
}

// readEntry reads one entry with the times in which it was good.
func readEntry(scope *fact.Scope, v cue.Value, key, file string) (*fact.Instance, []limit.Fault) {
	in := &fact.Instance{Scope: scope, Key: key, File: file, Values: make([]fact.Value, scope.Slots()), Lines: map[string]fact.Origin{"": origin(v)}}
	in.At.Line = origin(v).Line
	var faults []limit.Fault
	for _, l := range scope.Leaves {
		faults = append(faults, readFigure(in, l, v.LookupPath(cue.ParsePath(l.Inside())))...)
	}
	times := []cue.Value{v}
	if it, err := v.LookupPath(cue.ParsePath("earlier")).List(); err == nil {
		for it.Next() {
			times = append(times, it.Value())
		}
	}
	for _, t := range times {
		span, more := readSpan(t, key)
		faults = append(faults, more...)
		if span.From != fact.NoDay || span.Until != fact.NoDay {
			in.Valid = append(in.Valid, span)
		}
	}
	return in, faults
}

// readSpan reads the first and last day of one calibration or licence.
func readSpan(v cue.Value, key string) (fact.Span, []limit.Fault) {
	span := fact.Span{From: fact.NoDay, Until: fact.NoDay}
	var faults []limit.Fault
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
			faults = append(faults, limit.Fault{At: origin(w), Code: "broken-register", Message: fmt.Sprintf("%s of %s: %q is no date", d.field, key, text(v, d.field)), Mend: "write year-month-day, for example 2026-03-11"})
			continue
		}
		*d.to = day
	}
	if span.From != fact.NoDay && span.Until != fact.NoDay && span.Until < span.From {
		faults = append(faults, limit.Fault{At: origin(v.LookupPath(cue.ParsePath("valid_until"))), Code: "broken-register",
			Message: fmt.Sprintf("%s is good until %s, before it begins on %s", key, span.Until, span.From), Mend: "correct the dates"})
	}
	return span, faults
}

// Find looks an entry up. Kept tells whether the firm keeps the register at all.
func (r Registers) Find(register, key string) (entry *fact.Instance, kept bool, err error) {
	entries, kept := r[register]
	if !kept {
		return nil, false, nil
	}
	if in := entries[key]; in != nil {
		return in, true, nil
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
