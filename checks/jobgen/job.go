package jobgen

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// author writes one job file.
type author struct {
	strings.Builder
	*rand.Rand
	number   int
	stage    int // index into stages
	imperial bool
	product  product
	stacks   []string
	modules  int
}

type product struct {
	name           string
	least, most    int // modules
	gapLow, gapTop int // mm
}

var products = []product{{"tarnel@C", 4, 9, 22, 35}, {"vessik@A", 2, 6, 16, 40}}

var stages = []string{"surveyed", "designed", "delivered", "installed", "energised", "handed-over", "in-service"}

// The stages by index, as far as the text of a job depends on them.
const (
	designed  = 1
	installed = 3
	energised = 4
	handed    = 5
)

// Job returns the text of the i-th job file: about a hundred lines, 4 to 8 kB, six in
// the middle.
func Job(i int, seed uint64) string {
	a := &author{Rand: rand.New(rand.NewPCG(seed, uint64(i))), number: i + 1}
	a.stage = pick(a, []int{1, 1, 2, 3, 3, 4, 4, 5, 6, 6})
	a.imperial = a.IntN(3) == 0
	a.product = pick(a, products)
	a.stacks = []string{"A", "B", "C"}[:pick(a, []int{1, 1, 1, 1, 1, 2, 2, 3})]
	a.modules = a.product.least + a.IntN(a.product.most-a.product.least+1)
	a.head()
	a.places()
	a.units()
	a.stackList()
	a.wiring()
	a.jointList()
	a.record()
	return a.String()
}

func pick[T any](a *author, from []T) T { return from[a.IntN(len(from))] }

// slip is true for one in n: where somebody measured or wrote wrongly.
func (a *author) slip(n int) bool { return a.IntN(n) == 0 }

func (a *author) line(format string, args ...any) { fmt.Fprintf(a, format+"\n", args...) }

// length writes a number of millimetres as this installer's tape shows it.
func (a *author) length(mm int) string {
	switch {
	case !a.imperial:
		return fmt.Sprintf("%d mm", mm)
	case mm < 100:
		return sixteenths(max(1, mm*160/254))
	case mm > 700 && a.IntN(2) == 0:
		inches := mm * 10 / 254
		return fmt.Sprintf("%d ft %d in", inches/12, inches%12)
	}
	return fmt.Sprintf("%d in", mm*10/254)
}

// sixteenths writes a number of sixteenths of an inch as a tape shows it.
func sixteenths(n int) string {
	whole, n, of := n/16, n%16, 16
	for n > 0 && n%2 == 0 {
		n, of = n/2, of/2
	}
	switch {
	case n == 0:
		return fmt.Sprintf("%d in", whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d in", n, of)
	}
	return fmt.Sprintf("%d %d/%d in", whole, n, of)
}

// site writes a value read on site: the plan, and the reading once it is built.
func (a *author) site(plan, built string) string {
	if a.stage < installed {
		return plan
	}
	return fmt.Sprintf("{planned: %s, built: %s}", plan, built)
}

// fitted writes what was planned and built alike.
func (a *author) fitted(value string) string {
	if a.stage < installed {
		return value
	}
	return "{built: " + value + "}"
}

func (a *author) day(add int) string {
	n := 10 + a.number%80 + add
	return fmt.Sprintf("2026-%02d-%02d", 1+n/28, 1+n%28)
}

func (a *author) head() {
	a.line("# taken over from the site book")
	a.line("job: 2026-%05d", a.number)
	a.line("stage: %s", stages[a.stage])
	a.line("premises:")
	a.line("  id: plot-%d", a.number-a.number%7%2)
	a.line("  occupancy: %s", pick(a, []string{"dwelling", "dwelling", "dwelling", "shop", "farm"}))
	a.line("  region: us/example-county")
	a.line("  supply_voltage: 120 V")
	a.line("dates:")
	for i, d := range []string{"surveyed", "designed", "permit", "delivered", "start-work", "installed", "energised", "handed-over"} {
		if at := []int{0, 1, 1, 2, 3, 3, 4, 5}[i]; at <= a.stage {
			a.line("  %s: %s", d, a.day(12*i))
		}
	}
	a.line("rule_sets: [us/nec-2023, us/irc-2021]")
}

func (a *author) places() {
	low, high := -14+a.IntN(12), 30+a.IntN(14)
	air := fmt.Sprintf("{low: %d °C, high: %d °C ± 2 °C}", low, high)
	if a.imperial {
		air = fmt.Sprintf("{low: %d °F, high: %d °F}", low*9/5+32, high*9/5+32)
	}
	depth := a.length(950 + 10*a.IntN(30))
	a.line("\nlocations:")
	a.line("  - id: place")
	a.line("    setting: %s", pick(a, []string{"attached garage", "utility closet", "basement", "exterior wall", "plant room"}))
	a.line("    altitude: %d m", 20+a.IntN(900))
	a.line("    air: %s", air)
	a.line("    humidity: {low: %d %%, high: %d %%}", 20+a.IntN(20), 80+a.IntN(15))
	a.line("    volume: %d m³", 12+a.IntN(50))
	a.line("    ventilation: %s", pick(a, []string{"none", "natural", "mechanical"}))
	a.line("    floor: {surface: %s, level: %s}", pick(a, []string{"concrete", "timber", "masonry"}), a.length(120+a.IntN(80)))
	a.line("    detection: %s", a.site("smoke alarm", pick(a, []string{"smoke alarm", "heat alarm", "smoke alarm"})))
	a.line("    lining: %s", pick(a, []string{"non-combustible", "gypsum board", "unfinished timber"}))
	a.line("    vehicle_path: %v", a.slip(4))
	a.line("    vehicle_barrier: %s", a.fitted("bollard"))
	a.line("    working_space:")
	a.line("      depth: %s", a.fitted(depth))
	a.line("      width: %s", a.site(a.length(800), a.length(760+10*a.IntN(9))))
	a.line("      height: %s", a.site("2.1 m", "2.08 m"))
	a.line("      opposite: %s", pick(a, []string{"nothing live or grounded", "grounded surface"}))
	a.line("      door_angle: %s", a.site("100 °", "105 °"))
	a.line("      projection: %s", a.site("0 mm", "40 mm"))
	a.line("      way_width: %s", a.site("800 mm", "790 mm"))
	a.line("      way_height: %s", a.fitted("2.1 m"))
	a.line("      level: true")
	a.line("      storage: %v", a.slip(30))
}

func (a *author) units() {
	a.line("\nunits:")
	a.line("  - id: U1")
	a.line("    location: place")
	a.line("    stacks: [%s]", strings.Join(a.stacks, ", "))
	a.line("    listed: true")
	a.line("    to_instructions: true")
	a.line("    use: energy storage")
	a.line("    exempt_by_marking: false")
	a.line("    fire_test_report: %v", a.slip(3))
	a.line("    neighbour: %v", a.slip(3))
	spacing := 880 + 10*a.IntN(20)
	a.line("    spacing: %s", a.fitted(a.length(spacing-a.IntN(20))))
	a.line("    opening_distance: %s", a.fitted(a.length(1000+a.IntN(300))))
	if a.slip(5) {
		a.line("existing:")
		a.line("  - {id: old, location: place, energy: %d.5 kWh, kind: lithium-ion}", 3+a.IntN(8))
	}
}

func (a *author) stackList() {
	a.line("\nstacks:")
	for n, id := range a.stacks {
		gap := a.product.gapLow + 2 + a.IntN(a.product.gapTop-a.product.gapLow-4)
		if a.slip(14) {
			gap = a.product.gapLow - 3 // the wall was not straight
		}
		built := a.modules
		if a.slip(25) {
			built++
		}
		a.line("  - id: %s", id)
		a.line("    equipment: %s", a.fitted(a.product.name))
		a.line("    modules: %s", a.site(fmt.Sprint(a.modules), fmt.Sprint(built)))
		a.line("    inverter: inv")
		if len(a.stacks) > 1 {
			a.line("    role: %s", map[bool]string{true: "lead", false: "follower"}[n == 0])
			a.line("    address: %d", n+1)
		}
		a.line("    height: %s", a.fitted(a.length(1300)))
		a.line("    wall_gap: %s", a.fitted(a.length(gap)+pick(a, []string{"", " ± 1 mm", " ± 0.5 mm"})))
		a.line("    clearance:")
		for _, side := range []string{"above", "left", "right", "front"} {
			free := map[string]int{"above": 520, "left": 300, "right": 300, "front": 950}[side] + 5*a.IntN(40)
			a.line("      %s: %s", side, a.fitted(a.length(free-a.IntN(8))))
		}
		a.line("    wall: {material: %s, fixing: %s, fixings: %s}", pick(a, []string{"concrete", "solid masonry", "hollow masonry"}), a.fitted("bonded anchor"), a.fitted("4"))
		a.line("    live_parts_accessible: false")
		if a.stage >= installed {
			a.line("    lean: %d mm", a.IntN(5))
			a.line("    controller_serial: K%05d-%s", a.number, id)
			if id == "A" { // the serials of the others stand on the maker's list
				a.slots(id)
			}
		}
		if a.stage >= energised {
			a.line("    firmware: 3.%d.%d", a.number%5, a.number%9)
			a.line("    voltage_at_energising: %d.%d V", 48*a.modules, a.IntN(10))
		}
	}
}

func (a *author) slots(id string) {
	a.line("    slots:")
	for n := range a.modules {
		a.line("      - {slot: %d, serial: M%05d-%s%d}", n+1, a.number, id, n+1)
	}
}
