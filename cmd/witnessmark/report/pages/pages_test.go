package pages

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/redact"
)

// Each language of the site has an article of its own, which says its language;
// the head has that of the first. The labels are one sheet with all of them.
func TestLanguages(t *testing.T) {
	articles := regexp.MustCompile(`<article class="page (\w+)" lang="([\w-]+)">`)
	for _, c := range []struct{ languages, rules, want string }{
		{"de, es", "us/nec-2023", "de es"}, {"fr, en", "us/nec-2023", "fr en-US"}, {"en", "iec/60364", "en"}, {"en, pt", "iec/60364", "en"}, {"pt", "", "en"},
	} {
		for kind, page := range onePage(t, job(c.languages, c.rules)) {
			var got []string
			for _, m := range articles.FindAllStringSubmatch(page, -1) {
				assert.Equal(t, kind, m[1])
				got = append(got, m[2])
			}
			want := c.want
			if kind == "labels" {
				want, _, _ = strings.Cut(want, " ")
			}
			assert.Equal(t, want, strings.Join(got, " "), "%s in %s", kind, c.languages)
			assert.Contains(t, page, `<html lang="`+got[0]+`">`)
			assert.Equal(t, strings.Contains(c.languages, "pt"), strings.Contains(page, "the language “pt”, which these pages do not have"), "%s in %s", kind, c.languages)
		}
	}
}

// The firm's languages stand for those of a site that states none.
func TestLanguagesOfTheFirm(t *testing.T) {
	root := strings.Replace(rootFile, "contacts:", `languages: ["de"], contacts:`, 1)
	pages := pagesOf(t, map[string]string{"witnessmark.cue": root, "jobs/a.yaml": strings.Replace(job("x", ""), "languages: [x], ", "", 1)})
	assert.Contains(t, pages["owner"], `lang="de"`)
	assert.Contains(t, text(pages["owner"]), "Ihr Batteriespeicher")
	assert.NotContains(t, pages["owner"], `lang="en"`)
}

func TestEmergency(t *testing.T) {
	got := text(onePage(t, job("en", "iec/60364"))["emergency"])
	for _, want := range []string{
		"Job 2026-014", "As of 2026-03-11", "Stage energised",
		"The battery modules are always live inside. No switch makes them dead.", "This installation has open points; see the firm.",
		"U1 boat-store attached garage 1 stack, 6 modules lithium iron phosphate 14.4 kWh 345.6 V",
		"push button knob outdoors at the entrance yes grid side modules not recorded",
		"remote contact desk not recorded not recorded not recorded not recorded not recorded",
		"Capacitors, waiting time after switching off: not recorded.",
		"No generation is recorded; that does not say that there is none.",
		"emergency Duty phone exchange 204 not recorded",
		"values on this page are not recorded or could not be read.", "This page approves nothing",
	} {
		assert.Contains(t, got, want)
	}
	assert.Contains(t, text(onePage(t, job("de", "iec/60364"))["emergency"]), "345,6 V", "the decimal sign of the language")
}

// Nothing is drawn but what is recorded: areas to scale, a cross without a size,
// and words for what has no place.
func TestSketch(t *testing.T) {
	page := onePage(t, job("en", "iec/60364"))["emergency"]
	area := regexp.MustCompile(`<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" class="area"/>`).FindAllStringSubmatch(page, -1)
	require.Len(t, area, 1, "the boat store alone has a size")
	bar := regexp.MustCompile(`h([\d.]+)v-3" class="bar"/><text [^>]*>([\d.]+)\x{a0}m</text>`).FindStringSubmatch(page)
	require.NotNil(t, bar)
	number := func(s string) (x float64) { _, err := fmt.Sscan(s, &x); require.NoError(t, err); return x }
	scale := number(bar[1]) / number(bar[2])
	assert.InDelta(t, 4*scale, number(area[0][3]), 0.02)
	assert.InDelta(t, 5*scale, number(area[0][4]), 0.02)
	unit := regexp.MustCompile(`<rect x="([\d.]+)" y="([\d.]+)" width="5" height="5" class="unit"/>`).FindStringSubmatch(page)
	require.NotNil(t, unit)
	assert.InDelta(t, number(area[0][1])+1*scale, number(unit[1])+2.5, 0.02, "1 m right of the left wall")
	assert.InDelta(t, number(area[0][2])+0.5*scale, number(unit[2])+2.5, 0.02, "half a metre from the wall at the back")
	assert.Equal(t, 1, strings.Count(page, `class="cross"`), "the pier, without a size")
	assert.Equal(t, 1, strings.Count(page, `class="shutdown"`))
	assert.Contains(t, page, "Location loft: roof space or loft. Its place on the plan is not recorded.")
	assert.Contains(t, page, "Emergency shutdown desk: not recorded. Its place on the plan is not recorded.")

	without := onePage(t, regexp.MustCompile(`plan: \{[^}]*\}(, )?`).ReplaceAllString(job("en", "iec/60364"), ""))["emergency"]
	assert.NotContains(t, without, "<svg")
	assert.Contains(t, without, "No place is recorded in metres, so nothing is drawn. In words:")
	assert.Contains(t, without, "Unit U1 stands in location: boat-store. Where in it is not recorded.")
}

func TestOwner(t *testing.T) {
	got := text(onePage(t, job("en", "iec/60364"))["owner"])
	for _, want := range []string{
		"This installation has open points; see the firm.", "Operating mode: not recorded.", "A 950 mm 300 mm (planned) not recorded not recorded not recorded",
		"Alarms reach: not recorded.", "Last day for which updates are promised: not recorded.", "How often it is to be looked at: not recorded",
		"service Service desk exchange 211 working days not recorded",
	} {
		assert.Contains(t, got, want)
	}
	more := job("en", "iec/60364") + "network: {update_channel: by the firm, support_until: 2036-06-30}\nconfiguration: {hand_over: {mode: off, reserve: 20 %, alarms_to: both}}\n" +
		"documents:\n  - {id: m, document: maintenance instructions, on: 2025-01-01, given_to: [owner]}\n  - {id: p, document: permit, on: 2025-01-02, given_to: [authority]}\n"
	got = text(onePage(t, more)["owner"])
	for _, want := range []string{"Operating mode: off. The storage neither charges nor discharges.", "gone: 20 %.", "Alarms reach: owner and firm.", "Updates of the software: by the firm.", "promised: 2036-06-30.",
		"see the maintenance instructions that you were given", "maintenance instructions 2025-01-01 not recorded"} {
		assert.Contains(t, got, want)
	}
	assert.NotContains(t, got, "2025-01-02", "a paper that the owner was not given")
}

func TestSnags(t *testing.T) {
	got := text(onePage(t, job("en", "iec/60364"))["snags"])
	for _, want := range []string{
		"Overdue 1 snag", "Open: 3", "Put right: 1",
		"s2 late not recorded before hand-over Ro of the Harbour 2026-03-03 2026-03-10 1 day overdue",
		"s1 later not recorded after hand-over ilk 2026-03-03 2026-04-01 21 days left",
		"s4 some day not recorded not recorded not recorded not recorded not recorded",
		"s3 done not recorded Ro of the Harbour 2026-03-02 2026-03-04 2 days late photograph photos/e1.jpg",
	} {
		assert.Contains(t, got, want)
	}
	assert.Less(t, strings.Index(got, "s2 late"), strings.Index(got, "s1 later"), "what is due first")
	assert.Less(t, strings.Index(got, "s1 later"), strings.Index(got, "s4 some day"), "without a day last")
	before, _, _ := strings.Cut(job("fr", "iec/60364"), "snags:")
	got = text(onePage(t, before)["snags"])
	assert.Contains(t, got, "Aucune réserve n'est enregistrée. Cela ne veut pas dire qu'il n'y en a pas.")
}

// A value that is left out of a report is no value that is not there, and says so in the
// language of the page.
func TestWithheldIsNotAbsent(t *testing.T) {
	w := &writer{tongue: tongueFor(english), show: func(s string) string { return s }}
	private := &fact.Leaf{Field: &fact.Field{Path: "snags.found_on", Type: fact.Quantity, Private: true}}
	assert.Equal(t, "recorded, not shown here", w.one(&fact.Value{State: fact.Known, Text: redact.LeftOut, Written: redact.LeftOut}, private).Text)
	assert.Zero(t, w.unknown)
	assert.Equal(t, "not recorded", w.one(nil, private).Text)
	assert.Equal(t, "recorded, but could not be read", w.one(&fact.Value{State: fact.Unreadable}, private).Text)

	day, _ := fact.ParseDay("2026-03-11")
	for language, c := range map[string]struct{ want, none string }{
		"en": {"recorded, not shown here", "not recorded before hand-over"},
		"fr": {"enregistré, non indiqué ici", "non enregistré avant la remise"},
	} {
		fsys := fstest.MapFS{"witnessmark.cue": {Data: []byte(rootFile)}, "equipment/morvane.cue": {Data: []byte(productFile)},
			"registers/people.cue": {Data: []byte(peopleFile)}, "jobs/a.yaml": {Data: []byte(job(language, "iec/60364"))}}
		var out, other bytes.Buffer
		same := func(s string) string { return s }
		_, err := checks.Lint(context.Background(), checks.Options{FS: fsys, Paths: []string{"."}, AsOf: checks.AsOf{Date: day}, Shipped: shippedOnce(t), Redact: true},
			New(Snags, &out, same), New(Emergency, &other, same))
		require.NoError(t, err)
		assert.Contains(t, text(out.String()), "s2 "+c.want+" "+c.none+" "+c.want+" 2026-03-03")
		for _, page := range []string{out.String(), other.String()} {
			assert.NotContains(t, page, "Harbour")
			assert.NotContains(t, page, redact.LeftOut)
		}
	}
}

// How far and how high an initiator of the shutdown is planned is no reading.
func TestPlannedReachSaysSo(t *testing.T) {
	const from = "place: outdoors at the entrance,"
	base := job("en", "iec/60364")
	require.Contains(t, base, from)
	page := text(onePage(t, strings.Replace(base, from, from+" distance: {planned: 6 m}, height: {planned: 1.5 m},", 1))["emergency"])
	assert.Contains(t, page, "6 m from the storage (planned), handle at 1.5 m (planned)")
	page = text(onePage(t, strings.Replace(base, from, from+" distance: {planned: 6 m, built: 6.4 m},", 1))["emergency"])
	assert.Contains(t, page, "6.4 m from the storage")
	assert.NotContains(t, page, "(planned)")
}

// What keeps a page from being read as more than it is.
func TestAlerts(t *testing.T) {
	base := job("en", "iec/60364")
	without := onePage(t, base)
	for name, c := range map[string]struct{ from, to, want string }{
		"planned":       {"stage: energised", "stage: designed", "Planned: nothing is recorded as installed yet."},
		"delivered":     {"stage: energised", "stage: delivered", "Planned: nothing is recorded as installed yet."},
		"not energised": {"stage: energised", "stage: installed", "Installed, but not recorded as energised."},
		"cancelled":     {"stage: energised", "stage: energised\nstatus: cancelled", "Status of this job: cancelled."},
		"removed":       {"stage: energised", "stage: energised\nstatus: removed", "Status of this job: removed."},
		"on hold":       {"stage: energised", "stage: energised\nstatus: on hold", "Status of this job: on hold."},
		"problems":      {"initiator: push button", "initiator: rope", "A part of the job file could not be read; it may be missing here."},
	} {
		require.Contains(t, base, c.from)
		for kind, page := range onePage(t, strings.Replace(base, c.from, c.to, 1)) {
			assert.Contains(t, page, `<p class="alert"><strong>`+c.want, "%s: %s", name, kind)
		}
		for kind, page := range without {
			assert.NotContains(t, page, c.want, "%s: %s", name, kind)
		}
	}
}

// A job that could not be read, and a run without a job, say so on every page.
func TestNothingToShow(t *testing.T) {
	for kind, page := range onePage(t, "job: [") {
		assert.Contains(t, text(page), "The file jobs/a.yaml could not be read, so nothing of this job is shown here. That says nothing about the site", kind)
		assert.Contains(t, page, "</html>", kind)
	}
	for kind, page := range pagesOf(t, nil) {
		assert.Contains(t, text(page), "No job file was found", kind)
		assert.Contains(t, page, "</html>", kind)
		assert.Equal(t, 1, strings.Count(page, "<article"), kind)
	}
}

// Nothing that is not recorded leaves an empty place.
func TestNoEmptyPlaces(t *testing.T) {
	bare := "job: x\nstage: surveyed\npremises: {id: y}\nunits: [{id: U}]\nstacks: [{id: A}]\nsupply: {shutdown: [{id: k}]}\nlabels: [{id: l}]\nsnags: [{id: s}]\nexisting: [{id: e}]\ngeneration: [{id: g}]\ninverters: [{id: W}]\n"
	empty := regexp.MustCompile(`<(td|th|dd|li|p|caption|h2|text|b)\b[^>]*>\s*</`)
	for _, text := range []string{bare, "job: x\nstage: surveyed\npremises: {id: y}\n", job("en", "")} {
		for kind, page := range onePage(t, text) {
			assert.Empty(t, empty.FindAllString(page, -1), kind)
			assert.NotContains(t, page, "<no value>", kind)
		}
	}
	assert.Contains(t, text(onePage(t, bare)["emergency"]), "stack A, in no unit not recorded")
}

// Several jobs follow each other in one file, each an article that begins a page.
func TestSeveralJobs(t *testing.T) {
	second := strings.NewReplacer("2026-014", "2026-015", "net-loft", "mill").Replace(job("de", "iec/60364"))
	for kind, page := range pagesOf(t, map[string]string{"jobs/a.yaml": job("en", "iec/60364"), "jobs/b.yaml": second}) {
		assert.Equal(t, 2, strings.Count(page, "<article"), kind)
		assert.Equal(t, 1, strings.Count(page, "<!DOCTYPE html>"), kind)
		assert.Less(t, strings.Index(page, "2026-014"), strings.Index(page, "2026-015"), kind)
	}
	assert.Contains(t, style, ".page + .page { break-before: page;")
}
