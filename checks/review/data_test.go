package review_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// stating is a firm with equipment data that states this beside what every
// product of these tests states.
func stating(figures, limits string) firm {
	return policyWith(``).with("equipment/oar.cue", strings.Replace(product("oar", "A", limits), "\tlimits: [string]", "\t"+figures+"\n\tlimits: [string]", 1))
}

// another is equipment data of another kind.
func another(key, revision, kind, figures string) string {
	return "package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: \"" + key + "\": " + revision + ": equipment.#" + kind + " & {\n\ttitle: \"Sheet\", edition: \"1\"\n\t" + figures + "\n}\n"
}

func TestReviewOfFiguresOutOfOrder(t *testing.T) {
	t.Parallel()
	joint := func(figures string) firm { return stating("joints: wall_bracket: {\n"+figures+"\n\t}", ``) }
	runReviewCases(t, []reviewCase{
		{"torques", joint(`torque_low: "9 N·m"
		torque_high: "7.5 N·m" // want: figures-out-of-order`), `"9 N·m"`, `"7.5 N·m"`},
		{"torques in two units", joint(`torque_low: "7 N·m"
		torque_high: "50 lbf·in" // want: figures-out-of-order`), `50 lbf·in`, `70 lbf·in`},
		{"nominal below low", stating(`module: voltage: low: "53 V"
	module: voltage: nominal: "51 V" // want: figures-out-of-order`, ``), `53 V`, `44 V`},
		{"high below nominal", stating(`module: voltage: nominal: "58 V"`, ``).want("equipment/oar.cue", `high: "57 V"`, "figures-out-of-order"), `58 V`, `51 V`},
		{"high below low, without nominal", stating(`module: voltage: low: "58 V"`, ``).want("equipment/oar.cue", `high: "57 V"`, "figures-out-of-order"), `58 V`, `44 V`},
		{"output of a converter", stating(`output: voltage_low: "450 V"
	output: voltage_high: "360 V" // want: figures-out-of-order`, ``), `"360 V"`, `"460 V"`},
		{"of an inverter", policyWith(``).with("equipment/quell.cue", another("quell", "A", "Inverter", `dc: voltage_low: "550 V"
	dc: voltage_high: "150 V" // want: figures-out-of-order`)), `"550 V"`, `"90 V"`},
		{"smallest and largest conductor", policyWith(``).with("equipment/quell.cue", another("quell", "A", "Protection", `terminal: smallest: "2 AWG"
	terminal: largest: "10 AWG" // want: figures-out-of-order`)), `"2 AWG"`, `"12 AWG"`},
	})
}

func TestReviewOfCompatibleProducts(t *testing.T) {
	t.Parallel()
	names := func(list string) firm {
		return stating("compatible_inverters: [\n"+list+"\n\t]", ``).with("equipment/quell.cue", another("quell", "B", "Inverter", ``)).with("equipment/wire.cue", another("wire", "A", "Conductor", ``))
	}
	runReviewCases(t, []reviewCase{
		{"no such product", names(`"quell",
		"quel", // want: compatible-unknown`), `"quel"`, `"quell@B"`},
		{"no such revision", names(`"quell@A", // want: compatible-unknown`), `quell@A`, `quell`},
		{"another kind", names(`"wire", // want: compatible-unknown`), `"wire"`, `"quell"`},
	})
	broken := names(`"quell@A",`).with("equipment/quell.cue", another("quell", "A", "Inverter", `colour: "red"`))
	for _, x := range ofTheFirm(reviewed(t, broken)) {
		assert.NotEqual(t, "compatible-unknown", x.Code, "what is broken is reported by itself")
	}
}

func TestReviewOfTorques(t *testing.T) {
	t.Parallel()
	both := func(figures, limit string) firm {
		return stating(figures, `"a": {measure: "joints.torque.set", unit: "N·m", `+limit+`}`)
	}
	const band = `joints: wall_bracket: torque_low: "7.5 N·m"
	joints: wall_bracket: torque_high: "8.9 N·m" // want: torque-differs`
	const bracket = `when: joints: joint: "wall bracket"`
	runReviewCases(t, []reviewCase{
		{"high", both(band, `within: >=7.5 & <=9, `+bracket), `8.9 N·m`, `9 N·m`},
		{"low", both(`joints: dc_terminal: torque_low: "6 N·m" // want: torque-differs`, `within: >=6.5 & <=7, when: joints: joint: "dc terminal"`), `"6 N·m"`, `"6.5 N·m"`},
		{"another joint", both(band, `within: >=7.5 & <=9, `+bracket), `joint: "wall bracket"`, `joint: "base"`},
		{"rounded in another unit", both(strings.Replace(band, "8.9 N·m", "81 lbf·in", 1), `within: >=7.5 & <=9, `+bracket), `81 lbf·in`, `80 lbf·in`},
		{"an end that the limit leaves open", both(band, `within: <=9, `+bracket), `<=9`, `>=7.5`},
		{"under a further condition", both(band, `within: >=7.5 & <=9, `+bracket), bracket, `when: joints: {joint: "wall bracket", class: "8.8"}`},
	})
}

func TestReviewOfStepsOfSwitching(t *testing.T) {
	t.Parallel()
	order := func(field, list string) firm { return stating(field+": [\n"+list+"\n\t]", ``) }
	runReviewCases(t, []reviewCase{
		{"on", order("switch_on", `"close grid switch",
		"close gird switch", // want: step-unknown`), `gird`, `grid`},
		{"off", order("switch_off", `"open main breaker", // want: step-unknown`), `main breaker`, `stack breaker`},
		{"with a duration", order("switch_on", `"press controller 5 s", // want: step-unknown`), `press controller`, `press stack controller`},
		{"waiting at something", order("switch_off", `"wait capacitor 5 min", // want: step-unknown`), `wait capacitor 5 min`, `wait 5 min`},
	})
	library, err := checks.OpenLibrary(checks.Options{Shipped: shipped(t), FS: policyWith(``).fs(), Paths: []string{"."}})
	require.NoError(t, err)
	what := library.Shape.Leaf("switching.steps.what")
	require.NotEmpty(t, what.Words)
	for _, word := range what.Words {
		assert.Empty(t, ofTheFirm(reviewed(t, order("switch_on", `"close `+word+`"`))), "as the shape has it")
	}
}
