//go:build !race

package browser

import (
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobgen"
	"witnessmark.example/cmd/witnessmark/report"
)

const enough = 70 // jobs make a report large enough to be packed

// What a packed page unpacks is what the plain page of the same job has.
func TestPackedIsPlain(t *testing.T) {
	// A file that cannot be read has nothing to pack but its problem, and comes first.
	torn := map[string]string{"jobs/2026/00000.yaml": "job: [\n"}
	page, l := generated(t, enough, torn, report.Settings{})
	require.Contains(t, page, `id="values-0"`, "the page is packed")
	b := open(t, written(t, page))
	require.Len(t, get[[]string](b, shownJobs), enough+1)
	for _, i := range []int{0, enough - 1} {
		name := jobgen.JobName(i)
		alone, _ := judged(t, checks.Options{FS: firm(enough, nil), Paths: []string{name}}, report.Settings{})
		require.NotContains(t, alone, `class="packed"`)
		plain := open(t, written(t, alone))
		number := l.jobs[name].number
		article := fmt.Sprintf(`[...document.querySelectorAll("article.job")].find(a => a.querySelector("h2").textContent === "Job %s")`, number)
		get[bool](b, fmt.Sprintf(`(() => { const d = %s.querySelector("details.packed"); d.scrollIntoView(); d.querySelector("summary").click(); return true; })()`, article))
		b.until(fmt.Sprintf(`%s.querySelector(".sign") !== null`, article))
		// The plain form, put together as the page does with what it unpacks.
		const contents = `(a => { const c = a.cloneNode(true); c.querySelectorAll("details.packed > summary").forEach(s => s.remove()); c.querySelectorAll("details.packed").forEach(d => d.replaceWith(...d.childNodes)); return c; })(%s)`
		inOrder := `(c => { const sorted = [...c.querySelectorAll(":scope > *")].map(e => e.outerHTML.replace(/ (open|hidden)=""/g, "").replace(/>\s+/g, ">")); return sorted.sort(); })(` + contents + `)`
		want := get[[]string](plain, fmt.Sprintf(inOrder, article))
		got := get[[]string](b, fmt.Sprintf(inOrder, article))
		require.Greater(t, len(want), 10)
		require.Len(t, got, len(want))
		for k := range want {
			require.True(t, want[k] == got[k], "%s: %.300s\nand not\n%.300s", name, got[k], want[k])
		}
	}
}

// The filter knows what there is in jobs that are still packed.
func TestFilterPacked(t *testing.T) {
	page, l := generated(t, enough, nil, report.Settings{})
	plain := map[string][]string{} // what the jobs have, read off pages that are not packed
	for _, some := range []string{"jobs/2026/0000*", "jobs/2026/0001*", "jobs/2026/0002*", "jobs/2026/0003*", "jobs/2026/0004*", "jobs/2026/0005*", "jobs/2026/0006*", "jobs/2026/0007*"} {
		all := firm(enough, nil)
		paths, err := fs.Glob(all, some)
		require.NoError(t, err)
		page, _ := judged(t, checks.Options{FS: all, Paths: paths}, report.Settings{})
		require.NotContains(t, page, `class="packed"`)
		for _, article := range strings.Split(page, "<article")[1:] {
			article, _, _ = strings.Cut(article, "</article>")
			number := regexp.MustCompile(`>Job (.*?)</h2>`).FindStringSubmatch(article)[1]
			for _, m := range regexp.MustCompile(` data-o="(\w+)" data-t="(\w*)"`).FindAllStringSubmatch(article, -1) {
				for _, has := range []string{m[1], m[2], m[1] + " " + m[2]} {
					if !slices.Contains(plain[has], number) {
						plain[has] = append(plain[has], number)
					}
				}
			}
		}
	}
	require.Greater(t, len(plain), 20)
	b := open(t, written(t, page))
	for _, c := range [][2]string{{"outside", ""}, {"too_close", ""}, {"missing", ""}, {"problem", ""}, {"", "tests"}, {"outside", "place"}, {"accepted", "supply"}} {
		b.choose("outcome", c[0])
		b.choose("topic", c[1])
		want := plain[strings.TrimSpace(c[0]+" "+c[1])]
		assert.Equal(t, append([]string{}, want...), append([]string{}, sorted(get[[]string](b, shownJobs))...), c)
		b.reset(l)
	}
	b.choose("stage", "designed")
	b.shows(l, func(k known) bool { return k.stage == "designed" })
	assert.Contains(t, get[string](b, `document.querySelector("details.packed").textContent`), "The text filter does not search it until then")
	b.reset(l)
	// Words are sought in headings alone, and that is said.
	b.choose("text", "2026-00003")
	assert.Equal(t, []string{"2026-00003"}, get[[]string](b, shownJobs))
	assert.Contains(t, get[string](b, status), fmt.Sprintf("1 job of %d shown, 0 entries. Words were not sought in %d jobs that are still packed.", enough, enough-1))
	b.reset(l)
	// What is unpacked is filtered like the rest.
	b.choose("outcome", "outside")
	b.click("article.job:not([hidden]) details.packed > summary")
	b.until(`document.querySelector("article.job:not([hidden]) details.packed .item") !== null`)
	assert.Equal(t, []string{"outside"}, get[[]string](b, `[...new Set(`+leftItems+`.map(i => i.dataset.o))]`))
}

// A report of findings only says that it is one.
func TestFindingsOnlySaysSo(t *testing.T) {
	page, _ := generated(t, 2, nil, report.Settings{FindingsOnly: true})
	b := open(t, written(t, page))
	assert.Contains(t, get[string](b, `document.body.innerText`), "This report lists only what somebody has to look at, as was asked for.")
	assert.Zero(t, get[int](b, `document.querySelectorAll(".topic").length`))
}

// A report of two thousand jobs stays within what a browser and a mailbox take, and
// opens. It takes a minute, and runs where LARGE_REPORT is set.
func TestLargeReport(t *testing.T) {
	if os.Getenv("LARGE_REPORT") == "" {
		t.Skip("set LARGE_REPORT=1 to judge two thousand jobs")
	}
	page, l := generated(t, 2000, nil, report.Settings{})
	t.Logf("%d jobs, %d bytes", len(l.jobs), len(page))
	require.Len(t, l.jobs, 2000)
	assert.LessOrEqual(t, len(page), 30_000_000)
	assert.NotContains(t, page, "This report lists only")
	b := open(t, written(t, page))
	get[bool](b, `(() => { const d = [...document.querySelectorAll("details.packed")].at(-1); d.open = true; return true; })()`)
	b.until(`[...document.querySelectorAll("article.job")].at(-1).querySelector(".topic .item") !== null`)
	b.do(chromedp.SendKeys(chromedp.CSS("input[name=text]"), "2026-01999"))
	assert.Equal(t, []string{"2026-01999"}, get[[]string](b, shownJobs))
}
