package checks

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// notInCatalogue lists the limits that ship and that no row of the catalogue
// asks for, each with the reason. A limit that no longer needs its line is an
// error.
var notInCatalogue = map[string]string{
	"iec/60364#conductor-stands-fault":                            "recalled: 434.5.2, the heat of a fault until the device opens",
	"iec/60364#current-both-ways":                                 "recalled: devices at storage carry current both ways",
	"iec/60364#disconnection-ac-tn-230-400-final":                 "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tn-230-400-sockets":               "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tn-50-120-final":                  "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tn-50-120-sockets":                "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tn-above-400-final":               "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tn-above-400-sockets":             "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tt-230-400-final":                 "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tt-230-400-sockets":               "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tt-50-120-final":                  "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tt-50-120-sockets":                "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tt-above-400-final":               "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-ac-tt-above-400-sockets":             "another cell of the table of rows 228 and 230",
	"iec/60364#disconnection-dc-tt-230-400":                       "another cell of the table of rows 253 to 256",
	"iec/60364#disconnection-dc-tt-above-400":                     "another cell of the table of rows 253 to 256",
	"iec/60364#external-loop-impedance":                           "worked out: the part of the loop outside the installation",
	"iec/60364#external-loop-impedance-tt":                        "worked out: the loop of a TT system, recalled: 411.5.4",
	"iec/60364#island-disconnection-120-230":                      "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-120-230-without-grid":         "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-230-400":                      "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-230-400-without-grid":         "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-50-120":                       "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-50-120-without-grid":          "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-above-400":                    "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-disconnection-above-400-without-grid":       "rows 228 and 230 in island operation: a reading",
	"iec/60364#island-fault-current":                              "recalled: what an inverter feeds into a fault in an island",
	"iec/60364#island-fault-current-without-grid":                 "recalled: what an inverter feeds into a fault in an island",
	"iec/60364#island-neutral-earth-link":                         "recalled: earthing of an island",
	"iec/60364#island-neutral-earth-link-without-grid":            "recalled: earthing of an island",
	"iec/60364#island-opens-all-poles":                            "recalled: earthing of an island",
	"iec/60364#island-own-electrode":                              "recalled: earthing of an island",
	"iec/60364#island-own-electrode-without-grid":                 "recalled: earthing of an island",
	"iec/60364#loop-impedance":                                    "worked out: voltage and trip current of the device",
	"iec/60364#loop-impedance-cold":                               "worked out: the same for a loop measured cold",
	"iec/60364#loop-impedance-tt":                                 "worked out: the loop of a TT system, recalled: 411.5.4",
	"iec/60364#loop-impedance-tt-cold":                            "worked out: the loop of a TT system, recalled: 411.5.4",
	"iec/60364#protective-conductor-aluminium":                    "the aluminium figure beside row 268, recalled",
	"iec/60364#rcd-at-socket-outlets":                             "recalled: 411.3.3, additional protection of socket-outlets",
	"iec/60364#rcd-carries-inverter":                              "recalled: rated current of a residual-current device",
	"iec/60364#rcd-stands-overload":                               "recalled: rated current of a residual-current device",
	"iec/60364#rcd-type-a":                                        "recalled: the type that the datasheet of the inverter asks for",
	"iec/60364#rcd-type-b":                                        "recalled: the type that the datasheet of the inverter asks for",
	"iec/60364#rcd-type-f":                                        "recalled: the type that the datasheet of the inverter asks for",
	"iec/60364#residual-current-device-tt":                        "recalled: 411.5.2, what cuts off faults in a TT system",
	"iec/60364#touch-voltage":                                     "worked out: resistance of the electrode times residual current",
	"iec/60364#voltage-drop":                                      "recalled: Annex G beside the British appendix of row 232",
	"iec/60364#voltage-drop-own-supply":                           "recalled: Annex G beside the British appendix of row 232",
	"uk/bs-7671-2018#conductor-stands-fault":                      "recalled: 434.5.2, the heat of a fault until the device opens",
	"uk/bs-7671-2018#current-both-ways":                           "recalled: devices at storage carry current both ways",
	"uk/bs-7671-2018#device-carries-design-current":               "recalled: 433.1.1, as row 270 of the international standard",
	"uk/bs-7671-2018#device-protects-conductor":                   "recalled: 433.1.1, as row 270 of the international standard",
	"uk/bs-7671-2018#disconnection-ac-tn-230-400-final":           "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tn-230-400-sockets":         "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tn-50-120-final":            "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tn-50-120-sockets":          "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tn-above-400-final":         "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tn-above-400-sockets":       "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tt-230-400-final":           "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tt-230-400-sockets":         "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tt-50-120-final":            "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tt-50-120-sockets":          "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tt-above-400-final":         "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#disconnection-ac-tt-above-400-sockets":       "another cell of the table of rows 228 and 230",
	"uk/bs-7671-2018#electrode-resistance":                        "recalled: an electrode that lasts through a dry summer",
	"uk/bs-7671-2018#external-loop-impedance":                     "worked out: the part of the loop outside the installation",
	"uk/bs-7671-2018#external-loop-impedance-tt":                  "worked out: the loop of a TT system, recalled: 411.5.4",
	"uk/bs-7671-2018#island-disconnection-120-230":                "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-120-230-without-grid":   "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-230-400":                "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-230-400-without-grid":   "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-50-120":                 "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-50-120-without-grid":    "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-above-400":              "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-disconnection-above-400-without-grid": "rows 228 and 230 in island operation: a reading",
	"uk/bs-7671-2018#island-electrode-resistance":                 "recalled: an electrode that lasts through a dry summer",
	"uk/bs-7671-2018#island-electrode-resistance-without-grid":    "recalled: an electrode that lasts through a dry summer",
	"uk/bs-7671-2018#island-fault-current":                        "recalled: what an inverter feeds into a fault in an island",
	"uk/bs-7671-2018#island-fault-current-without-grid":           "recalled: what an inverter feeds into a fault in an island",
	"uk/bs-7671-2018#island-neutral-earth-link":                   "recalled: earthing of an island",
	"uk/bs-7671-2018#island-neutral-earth-link-without-grid":      "recalled: earthing of an island",
	"uk/bs-7671-2018#island-opens-all-poles":                      "recalled: earthing of an island",
	"uk/bs-7671-2018#island-own-electrode":                        "recalled: earthing of an island",
	"uk/bs-7671-2018#island-own-electrode-without-grid":           "recalled: earthing of an island",
	"uk/bs-7671-2018#loop-impedance":                              "worked out: voltage and trip current of the device",
	"uk/bs-7671-2018#loop-impedance-cold":                         "worked out: the same for a loop measured cold",
	"uk/bs-7671-2018#loop-impedance-tt":                           "worked out: the loop of a TT system, recalled: 411.5.4",
	"uk/bs-7671-2018#loop-impedance-tt-cold":                      "worked out: the loop of a TT system, recalled: 411.5.4",
	"uk/bs-7671-2018#protective-conductor-size":                   "recalled: Table 54.7, as rows 265 to 267 of the international standard",
	"uk/bs-7671-2018#rcd-at-socket-outlets":                       "recalled: 411.3.3, additional protection of socket-outlets",
	"uk/bs-7671-2018#rcd-carries-inverter":                        "recalled: rated current of a residual-current device",
	"uk/bs-7671-2018#rcd-stands-overload":                         "recalled: rated current of a residual-current device",
	"uk/bs-7671-2018#rcd-type-a":                                  "recalled: the type that the datasheet of the inverter asks for",
	"uk/bs-7671-2018#rcd-type-b":                                  "recalled: the type that the datasheet of the inverter asks for",
	"uk/bs-7671-2018#rcd-type-f":                                  "recalled: the type that the datasheet of the inverter asks for",
	"uk/bs-7671-2018#residual-current-device-tt":                  "recalled: 411.5.2, what cuts off faults in a TT system",
	"uk/bs-7671-2018#touch-voltage":                               "worked out: resistance of the electrode times residual current",
	"us/irc-2021#energy-altogether":                               "rows 11 to 14 added up: a reading of them, printed nowhere",
	"us/nec-2017#smallest-copper-clad":                            "recalled: the smallest size before row 105",
	"us/nec-2017#sources-within-service":                          "recalled: what the service carries of the sources",
	"us/nec-2017#terminal-material":                               "an account of 110.14: terminals made for the metal of the conductor",
	"us/nec-2020#busbar-power-control":                            "recalled: a power control system at the busbar",
	"us/nec-2020#busbar-power-control-opposite-end":               "recalled: a power control system at the busbar",
	"us/nec-2020#smallest-copper-clad":                            "recalled: the smallest size before row 105",
	"us/nec-2020#sources-within-service":                          "recalled: what the service carries of the sources",
	"us/nec-2020#terminal-material":                               "an account of 110.14: terminals made for the metal of the conductor",
	"us/nec-2023#busbar-power-control":                            "recalled: a power control system at the busbar",
	"us/nec-2023#busbar-power-control-opposite-end":               "recalled: a power control system at the busbar",
	"us/nec-2023#sources-within-service":                          "recalled: what the service carries of the sources",
	"us/nec-2023#terminal-material":                               "an account of 110.14: terminals made for the metal of the conductor",
	"us/nec-2023#working-space-voltage":                           "where the table of rows 72 to 80 ends",
}

// ruleSetName is how a rule set outside a firm is called: whose it is and its
// name with the edition, or the customs of the trade.
var ruleSetName = regexp.MustCompile(`^(practice|[a-z]{2,3}(-[a-z]{2,3})?/[a-z0-9]+([.-][a-z0-9]+)*)$`)

// coverage holds a mapping to the shape and the limits that ship.
type coverage struct {
	shape  *fact.Compiled
	limits map[string]*limit.Compiled
}

func byFullName(sets []*limit.Set) map[string]*limit.Compiled {
	out := map[string]*limit.Compiled{}
	for _, set := range sets {
		for _, l := range set.Limits {
			out[l.FullName] = l
		}
	}
	return out
}

// faults says what is wrong with a mapping: each thing that is asked must be
// mapped once, in the same order.
func (c *coverage) faults(want []asked, got []covered) []string {
	var out []string
	at, last := map[string]int{}, 0
	for i := range got {
		if _, twice := at[got[i].Key]; twice {
			out = append(out, got[i].Key+" is mapped twice")
		}
		at[got[i].Key] = i
	}
	for i := range want {
		n, ok := at[want[i].Key]
		delete(at, want[i].Key)
		switch {
		case !ok:
			out = append(out, want[i].Key+" is not mapped: "+want[i].What)
			continue
		case n < last:
			out = append(out, want[i].Key+" is not in its place")
		}
		last = max(last, n)
		for _, f := range c.rowFaults(&want[i], &got[n]) {
			out = append(out, want[i].Key+": "+f)
		}
	}
	for key := range at {
		out = append(out, key+" is mapped, but nothing asks for it")
	}
	return out
}

func (c *coverage) rowFaults(want *asked, row *covered) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if row.Clause != want.Clause {
		add("the catalogue has clause %q here, the mapping %q", want.Clause, row.Clause)
	}
	mapped := len(row.Fields) > 0 || len(row.RuleSets) > 0 || len(row.Limits) > 0 || row.Scope != ""
	switch {
	case row.NotTaken != "" && mapped:
		add("a row that is not taken has no fields, rule set, limit or scope")
	case row.NotTaken != "" && !strings.HasPrefix(row.NotTaken, "because "):
		add("not_taken does not say because of what")
	case row.NotTaken == "" && row.Scope == "" && (len(row.Fields) == 0 || len(row.RuleSets) == 0):
		add("neither fields with a rule set, nor a scope, nor a reason why not")
	}
	for _, set := range row.RuleSets {
		if !ruleSetName.MatchString(set) {
			add("%q is no name of a rule set", set)
		}
	}
	leaves := map[*fact.Leaf]bool{}
	for i, name := range row.Fields {
		way, err := c.shape.Way(name)
		if err != nil {
			add("%v", err)
			continue
		}
		if slices.Contains(row.Fields[:i], name) {
			add("%s is there twice", name)
		}
		leaves[way.Leaf] = true
	}
	for _, name := range row.Limits {
		out = append(out, c.limitFaults(name, want, row, leaves)...)
	}
	return out
}

// limitFaults holds a limit that ships to the row that names it: same source,
// nothing asked that the row does not know of, no better grade than recalled
// where nothing was read.
func (c *coverage) limitFaults(name string, want *asked, row *covered, leaves map[*fact.Leaf]bool) []string {
	l := c.limits[name]
	if l == nil {
		return []string{fmt.Sprintf("no limit %s ships", name)}
	}
	var out []string
	switch {
	case slices.Contains(row.RuleSets, l.Source.Name):
	case !slices.ContainsFunc(row.RuleSets, func(set string) bool { return sameDocument(set, l.Source.Name) }):
		out = append(out, fmt.Sprintf("%s is a limit of %s, not of %s", name, l.Source.Name, strings.Join(row.RuleSets, " or ")))
	case row.Notes == "":
		out = append(out, fmt.Sprintf("%s is a limit of another edition, and no note says so", name))
	}
	if want.Memory && l.Grade != limit.Memory && l.Grade != limit.Custom {
		out = append(out, fmt.Sprintf("%s has grade %s, but the row is recalled", name, l.Grade))
	}
	for _, path := range factsOf(l.Limit) {
		way, err := c.shape.Way(path)
		if err != nil || !leaves[way.Leaf] {
			out = append(out, fmt.Sprintf("%s asks for %s, which is not among the fields", name, path))
		}
	}
	return out
}

// sameDocument tells whether two rule sets are editions of one document.
func sameDocument(a, b string) bool {
	document := func(set string) string { return set[:max(0, strings.LastIndexByte(set, '-'))] }
	return document(a) != "" && document(a) == document(b)
}

// factsOf lists the facts a limit is about: measure, bounds and conditions.
func factsOf(l *limit.Limit) []string {
	out := []string{l.Measure}
	var bounds func(c *limit.Constraint)
	bounds = func(c *limit.Constraint) {
		if c.Operand != nil && c.Operand.Fact != "" {
			out = append(out, c.Operand.Fact)
		}
		for i := range c.Args {
			bounds(&c.Args[i])
		}
	}
	bounds(&l.Within)
	var conditions func(cs []limit.Condition)
	conditions = func(cs []limit.Condition) {
		for _, one := range cs {
			if one.Fact != "" {
				out = append(out, one.Fact)
			}
			if one.Is != nil {
				bounds(one.Is)
			}
			conditions(one.Of)
		}
	}
	conditions(l.When)
	return out
}

// unnamed lists the limits that ship and that no row names, and the exceptions
// from that which are needed no longer. Customs of the trade have no catalogue.
func (c *coverage) unnamed(rows []covered) []string {
	named := map[string]bool{}
	for i := range rows {
		for _, name := range rows[i].Limits {
			named[name] = true
		}
	}
	var out []string
	for name, l := range c.limits {
		_, excepted := notInCatalogue[name]
		switch {
		case l.Source.Kind == limit.Practice:
		case !named[name] && !excepted:
			out = append(out, name+" ships, but no row names it")
		case named[name] && excepted:
			out = append(out, name+" is named by a row and needs no exception")
		}
	}
	for name := range notInCatalogue {
		if c.limits[name] == nil {
			out = append(out, name+" is excepted, but does not ship")
		}
	}
	slices.Sort(out)
	return out
}
