package pages

import "witnessmark.example/checks/fact"

// emergency is the page for the fire service and whoever comes first.
func emergency(w *writer) page {
	return page{
		Alerts: []string{w.T("emergency.live")},
		Sections: []section{
			w.siteSketch(),
			{Heading: w.T("emergency.units"), Tables: []table{w.unitTable()}, After: []string{w.T("emergency.units.note")}},
			{Heading: w.T("emergency.shutdown"), Tables: []table{w.shutdownTable()}, After: w.capacitors()},
			{Heading: w.T("emergency.others"), Tables: w.otherSources(), After: w.otherJobs()},
			{Heading: w.T("emergency.hazards"), Items: []string{w.T("emergency.hazard.gas"), w.T("emergency.hazard.shock"), w.T("emergency.hazard.again"), w.T("emergency.hazard.own")}},
			{Heading: w.T("emergency.contact"), Tables: []table{w.contacts("emergency")}},
		},
	}
}

// unitTable shows what stands where: one row for each listed unit, and for each
// stack that no unit names.
func (w *writer) unitTable() table {
	t := table{Caption: w.T("emergency.units.caption"), Head: []string{w.T("units.unit"), w.T("units.location"), w.T("units.stacks"), w.T("units.chemistry"), w.T("units.energy"), w.T("units.voltage"), w.T("units.terminals")}}
	named := map[*fact.Instance]bool{}
	for _, u := range w.entries("units") {
		stacks := w.linked(u, "units.stacks")
		for _, s := range stacks {
			named[s] = true
		}
		t.Rows = append(t.Rows, append([]cell{{Text: w.show(u.Key)}, w.location(u, "units.location"), w.stackCount(stacks)}, w.properties(stacks, w.value(u, "units.energy"))...))
	}
	for _, s := range w.entries("stacks") {
		if !named[s] {
			one := []*fact.Instance{s}
			t.Rows = append(t.Rows, append([]cell{{Text: w.T("units.stack-alone", "Stack", w.show(s.Key))}, w.notRecorded(), w.stackCount(one)}, w.properties(one, w.value(s, "stacks.energy"))...))
		}
	}
	if len(t.Rows) == 0 {
		none := w.notRecorded()
		t.Rows = [][]cell{{none, none, none, none, none, none, none}}
	}
	return t
}

func (w *writer) properties(stacks []*fact.Instance, energy cell) []cell {
	voltage, _ := w.greatest(stacks, "stacks.voltage_high")
	return []cell{w.distinct(stacks, "stacks.equipment.chemistry"), energy, strong(voltage), w.distinct(stacks, "stacks.equipment.terminals_at_rest")}
}

// stackCount says how many stacks with how many modules.
func (w *writer) stackCount(stacks []*fact.Instance) cell {
	if len(stacks) == 0 {
		return w.notRecorded()
	}
	modules, planned := 0, false
	for _, s := range stacks {
		v, _, plan := w.find(s, "stacks.modules")
		if v == nil || v.State != fact.Known {
			return cell{Text: w.T("units.stack-count", "N", len(stacks)), Note: w.T("units.modules") + ": " + w.notRecorded().Text}
		}
		modules, planned = modules+int(v.Quantity.Base()), planned || plan
	}
	c := cell{Text: w.T("units.stack-count", "N", len(stacks)) + ", " + w.T("units.module-count", "N", modules)}
	if planned {
		c.Note = w.T("value.planned")
	}
	return c
}

// location shows the place that a link names, with what kind of place it is.
func (w *writer) location(in *fact.Instance, path string) cell {
	v, _, _ := w.find(in, path)
	if v == nil || v.State != fact.Known || v.Target == nil {
		return w.notRecorded()
	}
	return cell{Text: w.show(v.Target.Key), Note: w.value(v.Target, "locations.setting").Text}
}

func (w *writer) shutdownTable() table {
	t := table{Caption: w.T("shutdown.caption"), Head: []string{w.T("shutdown.what"), w.T("shutdown.where"), w.T("shutdown.reach"), w.T("shutdown.dead"), w.T("shutdown.live"), w.T("shutdown.cable")}}
	for _, s := range w.entries("supply.shutdown") {
		t.Rows = append(t.Rows, []cell{w.initiator(s), strong(w.value(s, "supply.shutdown.place")), w.reach(s),
			w.value(s, "supply.shutdown.makes_dead"), strong(w.value(s, "supply.shutdown.stays_live")), w.value(s, "supply.shutdown.cable")})
	}
	if len(t.Rows) == 0 {
		none := w.notRecorded()
		t.Rows = [][]cell{{none, none, none, none, none, none}}
	}
	return t
}

// initiator is what is pressed or turned, with its key.
func (w *writer) initiator(s *fact.Instance) cell {
	c := strong(w.value(s, "supply.shutdown.initiator"))
	c.Note = w.show(s.Key)
	return c
}

// reach says whether an initiator can be reached, and how far away and high it is.
func (w *writer) reach(s *fact.Instance) cell {
	c := w.value(s, "supply.shutdown.accessible")
	for _, more := range []struct{ key, path string }{{"shutdown.distance", "supply.shutdown.distance"}, {"shutdown.height", "supply.shutdown.height"}} {
		if v, l, planned := w.find(s, more.path); v != nil {
			if c.Note != "" {
				c.Note += ", "
			}
			c.Note += w.T(more.key, "Value", w.one(v, l).Text)
			if planned {
				c.Note += " " + w.T("value.planned")
			}
		}
	}
	return c
}

// capacitors says how long to wait, for each inverter as its datasheet states it.
func (w *writer) capacitors() []string {
	out := []string{w.T("capacitors.modules")}
	inverters := w.entries("inverters")
	for _, in := range inverters {
		out = append(out, w.T("capacitors.wait", "Inverter", w.show(in.Key), "Time", w.value(in, "inverters.equipment.dc.discharge_time").Text))
	}
	if len(inverters) == 0 {
		out = append(out, w.T("capacitors.none", "Time", w.notRecorded().Text))
	}
	return out
}

// otherSources shows what else stores or makes electricity there.
func (w *writer) otherSources() []table {
	head := []string{w.T("others.key"), w.T("others.kind"), w.T("units.location"), w.T("others.size"), w.T("others.more")}
	store := table{Caption: w.T("others.storage"), Head: head}
	for _, e := range w.entries("existing") {
		stays := w.value(e, "existing.stays")
		store.Rows = append(store.Rows, []cell{{Text: w.show(e.Key)}, w.value(e, "existing.kind"), w.location(e, "existing.location"), w.value(e, "existing.energy"), {Text: w.T("others.stays", "Value", stays.Text)}})
	}
	makes := table{Caption: w.T("others.generation"), Head: head}
	for _, g := range w.entries("generation") {
		var more cell
		if v, l, _ := w.find(g, "generation.dc_voltage"); v != nil {
			more.Text = w.T("others.dc-voltage", "Value", w.one(v, l).Text)
		} else if v, l, _ := w.find(g, "generation.starts_by_itself"); v != nil {
			more.Text = w.T("others.starts", "Value", w.one(v, l).Text)
		} else {
			more = w.notRecorded()
		}
		makes.Rows = append(makes.Rows, []cell{{Text: w.show(g.Key)}, w.value(g, "generation.kind"), w.location(g, "generation.location"), w.value(g, "generation.power"), more})
	}
	var out []table
	for _, t := range []table{store, makes} {
		if len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// otherJobs says what the tables leave out: no row is no proof that there is
// nothing, and other jobs have pages of their own.
func (w *writer) otherJobs() []string {
	var out []string
	if len(w.entries("existing")) == 0 {
		out = append(out, w.T("others.no-storage"))
	}
	if len(w.entries("generation")) == 0 {
		out = append(out, w.T("others.no-generation"))
	}
	out = append(out, w.T("others.jobs"))
	for _, p := range []struct{ key, path string }{{"others.adds-to", "adds_to"}, {"others.replaces", "replaces_job"}} {
		if v, l, _ := w.find(w.facts().Root, p.path); v != nil {
			out = append(out, w.T(p.key, "Job", w.one(v, l).Text))
		}
	}
	return out
}
