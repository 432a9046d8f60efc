package checks

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// asked is one rule of the catalogue, or one item a dossier has to hold.
type asked struct {
	Key     string // row number, or the item itself
	Clause  string // of a rule
	Section string // region and document of a rule
	What    string
	Bound   string
	Memory  bool // recalled, nothing was read
}

// covered is what the mapping says of one rule or item.
type covered struct {
	Key, Clause            string
	Fields, RuleSets       []string
	Limits                 []string
	Scope, NotTaken, Notes string
}

// rowsOf reads a file of testdata: its rows by column name.
func rowsOf(t *testing.T, name string) []map[string]string {
	t.Helper()
	return figures(t, "../"+name)
}

// catalogue reads the rules that can become limits.
func catalogue(t *testing.T) []asked {
	t.Helper()
	var out []asked
	for i, r := range rowsOf(t, "reference/limits_catalogue.csv") {
		what := r["quantity"]
		if r["applies_when"] != "" {
			what = r["applies_when"] + ": " + what
		}
		bound := r["bound"]
		if r["unit"] != "record" && r["unit"] != "enum" {
			bound += " " + r["unit"]
		}
		out = append(out, asked{
			Key: fmt.Sprint(i + 1), Clause: r["clause"], Section: r["region"] + ": " + r["document"],
			What: what, Bound: strings.TrimSpace(bound), Memory: r["provenance"] == "memory",
		})
	}
	return out
}

// dossier reads what the papers at hand-over have to hold.
func dossier(t *testing.T) []asked {
	t.Helper()
	var out []asked
	for _, r := range rowsOf(t, "reference/dossier.csv") {
		out = append(out, asked{Key: r["item"], What: r["item"], Section: r["source"]})
	}
	return out
}

// mapping reads what is known of each row or item; key is the column that names it.
func mapping(t *testing.T, name, key string) []covered {
	t.Helper()
	var out []covered
	for _, r := range rowsOf(t, name) {
		out = append(out, covered{
			Key: r[key], Clause: r["clause"], Fields: strings.Fields(r["fields"]),
			RuleSets: strings.Fields(r["rule_set"]), Limits: strings.Fields(r["limit"]),
			Scope: r["scope"], NotTaken: r["not_taken"], Notes: r["note"],
		})
	}
	return out
}

// state is what became of a row, as a reader of the table is told.
func (c *covered) state() string {
	var parts []string
	if here := c.builtHere(); len(here) > 0 {
		parts = append(parts, "built as "+strings.Join(here, ", "))
	}
	for _, name := range c.Limits {
		if set, _, _ := strings.Cut(name, "#"); !slices.Contains(c.RuleSets, set) {
			parts = append(parts, "built for "+set+" as "+name)
		}
	}
	if len(c.Limits) > 0 {
		if later := c.notBuiltIn(); len(later) > 0 {
			parts = append(parts, "to be built in "+strings.Join(later, ", "))
		}
	}
	switch {
	case c.NotTaken != "":
		parts = append(parts, "not taken "+c.NotTaken)
	case c.Scope != "":
		parts = append(parts, "scope: "+c.Scope)
	case len(c.Limits) == 0:
		parts = append(parts, "to be built")
	}
	if c.Notes != "" {
		parts = append(parts, "note: "+c.Notes)
	}
	return strings.Join(parts, "; ")
}

// builtHere lists the limits of the rule sets of the row, without those of another
// edition.
func (c *covered) builtHere() []string {
	var out []string
	for _, name := range c.Limits {
		if set, _, _ := strings.Cut(name, "#"); slices.Contains(c.RuleSets, set) {
			out = append(out, name)
		}
	}
	return out
}

// notBuiltIn lists the rule sets of the row that none of its limits belongs to.
func (c *covered) notBuiltIn() []string {
	var out []string
	for _, set := range c.RuleSets {
		has := false
		for _, name := range c.Limits {
			has = has || strings.HasPrefix(name, set+"#")
		}
		if !has {
			out = append(out, set)
		}
	}
	return out
}

// count is how many rows became what.
type count struct{ rows, built, toBuild, scope, notTaken int }

func (n *count) add(c *covered) {
	n.rows++
	switch {
	case len(c.builtHere()) > 0:
		n.built++
	case c.NotTaken != "":
		n.notTaken++
	case c.Scope != "":
		n.scope++
	default:
		n.toBuild++
	}
}

func (n *count) line(name string) string {
	return fmt.Sprintf("| %s | %d | %d | %d | %d | %d |\n", name, n.rows, n.built, n.toBuild, n.scope, n.notTaken)
}

// coverageTable writes the mapping for people: counts, then one section for
// each region and document, then the dossier.
func coverageTable(rules []asked, ruleMap []covered, items []asked, itemMap []covered) string {
	var sections []string
	bodies, counts := map[string]*strings.Builder{}, map[string]*count{}
	all, papers := &count{}, &count{}
	for i := range rules {
		name := rules[i].Section
		if bodies[name] == nil {
			sections = append(sections, name)
			bodies[name], counts[name] = &strings.Builder{}, &count{}
		}
		c := &ruleMap[i]
		all.add(c)
		counts[name].add(c)
		writeCells(bodies[name], c.Key, c.Clause, rules[i].What, rules[i].Bound, strings.Join(c.Fields, ", "), strings.Join(c.RuleSets, ", "), c.state())
	}
	var list strings.Builder
	for i := range items {
		papers.add(&itemMap[i])
		writeCells(&list, fmt.Sprint(i+1), items[i].What, items[i].Section, strings.Join(itemMap[i].Fields, ", "), strings.Join(itemMap[i].RuleSets, ", "), itemMap[i].state())
	}

	var out strings.Builder
	out.WriteString("# Rules and what became of them\n\n")
	out.WriteString("Made from catalogue.csv and dossier.csv in this folder by checks/coverage_test.go (UPDATE_SCRIPTS=1); do not edit. ")
	out.WriteString("Built: at least one limit of the row's edition ships, the note says what of the row is still missing; a limit of another edition is named beside it. Scope: the row only says when rules apply.\n\n")
	out.WriteString("| | rows | built | to be built | scope | not taken |\n|---|---|---|---|---|---|\n")
	out.WriteString(all.line("all rules") + papers.line("dossier items"))
	for _, name := range sections {
		out.WriteString(counts[name].line(name))
	}
	for _, name := range sections {
		out.WriteString("\n## " + name + "\n\n| row | clause | what | bound | fields | rule set | state |\n|---|---|---|---|---|---|---|\n" + bodies[name].String())
	}
	out.WriteString("\n## Dossier at hand-over\n\n| item | what | source | fields | rule set | state |\n|---|---|---|---|---|---|\n" + list.String())
	return out.String()
}

// writeCells writes one row of a Markdown table.
func writeCells(out *strings.Builder, cells ...string) {
	escape := strings.NewReplacer("|", `\|`, "<", "&lt;", "*", `\*`)
	for _, cell := range cells {
		out.WriteString("| " + escape.Replace(cell) + " ")
	}
	out.WriteString("|\n")
}
