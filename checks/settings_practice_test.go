package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// A stack whose datasheet states peaks and rates, the same without rates, and an
// inverter that stands more than either.
const (
	ratedStack = `package equipment

import "witnessmark.example/schema/equipment"

#products: rated: A: equipment.#Storage & {
	title:   "Sheet"
	edition: "A"
	architecture: "modules in series"
	module: {capacity: "50 A·h", resistance: "5 mΩ", voltage: {low: "44 V", nominal: "51.2 V", high: "57.6 V"}}
	current: {charge: "40 A", discharge: "40 A", peak: "60 A", peak_charge: "50 A", CHARGE_RATE}
	derating: {above: "40 °C", cold_charge: "5 °C"}
}
`
	strongInverter = `package equipment

import "witnessmark.example/schema/equipment"

#products: strong: A: equipment.#Inverter & {
	title:   "Sheet"
	edition: "A"
	dc: {voltage_low: "100 V", voltage_high: "500 V", current: "100 A"}
}
`
)

// settingJob is a job with one stack, in which %s are the coldest air, the settings of
// the inverter, the product of the stack and more of its device.
const settingJob = `locations: [{id: L, air: {low: %s, high: 30 °C}}]
units: [{id: U, location: L, stacks: [A]}]
inverters: [{id: I, equipment: strong@A, dc_setting: {%s}}]
stacks: [{id: A, equipment: %s@A, inverter: I, modules: 4}]
conductors: [{id: c, carries: dc, stack: A, size: 16 mm², material: copper, strands: stranded, method: C, insulation_type: PVC, insulation: 70 °C, ambient: 30 °C, grouped: 1, length: 10 m}]
protection: [{id: F, kind: fuse, serves: one stack, stack: A, rating: 50 A%s}]
`

// Modules of one stack are as near in age and revision as the datasheet says; one that
// was taken out again, or stores nothing, does not count.
func TestMixingInPractice(t *testing.T) {
	t.Parallel()
	const in, out = judge.Within, judge.Outside
	const days, revisions = "stacks[A].module_days", "stacks[A].module_revisions"
	cases := []struct {
		name, limit, of, product, slots string
		kind                            judge.Kind
		waits                           string
	}{
		{"184 days", "modules-within-six-months", days, "half", "{slot: 1, made_on: 2026-01-01}, {slot: 2, made_on: 2026-07-04}", in, ""},
		{"185 days", "modules-within-six-months", days, "half", "{slot: 1, made_on: 2026-01-01}, {slot: 2, made_on: 2026-07-05}", out, ""},
		{"the old one was taken out", "modules-within-six-months", days, "half", "{slot: 1, made_on: 2024-01-01, removed_on: 2026-08-01}, {slot: 1a, made_on: 2026-07-05}, {slot: 2, made_on: 2026-07-05}", in, ""},
		{"a heater has no age that counts", "modules-within-six-months", days, "half", "{slot: 1, made_on: 2024-01-01, role: heater}, {slot: 2, made_on: 2026-07-05, role: storage}", in, ""},
		{"one is not known", "modules-within-six-months", days, "half", "{slot: 1, made_on: 2026-01-01}, {slot: 2}", notChecked, "stacks[A].slots[2].made_on"},
		{"none is recorded", "modules-within-six-months", days, "half", "{slot: 1}, {slot: 2}", notApplicable, ""},
		{"a month", "modules-of-one-age", days, "none", "{slot: 1, made_on: 2026-01-01}, {slot: 2, made_on: 2026-02-01}", in, ""},
		{"more than a month", "modules-of-one-age", days, "none", "{slot: 1, made_on: 2026-01-01}, {slot: 2, made_on: 2026-02-02}", out, ""},
		{"nothing said, years apart", "modules-of-like-age", days, "silent", "{slot: 1, made_on: 2022-01-01}, {slot: 2, made_on: 2026-02-02}", out, ""},
		{"said to be allowed", "modules-of-like-age", days, "free", "{slot: 1, made_on: 2022-01-01}, {slot: 2, made_on: 2026-02-02}", notApplicable, ""},
		{"a year apart", "stacks-of-like-age", "inverters[I].module_days", "half", "{slot: 1, made_on: 2025-07-04}], inverter: I}, {id: B, equipment: half@A, inverter: I, slots: [{slot: 1, made_on: 2026-07-05}", in, ""},
		{"more than a year", "stacks-of-like-age", "inverters[I].module_days", "half", "{slot: 1, made_on: 2025-07-04}], inverter: I}, {id: B, equipment: half@A, inverter: I, slots: [{slot: 1, made_on: 2026-07-06}", out, ""},
		{"at inverters of their own", "stacks-of-like-age", "inverters[I].module_days", "half", "{slot: 1, made_on: 2020-07-04}], inverter: I}, {id: B, equipment: half@A, inverter: J, slots: [{slot: 1, made_on: 2026-07-06}", notApplicable, ""},
		{"one stack of unknown age", "stacks-of-like-age", "inverters[I].module_days", "half", "{slot: 1, made_on: 2020-07-04}], inverter: I}, {id: B, equipment: half@A, inverter: I, slots: [{slot: 1}", notChecked, "stacks[B].slots[1].made_on"},
		{"two revisions", "modules-of-one-revision", revisions, "half", "{slot: 1, revision: A}, {slot: 2, revision: B}", out, ""},
		{"one revision", "modules-of-one-revision", revisions, "half", "{slot: 1, revision: B}, {slot: 2, revision: B}", in, ""},
		{"none is recorded", "modules-of-one-revision", revisions, "half", "{slot: 1}, {slot: 2}", notApplicable, ""},
		{"nothing said of revisions", "modules-of-like-revision", revisions, "silent", "{slot: 1, revision: A}, {slot: 2, revision: B}", out, ""},
		{"revisions allowed", "modules-of-one-revision", revisions, "free", "{slot: 1, revision: A}, {slot: 2, revision: B}", notApplicable, ""},
	}
	f := firm{"witnessmark.cue": rootFile}
	for name, says := range map[string]string{"half": `ages: "within six months", revisions: "not allowed"`, "none": `ages: "not allowed"`, "silent": "", "free": `ages: "allowed", revisions: "allowed"`} {
		f["equipment/"+name+".cue"] = fmt.Sprintf("package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: %s: A: equipment.#Storage & {title: \"Sheet\", edition: \"A\", architecture: \"modules in series\", mixing: {%s}}\n", name, says)
	}
	for i, c := range cases {
		f[fmt.Sprintf("jobs/%03d.yaml", i)] = fmt.Sprintf("job: J-%d\npremises: {id: p-%d}\nstage: designed\ninverters: [{id: I}, {id: J}]\nstacks: [{id: A, equipment: %s@A, slots: [%s]}]\n", i, i, c.product, c.slots)
	}
	run, lines := lint(t, f)
	require.Empty(t, run.Problems)
	for i, c := range cases {
		t.Run(c.limit+" "+c.name, func(t *testing.T) {
			s, ok := lines.full[fmt.Sprintf("jobs/%03d.yaml practice#%s %s", i, c.limit, c.of)]
			require.True(t, ok, "no outcome for %s: %s", c.of, lines.all)
			assert.Equal(t, c.kind.String(), s.kind.String(), "%s (waits on %s)", s.reason, s.waits)
			if c.waits != "" {
				assert.Contains(t, s.waits, c.waits)
			}
		})
	}
}

// Settings are held to the weakest part, charge in a cold place to the weakest while it is warm;
// where nothing is recorded nothing is asked.
func TestSettingsInPractice(t *testing.T) {
	t.Parallel()
	const in, out = judge.Within, judge.Outside
	job := func(low, setting, product, device string) string {
		return fmt.Sprintf(settingJob, low, setting, product, device)
	}
	mild := func(setting string) string { return job("8 °C", setting, "plainly", "") }
	cold := func(setting string) string { return job("-3 °C", setting, "plainly", "") }
	smaller := func(facts string) string { return strings.Replace(facts, "rating: 50 A", "rating: 30 A", 1) }
	cases := []struct {
		name, limit, of, facts string
		kind                   judge.Kind
		waits                  string
	}{
		{"as much as the datasheet", "discharge-setting", "stacks[A].discharge_asked", mild("discharge: 40 A"), in, ""},
		{"more", "discharge-setting", "stacks[A].discharge_asked", mild("discharge: 41 A"), out, ""},
		{"nothing recorded", "discharge-setting", "stacks[A].discharge_asked", mild("charge: 40 A"), notApplicable, ""},
		{"the fuse before the peak", "peak-discharge-setting", "stacks[A].peak_discharge_asked", mild("peak_discharge: 51 A"), out, ""},
		{"up to the fuse", "peak-discharge-setting", "stacks[A].peak_discharge_asked", mild("peak_discharge: 50 A"), in, ""},
		{"charge", "charge-setting", "stacks[A].charge_asked", mild("charge: 40 A"), in, ""},
		{"too much charge", "charge-setting", "stacks[A].charge_asked", mild("charge: 45 A"), out, ""},
		{"in cold the controller stops it", "charge-setting", "stacks[A].charge_asked", cold("charge: 40 A"), notApplicable, ""},
		{"in cold by the datasheet", "charge-setting-in-cold", "stacks[A].charge_asked", cold("charge: 40 A"), in, ""},
		{"in cold too much", "charge-setting-in-cold", "stacks[A].charge_asked", cold("charge: 41 A"), out, ""},
		{"in cold with a small fuse", "charge-setting-in-cold", "stacks[A].charge_asked", smaller(cold("charge: 31 A")), out, ""},
		{"in cold up to the small fuse", "charge-setting-in-cold", "stacks[A].charge_asked", smaller(cold("charge: 30 A")), in, ""},
		{"peak in cold with a small fuse", "peak-charge-setting-in-cold", "stacks[A].peak_charge_asked", smaller(cold("peak_charge: 31 A")), out, ""},
		{"peak charge", "peak-charge-setting", "stacks[A].peak_charge_asked", mild("peak_charge: 50 A"), in, ""},
		{"peak charge too high", "peak-charge-setting", "stacks[A].peak_charge_asked", mild("peak_charge: 51 A"), out, ""},
		{"peak charge in cold", "peak-charge-setting-in-cold", "stacks[A].peak_charge_asked", cold("peak_charge: 51 A"), out, ""},
		{"no rates stated", "charge-rate", "stacks[A].charge_rate", mild(""), notApplicable, ""},
		{"40 A out of 50 A·h", "charge-rate", "stacks[A].charge_rate", job("8 °C", "", "slow", ""), out, ""},
		{"40 A out of 50 A·h", "charge-rate", "stacks[A].charge_rate", job("8 °C", "", "quick", ""), in, ""},
		{"40 A out of 50 A·h", "discharge-rate", "stacks[A].discharge_rate", job("8 °C", "", "slow", ""), out, ""},
		{"40 A out of 50 A·h", "discharge-rate", "stacks[A].discharge_rate", job("8 °C", "", "quick", ""), in, ""},
		{"opens by what the empty stack feeds", "device-opens-at-end-of-cables", "protection[F].operating_current", job("8 °C", "", "plainly", ", operating_current: 3.7 kA"), in, ""},
		{"needs more", "device-opens-at-end-of-cables", "protection[F].operating_current", job("8 °C", "", "plainly", ", operating_current: 3.71 kA"), out, ""},
		{"no curve read", "device-opens-at-end-of-cables", "protection[F].operating_current", mild(""), notApplicable, ""},
		{"a cable of unknown length", "device-opens-at-end-of-cables", "protection[F].operating_current", strings.Replace(job("8 °C", "", "plainly", ", operating_current: 300 A"), ", length: 10 m", "", 1), notChecked, "conductors[c].length"},
	}
	product := func(name, rates string) string {
		return strings.NewReplacer("products: rated", "products: "+name, ", CHARGE_RATE", rates).Replace(ratedStack)
	}
	f := firm{"witnessmark.cue": rootFile, "equipment/strong.cue": strongInverter, "equipment/plainly.cue": product("plainly", ""),
		"equipment/slow.cue":  product("slow", `, charge_rate: "0.79 1/h", discharge_rate: "0.79 1/h"`),
		"equipment/quick.cue": product("quick", `, charge_rate: "0.8 1/h", discharge_rate: "0.8 1/h"`)}
	for i, c := range cases {
		f[fmt.Sprintf("jobs/%03d.yaml", i)] = fmt.Sprintf("job: J-%d\npremises: {id: p-%d}\nstage: designed\n%s", i, i, strings.Replace(c.facts, ", dc_setting: {}", "", 1))
	}
	run, lines := lint(t, f)
	require.Empty(t, run.Problems)
	for i, c := range cases {
		t.Run(c.limit+" "+c.name, func(t *testing.T) {
			s, ok := lines.full[fmt.Sprintf("jobs/%03d.yaml practice#%s %s", i, c.limit, c.of)]
			require.True(t, ok, "no outcome for %s: %s", c.of, lines.all)
			assert.Equal(t, c.kind.String(), s.kind.String(), "%s (waits on %s)", s.reason, s.waits)
			assert.False(t, s.blocking, "customs do not block")
			if c.waits != "" {
				assert.Contains(t, s.waits, c.waits)
			}
		})
	}
}
