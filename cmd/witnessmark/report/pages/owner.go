package pages

import (
	"math"

	"witnessmark.example/checks/fact"
)

// owner is the page for whoever lives or works with the installation.
func owner(w *writer) page {
	return page{
		Sections: []section{
			{Heading: w.T("owner.what"), Tables: []table{w.ownerUnits()}, Items: w.operation()},
			{Heading: w.T("owner.daily"), Items: []string{w.T("owner.daily.clear"), w.T("owner.daily.no-storage"), w.T("owner.daily.air"), w.T("owner.daily.water"), w.T("owner.daily.open"), w.T("owner.daily.change")}, Tables: w.clearances()},
			{Heading: w.T("owner.warning"), Lead: []string{w.T("owner.warning.live")}, Items: []string{w.T("owner.warning.signs"), w.T("owner.warning.leave"), w.T("owner.warning.flood"), w.T("owner.warning.again")}, Tables: []table{w.ownerShutdown()}},
			{Heading: w.T("owner.upkeep"), Items: w.upkeep(), Tables: w.accounts()},
			{Heading: w.T("owner.papers"), Tables: []table{w.papers()}},
			{Heading: w.T("owner.contacts"), Tables: []table{w.contacts("")}},
		},
	}
}

func (w *writer) ownerUnits() table {
	t := table{Caption: w.T("owner.what.caption"), Head: []string{w.T("units.unit"), w.T("units.location"), w.T("units.stacks"), w.T("units.energy"), w.T("owner.usable")}}
	for _, u := range w.entries("units") {
		t.Rows = append(t.Rows, []cell{{Text: w.show(u.Key)}, w.location(u, "units.location"), w.stackCount(w.linked(u, "units.stacks")), w.value(u, "units.energy"), w.value(u, "units.usable")})
	}
	if len(t.Rows) == 0 {
		none := w.notRecorded()
		t.Rows = [][]cell{{none, none, none, none, none}}
	}
	return t
}

// operation says how the installation runs, in a sentence for each setting.
func (w *writer) operation() []string {
	root := w.facts().Root
	out := []string{w.T("owner.mode", "Mode", w.value(root, "configuration.hand_over.mode").Text)}
	if v, _, _ := w.find(root, "configuration.hand_over.mode"); v != nil && v.State == fact.Known {
		switch v.Text {
		case "self-consumption":
			out[0] += " " + w.T("owner.mode.self-consumption")
		case "backup":
			out[0] += " " + w.T("owner.mode.backup")
		case "island":
			out[0] += " " + w.T("owner.mode.island")
		case "time of use":
			out[0] += " " + w.T("owner.mode.time-of-use")
		case "peak shaving":
			out[0] += " " + w.T("owner.mode.peak-shaving")
		case "off":
			out[0] += " " + w.T("owner.mode.off")
		}
	}
	out = append(out,
		w.T("owner.reserve", "Value", w.value(root, "configuration.hand_over.reserve").Text),
		w.T("owner.lowest", "Value", w.value(root, "configuration.hand_over.lowest_charge").Text))
	if v, l, _ := w.find(root, "supply.island.hours"); v != nil && v.State == fact.Known {
		hours := math.Floor(v.Quantity.In(l.Of)*10) / 10 // never more than it is
		out = append(out, w.T("owner.backup", "Hours", w.decimal(number(hours))+"\u00a0h", "Load", w.value(root, "supply.island.load").Text))
	}
	return out
}

// clearances shows the free space of each stack, that nobody stores things in it.
func (w *writer) clearances() []table {
	t := table{Caption: w.T("owner.clearance.caption"), Head: []string{w.T("owner.clearance.stack"), w.T("owner.clearance.front"), w.T("owner.clearance.left"), w.T("owner.clearance.right"), w.T("owner.clearance.above"), w.T("owner.clearance.behind")}}
	for _, s := range w.entries("stacks") {
		t.Rows = append(t.Rows, []cell{{Text: w.show(s.Key)}, w.value(s, "stacks.clearance.front"), w.value(s, "stacks.clearance.left"), w.value(s, "stacks.clearance.right"), w.value(s, "stacks.clearance.above"), w.value(s, "stacks.wall_gap")})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []table{t}
}

func (w *writer) ownerShutdown() table {
	t := table{Caption: w.T("owner.shutdown.caption"), Head: []string{w.T("shutdown.what"), w.T("shutdown.where"), w.T("shutdown.live")}}
	for _, s := range w.entries("supply.shutdown") {
		t.Rows = append(t.Rows, []cell{w.initiator(s), strong(w.value(s, "supply.shutdown.place")), w.value(s, "supply.shutdown.stays_live")})
	}
	if len(t.Rows) == 0 {
		none := w.notRecorded()
		t.Rows = [][]cell{{none, none, none}}
	}
	return t
}

// upkeep says who does what. How often the maker wants it looked at is in no job
// file; the page says where it is written.
func (w *writer) upkeep() []string {
	root := w.facts().Root
	out := []string{
		w.T("owner.alarms", "Who", w.value(root, "configuration.hand_over.alarms_to").Text),
		w.T("owner.updates", "Who", w.value(root, "network.update_channel").Text),
		w.T("owner.support", "Day", w.value(root, "network.support_until").Text),
		w.T("owner.remote", "Who", w.value(root, "network.remote_access").Text),
	}
	for _, d := range w.entries("documents") {
		if v, _, _ := w.find(d, "documents.document"); v != nil && v.Text == "maintenance instructions" && w.given(d) {
			return append(out, w.T("owner.intervals.given"))
		}
	}
	w.unknown++
	return append(out, w.T("owner.intervals.not-given"))
}

// accounts says who holds which account; no secret stands in any file.
func (w *writer) accounts() []table {
	t := table{Caption: w.T("owner.accounts"), Head: []string{w.T("owner.account"), w.T("owner.account.holder"), w.T("owner.account.changed")}}
	for _, c := range w.entries("credentials") {
		t.Rows = append(t.Rows, []cell{w.value(c, "credentials.of"), w.value(c, "credentials.held_by"), w.value(c, "credentials.default_changed")})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []table{t}
}

// papers lists the documents that the owner was given.
func (w *writer) papers() table {
	t := table{Caption: w.T("owner.papers.caption"), Head: []string{w.T("owner.paper"), w.T("owner.paper.on"), w.T("owner.paper.until")}}
	for _, d := range w.entries("documents") {
		if !w.given(d) {
			continue
		}
		t.Rows = append(t.Rows, []cell{w.value(d, "documents.document"), w.value(d, "documents.on"), w.value(d, "documents.valid_until")})
	}
	if len(t.Rows) == 0 {
		none := w.notRecorded()
		t.Rows = [][]cell{{none, none, none}}
	}
	return t
}

// given tells whether it is recorded that the owner got a document.
func (w *writer) given(d *fact.Instance) bool {
	v, _, _ := w.find(d, "documents.given_to")
	if v == nil || v.More == nil {
		return false
	}
	for i := range v.More.List {
		if v.More.List[i].Text == "owner" {
			return true
		}
	}
	return false
}
