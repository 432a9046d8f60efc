package checks

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

const (
	iec = "iec/60364#"
	bs  = "uk/bs-7671-2018#"
)

// circuits is what each scope of the table of disconnection times is in a job:
// the facts at both ends of the ratings it reaches.
var circuits = map[string][]string{
	"final":          {"circuit: final, rating: 6 A", "circuit: final, rating: 32 A, socket_outlets: true"},
	"sockets":        {"circuit: final, rating: 32.001 A, socket_outlets: true", "circuit: final, rating: 63 A, socket_outlets: true"},
	"fixed-32-63":    {"circuit: final, rating: 32.001 A, socket_outlets: false", "circuit: final, rating: 63 A, socket_outlets: false"},
	"final-above-63": {"circuit: final, rating: 63.001 A, socket_outlets: true", "circuit: final, rating: 80 A"},
	"final-above-32": {"circuit: final, rating: 32.001 A", "circuit: final, rating: 125 A"},
	"distribution":   {"circuit: distribution, rating: 20 A", "circuit: distribution, rating: 160 A"},
}

// Every published disconnection time, at both ends of its band of voltages and of
// its ratings: at the figure and a millisecond above it. No other limit of the
// rule set may reach the same circuit, so that each circuit has one time.
func TestDisconnectionTimes(t *testing.T) {
	t.Parallel()
	for _, row := range figures(t, "disconnection_times.csv") {
		name := disconnectionLimit(row)
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			require.Contains(t, circuits, row["scope"])
			f, want := disconnectionJobs(t, row)
			run, out := lint(t, f)
			require.Empty(t, run.Problems)
			for file, kind := range want {
				s := out.full[file+" "+iec+name+" protection[Q].clearing_time"]
				assert.Equal(t, kind.String(), s.kind.String(), "%s\n%s", s.reason, f[file])
				assertGrade(t, s.grade, row["provenance"])
				assert.Equal(t, []string{name}, applied(out, file, "disconnection-"), f[file])
			}
		})
	}
}

// disconnectionLimit is the name of the limit that holds a row.
func disconnectionLimit(row map[string]string) string {
	name := "disconnection-" + row["current"] + "-" + row["system"] + "-"
	band := row["u0_over"] + "-" + row["u0_to"]
	if row["u0_to"] == "" {
		band = "above-" + row["u0_over"]
	}
	switch {
	case row["scope"] != "final" && row["scope"] != "sockets":
		return name + row["scope"]
	case row["current"] == "dc":
		return name + band
	}
	return name + band + "-" + row["scope"]
}

// disconnectionJobs makes the jobs of a row, with the outcome each must have.
func disconnectionJobs(t *testing.T, row map[string]string) (firm, map[string]judge.Kind) {
	f := firm{"witnessmark.cue": rootFile}
	want := map[string]judge.Kind{}
	top := row["u0_to"]
	if top == "" {
		top = "690"
	}
	for v, volts := range []string{beside(t, row["u0_over"], 1), top} {
		f[fmt.Sprintf("equipment/sennel-%d.cue", v)] = moduleOf(fmt.Sprintf("sennel-%d", v), "1 kWh", volts+" V")
		for _, circuit := range circuits[row["scope"]] {
			for off, kind := range map[int64]judge.Kind{0: within, 1: outside} {
				file := fmt.Sprintf("jobs/%03d.yaml", len(want))
				f[file] = circuitJob(len(want), row, v, volts, circuit+", clearing_time: "+beside(t, row["seconds"], off)+" s")
				want[file] = kind
			}
		}
	}
	return f, want
}

// circuitJob is a job with one device, on the grid side or at a stack.
func circuitJob(n int, row map[string]string, product int, volts, circuit string) string {
	system := map[string]string{"tn": "TN-S", "tt": "TT"}[row["system"]]
	head := fmt.Sprintf("job: J-%d\npremises: {id: p-%d, supply_voltage: %s V}\nstage: designed\nrule_sets: [iec/60364]\nsupply: {system: %s}\n", n, n, volts, system)
	if row["current"] == "ac" {
		return head + "protection: [{id: Q, kind: circuit-breaker, serves: inverter grid side, " + circuit + "}]\n"
	}
	return head + fmt.Sprintf("stacks: [{id: S, equipment: sennel-%d@A, modules: 1}]\ninverters: [{id: W, dc_earthing: solidly grounded}]\n", product) +
		"protection: [{id: Q, kind: fuse, serves: one stack, stack: S, inverter: W, " + circuit + "}]\n"
}

// applied lists the limits of IEC 60364 that were judged in a file or could not
// be, by the beginning of their names.
func applied(out *lines, file, prefix string) []string {
	var names []string
	for key, s := range out.full {
		rest, ours := strings.CutPrefix(key, file+" "+iec+prefix)
		if ours && s.kind != judge.NotApplicable {
			name, _, _ := strings.Cut(rest, " ")
			names = append(names, prefix+name)
		}
	}
	slices.Sort(names)
	return names
}
