//go:build !race

package browser

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Parts of the page as expressions.
const (
	shownJobs = `[...document.querySelectorAll("article.job")].filter(a => a.checkVisibility()).map(a => a.querySelector("h2").textContent.replace("Job ", ""))`
	shownRows = `[...document.querySelectorAll("tr[data-job]")].filter(a => a.checkVisibility()).map(a => a.querySelector("th").textContent)`
	// What the filter left of values and findings, folded or not.
	leftItems = `[...document.querySelectorAll("article.job .item")].filter(i => !i.closest("[hidden]"))`
	status    = `document.getElementById("shown").textContent`
)

// choose sets a field of the filter as somebody would who picks from the list.
func (b *tab) choose(name, value string) {
	b.Helper()
	require.True(b, get[bool](b, fmt.Sprintf(`(() => { const s = document.getElementById("filter").elements[%q]; s.value = %q; s.dispatchEvent(new Event("input", {bubbles: true})); return s.value === %[2]q; })()`, name, value)))
}

func (b *tab) shows(l *ledger, fits func(known) bool) {
	b.Helper()
	want := l.in(fits)
	require.NotEmpty(b, want)
	require.Less(b, len(want), len(l.jobs), "a filter that hides nothing shows nothing")
	assert.Equal(b, want, sorted(get[[]string](b, shownJobs)))
	assert.Equal(b, want, sorted(get[[]string](b, shownRows)))
	assert.Contains(b, get[string](b, status), fmt.Sprintf("of %d shown", len(l.jobs)))
	assert.Contains(b, get[string](b, status), plural(len(want), "job", "jobs")+" of")
}

func sorted(all []string) []string {
	slices.Sort(all)
	return all
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (b *tab) reset(l *ledger) {
	b.Helper()
	b.click(`#filter button[type=reset]`)
	b.until(status + ` === ""`)
	assert.Len(b, get[[]string](b, shownJobs), len(l.jobs))
	assert.Len(b, get[[]string](b, shownRows), len(l.jobs))
	assert.Zero(b, get[int](b, `document.querySelectorAll("main [hidden]").length`))
}

// What is left by each filter is what the engine said, in the jobs, the rows of the
// table, the entries and the words beside the filter.
func TestFilter(t *testing.T) {
	page, l := examples(t, several...)
	b := open(t, written(t, page))
	assert.Equal(t, "", get[string](b, status))
	assert.Len(t, get[[]string](b, shownJobs), len(several))

	for _, outcome := range []string{"outside", "missing", "not checked", "accepted"} {
		value := strings.ReplaceAll(outcome, " ", "_")
		if n := len(l.in(func(k known) bool { return k.kinds[value] })); n == 0 || n == len(several) {
			continue
		}
		b.choose("outcome", value)
		b.shows(l, func(k known) bool { return k.kinds[value] })
		assert.Equal(t, []string{value}, get[[]string](b, fmt.Sprintf(`[...new Set(%s.map(i => i.dataset.o))]`, leftItems)))
		assert.Contains(t, get[string](b, status), fmt.Sprintf(", %s.", plural(get[int](b, leftItems+".length"), "entry", "entries")))
		b.reset(l)
	}
	b.choose("outcome", "outside")
	assert.NotZero(t, get[int](b, leftItems+".length"))
	b.choose("topic", "supply")
	b.shows(l, func(k known) bool {
		return slices.Contains(get[[]string](b, `[...document.querySelectorAll("article.job")].filter(a => a.querySelector(".item[data-o=outside][data-t=supply]")).map(a => a.querySelector("h2").textContent.replace("Job ", ""))`), k.number)
	})
	assert.Equal(t, []string{"outside supply"}, get[[]string](b, fmt.Sprintf(`[...new Set(%s.map(i => i.dataset.o + " " + i.dataset.t))]`, leftItems)))
	b.reset(l)

	b.choose("topic", "tests")
	assert.Equal(t, l.in(func(k known) bool { return k.topics["tests"] }), sorted(get[[]string](b, shownJobs+`.filter(n => [...document.querySelectorAll("article.job")].some(a => a.textContent.includes("Job " + n) && a.querySelector('.item[data-t=tests]:not([data-o=not_applicable],[data-o=unjudged],[data-o=not_due])')))`)))
	assert.Equal(t, []string{"tests"}, get[[]string](b, fmt.Sprintf(`[...new Set(%s.map(i => i.dataset.t))]`, leftItems)))
	b.reset(l)

	b.choose("stage", "designed")
	b.shows(l, func(k known) bool { return k.stage == "designed" })
	b.choose("gate", "start-work")
	assert.Equal(t, l.in(func(k known) bool { return k.stage == "designed" && slices.Contains(k.gates, "start-work") }), sorted(get[[]string](b, shownJobs)))
	b.reset(l)
	b.choose("gate", "start-work")
	b.shows(l, func(k known) bool { return slices.Contains(k.gates, "start-work") })
	b.reset(l)

	// Text in the heading of a job shows all of it, text in an entry that entry.
	b.do(chromedp.SendKeys(chromedp.CSS(`input[name=text]`), "2026-019"))
	b.shows(l, func(k known) bool { return k.number == "2026-019" })
	assert.Greater(t, get[int](b, leftItems+".length"), 50)
	b.reset(l)
	b.do(chromedp.SendKeys(chromedp.CSS(`input[name=text]`), "Phase-Imbalance"))
	assert.True(t, get[bool](b, fmt.Sprintf(`%s.length > 0 && %[1]s.every(i => i.textContent.includes("phase-imbalance"))`, leftItems)), "the case of letters does not matter")
	b.choose("text", "no such words anywhere")
	assert.Empty(t, get[[]string](b, shownJobs))
	assert.Empty(t, get[[]string](b, shownRows))
	assert.Equal(t, fmt.Sprintf("0 jobs of %d shown, 0 entries.", len(several)), get[string](b, status))
	b.reset(l)
}

// A topic and a calculation unfold, and what is in them can be read: the formula and
// the numbers that went into it.
func TestUnfold(t *testing.T) {
	page, _ := examples(t, "2026-019")
	b := open(t, written(t, page))
	item := `document.querySelector('.topic .item .calculation').closest(".item")`
	require.False(t, get[bool](b, item+`.checkVisibility()`))
	get[bool](b, fmt.Sprintf(`(%s.closest(".topic").dataset.try = "topic") !== ""`, item))
	b.click(`[data-try=topic] > summary`)
	require.True(t, get[bool](b, item+`.checkVisibility()`))
	assert.False(t, get[bool](b, item+`.querySelector(".calculation table").checkVisibility()`))
	get[bool](b, fmt.Sprintf(`(%s.dataset.try = "item") !== ""`, item))
	b.click(`[data-try=item] .calculation > summary`)
	require.True(t, get[bool](b, item+`.querySelector(".calculation table").checkVisibility()`))
	rows := get[[]string](b, fmt.Sprintf(`[...%s.querySelectorAll(".calculation tr")].map(r => r.innerText)`, item))
	require.Greater(t, len(rows), 2)
	assert.Regexp(t, `^formula\t.*\S`, rows[0])
	for _, r := range rows[1:] {
		assert.Regexp(t, `^\S.*\t.*\S`, r, "each row says something")
	}
	assert.Regexp(t, `(?m)^result\t.*\d`, strings.Join(rows, "\n"))
}

// A link leads to what is folded, and unfolds it: to a limit, and to a value that went
// into another.
func TestLinks(t *testing.T) {
	page, _ := examples(t, "2026-019")
	b := open(t, written(t, page))
	get[bool](b, `document.querySelectorAll("details.topic, .topic .calculation").forEach(d => d.open = true) === undefined`)
	for _, selector := range []string{`.topic li a[href^="#limit-"]`, `.topic .calculation td a[href^="#job-"]`} {
		target := fmt.Sprintf(`document.getElementById(document.querySelector(%q).hash.slice(1))`, selector)
		require.True(t, get[bool](b, target+` !== null`))
		get[bool](b, fmt.Sprintf(`(() => { for (let d = %s; d; d = d.parentElement) if (d.tagName === "DETAILS" && !d.querySelector(%q)) d.open = false; return true; })()`, target, selector))
		b.click(selector)
		b.until(fmt.Sprintf(`(() => { const t = %s, at = t.getBoundingClientRect(); return t.checkVisibility() && at.top >= 0 && at.top < innerHeight && (t.tagName !== "DETAILS" || t.open); })()`, target))
	}
	assert.Zero(t, get[int](b, `[...document.querySelectorAll('a[href^="#"]')].filter(a => !document.getElementById(a.hash.slice(1))).length`), "every link leads somewhere")
}
