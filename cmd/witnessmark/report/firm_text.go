package report

import (
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
)

// FirmText writes for people where a firm's repository is and what it keeps.
func FirmText(l *checks.Library) []byte {
	t := &lines{paint: newPalette(false), path: func(file string) string { return file }}
	f, h := l.Firm, l.Holdings()
	t.own("firm ").from(f.Name).end()
	t.item("root file").from(l.Root).own("/", define.RootFile).end()
	t.item("jobs").from(f.Jobs).own(": ", plural(h.Jobs, "job file", "job files")).end()
	t.item("equipment").from(f.Equipment).own(": ", plural(h.Products, "product", "products"), ", ", plural(h.Revisions, "revision", "revisions")).end()
	t.item("rules").from(f.Rules).own(": ").from(orNone(h.RuleSets)).end()
	t.item("registers").from(f.RegisterFolder).own(": ")
	for i, name := range define.RegisterNames() {
		if i > 0 {
			t.own(", ")
		}
		if n, kept := h.Registers[name]; kept {
			t.own(plural(n, "entry", "entries"), " of ", name)
		} else {
			t.own("none of ", name)
		}
	}
	t.end()
	decimal := "point"
	if f.DecimalComma {
		decimal = "comma"
	}
	t.item("writes").own("decimals with a ", decimal, "; days are counted in ").from(f.TimeZone).own(" where a job states no time zone").end()
	t.item("languages").from(orNone(f.Languages)).end()
	for i := range f.Contacts {
		c := &f.Contacts[i]
		t.item("call").from(c.For).own(": ").from(joined(c.Says, c.Telephone, c.Address, c.Hours)).end()
	}
	t.required(f)
	return t.b
}

// required writes the map of required rule sets.
func (t *lines) required(f *define.Firm) {
	if len(f.Required) == 0 {
		t.own("  Which rule sets a job must name is not laid down, so that is not checked.").end()
		return
	}
	t.own("  Rule sets that jobs must name:").end()
	for i := range f.Required {
		r := &f.Required[i]
		t.own("  - ").from(r.Region)
		if len(r.Occupancies) > 0 {
			t.own(", ").from(strings.Join(r.Occupancies, " or "))
		}
		if r.From != fact.NoDay {
			t.own(", from ", r.From.String())
		}
		if r.Until != fact.NoDay {
			t.own(", until ", r.Until.String())
		}
		t.own(": ").from(orNone(r.RuleSets)).own(" (").from(r.At.String()).own(": ").from(r.Why).own(")").end()
	}
}

func orNone(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

// joined joins what is said.
func joined(parts ...string) string {
	var said []string
	for _, p := range parts {
		if p != "" {
			said = append(said, p)
		}
	}
	return strings.Join(said, ", ")
}
