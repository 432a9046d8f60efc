package pages

import (
	"bytes"
	"context"
	"html"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

var readShipped = sync.OnceValues(checks.ReadShipped)

func shippedOnce(t testing.TB) *checks.Shipped {
	t.Helper()
	s, err := readShipped()
	require.NoError(t, err)
	return s
}

var readShape = sync.OnceValues(func() (*fact.Compiled, error) {
	s, err := readShipped()
	if err != nil {
		return nil, err
	}
	run, err := checks.Lint(context.Background(), checks.Options{FS: fstest.MapFS{}, Shipped: s})
	if err != nil {
		return nil, err
	}
	return run.Shape, nil
})

func shapeOf(t testing.TB) *fact.Compiled {
	t.Helper()
	c, err := readShape()
	require.NoError(t, err)
	return c
}

// An invented firm with one product, and with a name for one of its people only.
const rootFile = `package witnessmark
import "witnessmark.example/schema/firm"
#firm: firm.#Firm & {
	name: "Co-operative of the Isles"
	contacts: {
		emergency: {says: "Duty phone", telephone: "exchange 204"}
		service: {says: "Service desk", telephone: "exchange 211", hours: "working days"}
	}
}
`

const productFile = `package equipment
import "witnessmark.example/schema/equipment"
#products: morvane: B: equipment.#Storage & {
	title: "Morvane wall stack", edition: "B, 2025-09", architecture: "modules in series", chemistry: "lithium iron phosphate"
	module: {energy: "2.4 kWh", voltage: {low: "44 V", nominal: "51.2 V", high: "57.6 V"}}
	switch_off: ["open grid switch", "wait inverter 5 min", "press red lever"]
}
`

const peopleFile = `package registers
import "witnessmark.example/schema/register"
#people: register.#People & {
	ro: {name: "Ro of the Harbour", licence: "electrician", valid_until: "2030-01-01"}
	ilk: {licence: "electrician", valid_until: "2030-01-01"}
}
`

// aJob is a job with something on every page.
const aJob = `job: 2026-014
stage: energised
premises: {id: net-loft, occupancy: dwelling, region: isles, languages: [LANGUAGES], supply_voltage: 230 V}
dates: {surveyed: 2026-01-20, designed: 2026-02-11, permit: 2026-02-12, delivered: 2026-02-20, start-work: 2026-03-01, installed: 2026-03-02, energised: 2026-03-03}
rule_sets: [RULES]
locations:
  - {id: boat-store, setting: attached garage, plan: {x: 1 m, y: 2 m, width: 4 m, depth: 5 m}}
  - {id: loft, setting: roof space or loft}
  - {id: pier, setting: carport, plan: {x: -3 m, y: 0 m}}
units:
  - {id: U1, location: boat-store, plan: {x: 2 m, y: 6.5 m}, stacks: [A]}
stacks:
  - {id: A, equipment: {planned: morvane@B, built: morvane@B}, modules: {planned: 6, built: 6}, clearance: {front: {planned: 900 mm, built: 950 mm}, left: {planned: 300 mm}}}
supply:
  shutdown:
    - {id: knob, initiator: push button, place: outdoors at the entrance, plan: {x: 7 m, y: 2 m}, accessible: true, makes_dead: [grid side], stays_live: [modules]}
    - {id: desk, initiator: remote contact}
labels:
  - {id: l1, says: battery energy storage, place: door, letters: 10 mm, colours: white on red, language: fr, fitted: true}
  - {id: l2, says: maximum voltage and current, place: stack, letters: 100 mm, fitted: false}
  - {id: l3, says: shutdown procedure, place: stack}
  - {id: l4, says: no naked flame, place: stack, diameter: 80 mm}
evidence:
  - {id: e1, kind: photograph, shows: [entries], file: photos/e1.jpg, on: 2026-03-03}
snags:
  - {id: s1, what: later, weight: after hand-over, owner: ilk, found_on: 2026-03-03, due_by: 2026-04-01}
  - {id: s2, what: late, weight: before hand-over, owner: ro, found_on: 2026-03-03, due_by: 2026-03-10}
  - {id: s3, what: done, weight: before energising, owner: ro, found_on: 2026-03-02, due_by: 2026-03-02, closed_on: 2026-03-04, evidence: e1}
  - {id: s4, what: some day}
`

func job(languages, rules string) string {
	return strings.NewReplacer("LANGUAGES", languages, "RULES", rules).Replace(aJob)
}

// pagesOf lints job files in the invented firm and gives each kind of page.
func pagesOf(t *testing.T, files map[string]string) map[string]string {
	t.Helper()
	fsys := fstest.MapFS{}
	for name, text := range map[string]string{"witnessmark.cue": rootFile, "equipment/morvane.cue": productFile, "registers/people.cue": peopleFile} {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	day, _ := fact.ParseDay("2026-03-11")
	var sinks []checks.Sink
	var out []*bytes.Buffer
	for _, k := range Kinds() {
		b := new(bytes.Buffer)
		out, sinks = append(out, b), append(sinks, New(k, b, func(s string) string { return strings.ReplaceAll(s, "\u202e", `\u202e`) }))
	}
	run, err := checks.Lint(context.Background(), checks.Options{FS: fsys, Paths: []string{"."}, AsOf: checks.AsOf{Date: day}, Shipped: shippedOnce(t)}, sinks...)
	require.NoError(t, err)
	require.Empty(t, run.Failed)
	pages := map[string]string{}
	for i, k := range Kinds() {
		pages[k.Name] = out[i].String()
	}
	return pages
}

func onePage(t *testing.T, text string) map[string]string {
	t.Helper()
	return pagesOf(t, map[string]string{"jobs/a.yaml": text})
}

var tags = regexp.MustCompile(`<[^>]*>`)

// text is what a reader sees of a page, on one line.
func text(page string) string {
	_, body, _ := strings.Cut(page, "<body>")
	return strings.Join(strings.Fields(strings.ReplaceAll(html.UnescapeString(tags.ReplaceAllString(body, " ")), "\u00a0", " ")), " ")
}
