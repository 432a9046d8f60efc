package pages

import (
	"regexp"
	"slices"
	"strconv"

	"witnessmark.example/checks/fact"
)

// blankLine is to be filled in where a label has several such places; what it is
// for stands above the labels.
const blankLine = "__________"

// signLines is the text of a label in the writer's language: what it says, then
// the values it has to show. A value that is not known is a line to fill in.
func (w *writer) signLines(says string) []signLine {
	out := []signLine{{text: w.T("sign/" + says), bold: true}}
	for _, text := range w.signValues(says) {
		out = append(out, signLine{text: text})
	}
	return out
}

func (w *writer) signValues(says string) []string {
	units, inverters := w.entries("units"), w.entries("inverters")
	switch says {
	case "maximum voltage and current":
		return []string{w.T("sign.voltage-high", "Value", w.most(units, "units.joined_voltage_high")), w.T("sign.current-high", "Value", w.most(units, "units.joined_rated_current"))}
	case "nominal voltage":
		return []string{w.T("sign.voltage-nominal", "Value", w.most(w.entries("stacks"), "stacks.voltage_nominal"))}
	case "fault current and date":
		current, ok := w.greatest(units, "units.joined_fault_current")
		if !ok {
			return []string{w.T("sign.fault-current", "Value", w.T("labels.blank")), w.T("sign.date", "Day", w.T("labels.blank"))}
		}
		return []string{w.T("sign.fault-current", "Value", current.Text), w.T("sign.date", "Day", w.job.Result.AsOf.String())}
	case "grounding type":
		return []string{w.filled(w.distinct(inverters, "inverters.dc_earthing"))}
	case "battery technology":
		return []string{w.filled(w.distinct(w.entries("stacks"), "stacks.equipment.chemistry"))}
	case "waiting time for capacitors":
		return []string{w.T("sign.wait", "Value", w.most(inverters, "inverters.equipment.dc.discharge_time"))}
	case "contact for service":
		return w.signContact()
	case "shutdown procedure":
		return w.procedure()
	case "directory of sources":
		return w.directory()
	}
	return nil
}

// most is the largest value of a measure, else a line to fill in.
func (w *writer) most(of []*fact.Instance, path string) string {
	c, ok := w.greatest(of, path)
	if !ok {
		return w.T("labels.blank")
	}
	return c.Text
}

func (w *writer) filled(c cell) string {
	if c.Unknown {
		return w.T("labels.blank")
	}
	return c.Text
}

// signContact is whom to call for service, else a line to fill in.
func (w *writer) signContact() []string {
	for _, c := range w.firm.contacts {
		if c.For == "service" {
			out := []string{w.show(c.Says), w.T("sign.telephone", "Number", w.filled(w.free(c.Telephone)))}
			if c.Hours != "" {
				out = append(out, w.show(c.Hours))
			}
			return out
		}
	}
	w.unknown++
	return []string{w.T("sign.telephone", "Number", w.T("labels.blank"))}
}

// directory lists the sources of electricity on the premises as far as this job
// has them. Where each is switched off is in no fact, and left to be filled in.
func (w *writer) directory() []string {
	var out []string
	if v, _, _ := w.find(w.facts().Root, "supply.system"); v == nil || v.Text != "island" {
		w.unknown++
		out = append(out, w.T("sign.source.grid", "Off", blankLine))
	}
	add := func(source string, in *fact.Instance, path string) {
		place := w.location(in, path)
		if place.Unknown {
			place.Text = blankLine
		}
		w.unknown++
		out = append(out, w.T("sign.source", "Source", source, "Place", place.Text, "Off", blankLine))
	}
	for _, u := range w.entries("units") {
		add(w.T("sign.source.storage", "Unit", w.show(u.Key)), u, "units.location")
	}
	for _, e := range w.entries("existing") {
		add(w.filled(w.value(e, "existing.kind")), e, "existing.location")
	}
	for _, g := range w.entries("generation") {
		add(w.filled(w.value(g, "generation.kind")), g, "generation.location")
	}
	return out
}

// stepForm is a step of a datasheet: what is done, to what, and for how long.
var stepForm = regexp.MustCompile(`^(\w+)(?: (.*?))?(?: (\d+) (s|min))?$`)

// procedure lists the steps of switching off as the datasheet of the stacks has
// them; lines to fill in where none has, or where they differ.
func (w *writer) procedure() []string {
	var steps []string
	for i, s := range w.entries("stacks") {
		own := w.switchOff(s)
		if i > 0 && !slices.Equal(steps, own) {
			steps = nil
			break
		}
		steps = own
	}
	if len(steps) == 0 {
		w.unknown++
		return []string{"1. " + w.T("labels.blank"), "2. " + w.T("labels.blank"), "3. " + w.T("labels.blank")}
	}
	out := make([]string, len(steps))
	for i, s := range steps {
		out[i] = strconv.Itoa(i+1) + ". " + w.step(s)
	}
	return out
}

// switchOff is the order of switching a stack off, as its datasheet has it.
func (w *writer) switchOff(s *fact.Instance) []string {
	v, _, _ := w.find(s, "stacks.equipment.switch_off")
	if v == nil || v.More == nil {
		return nil
	}
	var out []string
	for i := range v.More.List {
		out = append(out, v.More.List[i].Text)
	}
	return out
}

// step writes one step in the writer's language, as far as its words are those of
// a switching sequence; a thing with another name keeps it.
func (w *writer) step(text string) string {
	m := stepForm.FindStringSubmatch(text)
	do, what := w.facts().Shape.Leaf("switching.steps.do"), w.facts().Shape.Leaf("switching.steps.what")
	if m == nil || do == nil || what == nil {
		return w.show(text)
	}
	verb, thing, time := w.word(do, m[1]), w.show(w.word(what, m[2])), m[3]+"\u00a0"+m[4]
	switch {
	case m[2] != "" && m[3] != "":
		return w.T("sign.step.thing-time", "Do", verb, "What", thing, "Time", time)
	case m[2] != "":
		return w.T("sign.step.thing", "Do", verb, "What", thing)
	case m[3] != "":
		return w.T("sign.step.time", "Do", verb, "Time", time)
	}
	return w.show(text)
}
