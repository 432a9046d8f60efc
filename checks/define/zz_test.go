package define

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"witnessmark.example/schema"
)

func TestZZ(t *testing.T) {
	c := shape(t)
	file := "package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: x: {\n"
	for i, b := range []string{`architecture: "modules in serie"`, `architecture: 3`, `listed_to: ["UL 1973", "UL 1974"]`, `listed_to: "UL 1973"`, `module: energy: "2.4"`, `module: energy: "2.4 kg"`, `module: energy: 2.4`, `module: cells: -1`, `module: cells: 0`, `module: cells: 2.5`, `module: cells: "16"`,
		`ip: "IP99Z"`, `compatible_inverters: ["A b"]`, `compatible_inverters: ["s@A", 3]`, `module: enrgy: "2 kWh"`, `modul: energy: "2 kWh"`, `architecture: "modules in series"`, `module: "3"`, `edition: 3`, `joints: base: fastener: "8"`, `joints: base: torque: "8"`, `module: energy: ""`, `module: energy: "1e99 kWh"`, `module: energy: "2,4 kWh"`,`mixing: 3`,`switch_on: ["close the door"]`,
		`module: serial_pattern: "M-["`, `title: ""`} {
		file += fmt.Sprintf("\tr%02d: equipment.#Storage & {title: \"T\", edition: \"A\"\n\t%s\n\t}\n", i, b)
	}
	file += "}\n"
	reg := "package registers\n\nimport \"witnessmark.example/schema/register\"\n\n#instruments: register.#Instruments & {\n"
	for i, b := range []string{`calibrated_on: "2026-02-31"`, `calibrated_on: "11-03-2026"`, `calibrated_on: 20260311`, `calibrated_on: "2028-01-01"`, `valid_until: "soon"`, `instrument: "torque wrnch"`, `category: "V"`, `range: torque_low: "5"`, `range: torque_low: "5 V"`, `range: torque_lo: "5 N·m"`, `points: ["20 %", "x"]`, `points: "20"`, `earlier: [{calibrated_on: "2025-02-30", valid_until: "2025-12-31"}]`,
		`earlier: [{calibrated_on: "2025-02-03", valid_until: "2024-12-31"}]`, `earlier: [{calibrated_on: "2025-02-03"}]`, `earlier: {calibrated_on: "2025-02-03"}`, `earlier: [{calibrated_on: "2025-02-03", valid_until: "2025-12-31", sertificate: "x"}]`, `serial: 4711`, `colour: "red"`, `valid_untill: "2027-01-01"`, `accuracy: "4"`} {
		base := map[string]string{"instrument": `"other"`, "calibrated_on": `"2026-01-01"`, "valid_until": `"2027-01-01"`}
		head, _, _ := strings.Cut(b, ":")
		delete(base, head)
		s := ""
		for _, k := range []string{"instrument", "calibrated_on", "valid_until"} {
			if v := base[k]; v != "" {
				s += k + ": " + v + ", "
			}
		}
		reg += fmt.Sprintf("\tr%02d: {%s\n\t\t%s\n\t}\n", i, s, b)
	}
	reg += "\tnone: {calibrated_on: \"2026-01-01\", valid_until: \"2027-01-01\"}\n"
	reg += "\t\"has space\": {instrument: \"other\", calibrated_on: \"2026-01-01\", valid_until: \"2027-01-01\"}\n"
	reg += "}\n#people: register.#People & {\n"
	for i, b := range []string{`may_rule_on: ["energize"]`, `may_rule_on: "energise"`, `valid_from: "2026-06-31"`, `valid_from: "2026-06-30", valid_until: "2026-06-29"`, `earlier: [{valid_from: "2020-01-01"}]`, `licens: "x"`, `name: 3`} {
		reg += fmt.Sprintf("\tp%02d: {\n\t\t%s\n\t}\n", i, b)
	}
	reg += "}\n"
	f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(root)}, "equipment/x.cue": {Data: []byte(file)}, "registers/a.cue": {Data: []byte(reg)}}, c)
	f.Products.All()
	show := func(text string, fs []string) {}
	_ = show
	el, rl := strings.Split(file, "\n"), strings.Split(reg, "\n")
	for _, x := range append(f.Products.Faults(), f.Faults...) {
		lines := el
		if strings.HasPrefix(x.At.File, "reg") {
			lines = rl
		}
		w := "?"
		if x.At.Line > 0 && x.At.Line <= len(lines) {
			w = strings.TrimSpace(lines[x.At.Line-1])
		}
		fmt.Printf("%s [%s] %s | %s  <<%s>>\n", x.At, w, x.Code, x.Message, x.Mend)
	}
	fmt.Println(f.Registers.Keys("instruments"), f.Registers.Keys("people"))
}
