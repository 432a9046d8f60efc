package checks

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// necCase shows a limit without a number both ways. In the job, @ stands for the
// deciding fact: with the good value the limit is within, with the bad one
// outside, without the fact it is not checked and names it. Else turns the job
// with the bad value into one that the limit does not apply to.
type necCase struct {
	limit     string
	fact      string // as the job writes it
	good, bad string
	job       string
	otherwise [2]string // what is written instead
	absent    string    // the fact that is named where @ is left out, if it is another
}

const (
	necUnit     = "locations: [{id: L, setting: %s}]\nunits: [{@id: U, location: L, stacks: [S]}]\nstacks: [{id: S, equipment: mirrel@A, modules: 2}]\n"
	necDevice   = "units: [{id: U, stacks: [S], use: standby}]\nstacks: [{id: S, equipment: mirrel@A, modules: 2}]\nprotection: [{@id: F, stack: S, serves: one stack, kind: circuit-breaker%s}]\n"
	necCable    = "stacks: [{id: S, equipment: mirrel@A, modules: 2}]\nprotection: [{@id: F, kind: fuse}]\nconductors: [{id: c, carries: dc, stack: S, protected_by: F%s}]\n"
	necRoom     = "premises: {id: p, occupancy: shop}\nlocations: [{id: L, setting: battery room, @}]\nunits: [{id: U, location: L, use: standby}]\n"
	necShutdown = "premises: {id: p, occupancy: dwelling}\nsupply: {island: {changeover: %s}, shutdown: [{@id: s, initiator: push button}]}\n"
	necHouse    = "premises: {id: p, occupancy: dwelling}\nunits: [{id: U, use: standby}]\nsupply: {shutdown: [{@id: s, initiator: disconnect}]}\n"
)

func necCases() []necCase {
	notADevice := [2]string{"kind: circuit-breaker", "kind: surge arrester"}
	notDC := [2]string{"carries: dc", "carries: ac"}
	noBattery := [2]string{"setting: battery room", "setting: basement"}
	noHouse := [2]string{"occupancy: dwelling", "occupancy: shop"}
	device, cable := fmt.Sprintf(necDevice, ""), fmt.Sprintf(necCable, "")
	big := "locations: [{id: L, setting: plant room, @}]\nunits: [{id: U, location: L, stacks: [S]}]\nstacks: [{id: S}]\nprotection: [{id: F, stack: S, rating: 800 A}]\n"
	small := [2]string{"rating: 800 A", "rating: 799 A"}
	live := "premises: {@id: p, occupancy: shop}\nlocations: [{id: L, setting: carport}]\nunits: [{id: U, location: L, stacks: [S]}]\nstacks: [{id: S, equipment: mirrel@A, modules: 2, live_parts_accessible: true}]\n"
	enclosed := [2]string{"live_parts_accessible: true", "live_parts_accessible: false"}
	return []necCase{
		{"installed-to-instructions", "to_instructions", "true", "false", "units: [{@id: U, listed: true}]\n", [2]string{"listed: true", "listed: false"}, ""},
		{"terminal-material", "material", "copper", "aluminium", "conductors: [{@id: c, terminals: [{end: from, takes: [copper]}]}]\n", [2]string{}, ""},
		{"nameplate-states", "nameplate", "[fault current, power, current, voltage, serial]", "[power, voltage, current]", fmt.Sprintf(necUnit, "basement"), [2]string{"modules: 2", "modules: 1"}, ""},
		{"shutdown-ends-export", "makes_dead", "[backup circuits, grid side]", "[grid side, generation]", fmt.Sprintf(necShutdown, "automatic"), [2]string{"push button", "disconnect"}, ""},
		{"shutdown-ends-export-without-island", "makes_dead", "[grid side]", "[generation]", fmt.Sprintf(necShutdown, "none"), noHouse, ""},
		{"torque-tool", "joint", "wall bracket", "ac terminal", "joints: [{@id: j, instrument: MM-1}]\n", [2]string{"MM-1", "TW-1"}, ""},
		{"working-space-storage", "storage", "false", "true", "locations: [{id: L, setting: basement, working_space: {@depth: 2 m}}]\nunits: [{id: U, location: L}]\n", [2]string{}, ""},
		{"working-space-level", "level", "true", "false", "locations: [{id: L, setting: basement, working_space: {@depth: 2 m}}]\nunits: [{id: U, location: L}]\n", [2]string{}, ""},
		{"large-equipment-door-hardware", "door", "{panic_hardware: true}", "{panic_hardware: false}", big, small, "locations[L].door.panic_hardware"},
		{"large-equipment-door-way", "door", "{outwards: true}", "{outwards: false}", big, small, "locations[L].door.outwards"},
		{"outdoors-live-parts", "qualified_persons_only", "true", "false", live, enclosed, ""},
		{"outdoors-vehicles", "vehicle_barrier", "bollard", "none", "locations: [{@id: L, setting: carport, vehicle_path: true}]\nunits: [{id: U, location: L}]\n", [2]string{"vehicle_path: true", "vehicle_path: false"}, ""},
		{"live-parts-guarded", "qualified_persons_only", "true", "false", live, enclosed, ""},
		{"overcurrent-device-not-in-closet", "place", "elsewhere", "clothes closet", device, notADevice, ""},
		{"overcurrent-device-not-in-bathroom", "place", "elsewhere", "bathroom", device, notADevice, ""},
		{"overcurrent-device-not-over-stair", "place", "elsewhere", "over a stair", device, notADevice, ""},
		{"battery-device-place", "place", "at the storage", "at the inverter", device, notADevice, ""},
		{"dc-system-grounded", "dc_earthing", "solidly grounded", "ungrounded", "stacks: [{id: S, equipment: mirrel@A, modules: 2}]\ninverters: [{@id: W}]\nconductors: [{id: c, carries: dc, stack: S, inverter: W}]\n", [2]string{"modules: 2", "modules: 6"}, ""},
		{"dc-ground-fault-detection", "dc_earthing", "functionally grounded", "ungrounded", "inverters: [{@id: W}]\nprotection: [{id: G, inverter: W, ground_fault_detection: false}]\n", [2]string{"detection: false", "detection: true"}, ""},
		{"emergency-disconnect-place", "place", "outdoors elsewhere", "indoors elsewhere", necHouse, noHouse, ""},
		{"emergency-disconnect-accessible", "accessible", "true", "false", necHouse, noHouse, ""},
		{"emergency-disconnect-colours", "colours", "white on red", "black on white", "premises: {id: p, occupancy: dwelling}\nlabels: [{@id: l, says: emergency disconnect}]\n", noHouse, ""},
		{"shutdown-accessible", "accessible", "true", "false", necHouse, noHouse, ""},
		{"standby-disconnect-outside", "place", "outdoors at the entrance", "at the storage", necHouse, [2]string{"use: standby", "use: energy storage"}, ""},
		{"standby-listed", "listed", "true", "false", "units: [{@id: U, use: standby}]\n", [2]string{"use: standby", "use: energy storage"}, ""},
		{"standby-disconnect-accessible", "accessible", "true", "false", device, [2]string{"use: standby", "use: energy storage"}, ""},
		{"standby-disconnect-in-sight", "in_sight", "true", "false", device, [2]string{"modules: 2", "modules: 1"}, ""},
		{"standby-wall-gap", "use", "energy storage", "standby", "units: [{@id: U, stacks: [S]}]\nstacks: [{id: S, wall_gap: 24 mm}]\n", [2]string{"24 mm", "25 mm"}, ""},
		{"standby-room-door-way", "door", "{outwards: true}", "{outwards: false}", necRoom, noBattery, "locations[L].door.outwards"},
		{"standby-room-door-hardware", "door", "{panic_hardware: true}", "{panic_hardware: false}", necRoom, noBattery, "locations[L].door.panic_hardware"},
		{"standby-room-gas-pipes", "gas_pipes", "false", "true", necRoom, noBattery, ""},
		{"ess-room-door-way", "door", "{outwards: true}", "{outwards: false}", necRoom, noBattery, "locations[L].door.outwards"},
		{"ess-room-door-hardware", "door", "{panic_hardware: true}", "{panic_hardware: false}", necRoom, noBattery, "locations[L].door.panic_hardware"},
		{"storage-listed", "listed", "true", "false", fmt.Sprintf(necUnit, "basement"), [2]string{"modules: 2", "modules: 1"}, ""},
		{"storage-disconnect-accessible", "accessible", "true", "false", device, [2]string{"serves: one stack", "serves: backup circuits"}, ""},
		{"storage-disconnect-in-sight", "in_sight", "true", "false", device, [2]string{"serves: one stack", "serves: backup circuits"}, ""},
		{"storage-disconnect-lockable", "lockable", "true", "false", fmt.Sprintf(necDevice, ", in_sight: false, place: elsewhere"), [2]string{"place: elsewhere", "place: in the stack"}, ""},
		{"dc-overcurrent-device", "dc_rated", "true", "false", cable, notDC, ""},
		{"dc-device-rated", "dc_rated", "true", "false", cable, notDC, ""},
		{"dc-device-both-ways", "polarised", "false", "true", cable, notDC, ""},
		{"current-limiting-device", "current_limiting", "true", "false", device, notADevice, ""},
		{"device-at-storage-end-of-long-run", "place", "in the stack", "at the inverter", fmt.Sprintf(necCable, ", length: 1.6 m"), [2]string{"1.6 m", "1.5 m"}, ""},
		{"device-at-storage-end-through-wall", "place", "in the stack", "at the inverter", fmt.Sprintf(necCable, ", through_wall: true"), [2]string{"wall: true", "wall: false"}, ""},
		{"component-inverter-listed", "listed", "true", "false", "units: [{id: U, listed: false}]\ninverters: [{@id: W, unit: U}]\n", [2]string{"id: U, listed: false", "id: U, listed: true"}, ""},
		{"rack-wall-gap", "listed", "true", "false", "units: [{@id: U, stacks: [S]}]\nstacks: [{id: S, wall_gap: 24 mm}]\n", [2]string{"24 mm", "25 mm"}, ""},
		{"charge-settings-locked", "configuration", "{grid: {locked: true}}", "{grid: {locked: false}}", "stage: in-service\npremises: {id: p, qualified_persons_only: false}\n@", [2]string{"only: false", "only: true"}, "configuration.grid.locked"},
	}
}

// text writes the job with the fact as given; nothing where the value is empty.
func (c necCase) text(n int, set, value string, otherwise bool) string {
	end := ", "
	if strings.HasSuffix(c.job, "\n@") {
		end = "\n"
	}
	one := ""
	if value != "" {
		one = c.fact + ": " + value + end
	}
	job := strings.Replace(c.job, "@id", one+"id", 1)
	if job == c.job {
		job = strings.Replace(job, "@depth", one+"depth", 1)
	}
	if job == c.job {
		job = strings.NewReplacer("room, @}", "room, "+strings.TrimSuffix(one, ", ")+"}", "\n@", "\n"+one).Replace(job)
	}
	if otherwise {
		job = strings.Replace(job, c.otherwise[0], c.otherwise[1], 1)
	}
	if !strings.Contains(job, "premises:") {
		job = "premises: {id: p, occupancy: farm}\n" + job
	}
	if !strings.Contains(job, "stage:") {
		job = "stage: designed\n" + job
	}
	return fmt.Sprintf("job: N-%d\nrule_sets: [%s]\n%s", n, set, strings.Replace(job, "{id: p", fmt.Sprintf("{id: p-%d", n), 1))
}

// Every limit of the electrical code without a number, in every edition that has
// it: within, outside, not checked and not applicable.
func TestElectricalCodeWithoutNumbers(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}
	for _, set := range sets {
		if !strings.HasPrefix(set.Source.Name, "us/nec-") {
			continue
		}
		for _, l := range set.Limits {
			cases := necCases()
			i := slices.IndexFunc(cases, func(c necCase) bool { return c.limit == l.Name })
			if _, err := maker.Make(l); errors.Is(err, boundary.ErrNoNumber) && assert.GreaterOrEqual(t, i, 0, "%s has no number and no case here", l.FullName) {
				t.Run(l.FullName, func(t *testing.T) { cases[i].judge(t, l) })
			}
		}
	}
}

// judge lints the four jobs of a case.
func (c necCase) judge(t *testing.T, l *limit.Compiled) {
	f := firm{"witnessmark.cue": rootFile, "equipment/mirrel.cue": moduleOf("mirrel", "0.6 kWh", "60 V"), "registers/tools.cue": necTools}
	want := []judge.Kind{within, outside, judge.NotChecked}
	values := []string{c.good, c.bad, ""}
	if c.otherwise[0] != "" {
		want, values = append(want, judge.NotApplicable), append(values, c.bad)
	}
	for i, value := range values {
		f[fmt.Sprintf("jobs/%d.yaml", i)] = c.text(i, l.Source.Name, value, i == 3)
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for i, kind := range want {
		file := fmt.Sprintf("jobs/%d.yaml", i)
		found := 0
		for key, s := range out.full {
			if !strings.HasPrefix(key, file+" "+l.FullName+" ") {
				continue
			}
			found++
			if kind == judge.NotChecked {
				assert.Contains(t, []string{"not_checked", "not_due"}, s.kind.String(), "%s\n%s", key, f[file])
				c.assertNamed(t, s.waits)
				continue
			}
			assert.Equal(t, kind.String(), s.kind.String(), "%s: %s\n%s", key, s.reason, f[file])
		}
		assert.Equal(t, 1, found, "%s was not judged once\n%s", l.FullName, f[file])
	}
}

// assertNamed sees to it that what is absent is named.
func (c necCase) assertNamed(t *testing.T, waits []string) {
	t.Helper()
	assert.Condition(t, func() bool {
		return slices.ContainsFunc(waits, func(w string) bool {
			return w == c.absent || c.absent == "" && strings.HasSuffix(w, "."+c.fact)
		})
	}, "%q does not name %s", waits, c.fact)
}

const necTools = `package registers

import "witnessmark.example/schema/register"

#instruments: register.#Instruments & {
	"MM-1": {instrument: "multimeter", calibrated_on: "2026-01-01", valid_until: "2027-12-31"}
	"TW-1": {instrument: "torque wrench", calibrated_on: "2026-01-01", valid_until: "2027-12-31"}
}
`
