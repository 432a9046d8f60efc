//go:build !race

package browser

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/cmd/witnessmark/report"
)

// Text of a job that would be markup elsewhere is shown as it is, and does nothing.
func TestHostileTextIsShown(t *testing.T) {
	page, _ := generated(t, 1, troubled(), report.Settings{})
	b := open(t, written(t, page))
	assert.NotEqual(t, "ran", get[string](b, `document.title`))
	assert.Contains(t, get[string](b, `document.body.innerText`), hostile)
	assert.Zero(t, get[int](b, `document.querySelectorAll("img, iframe, object, embed, [onerror], a[href^=javascript], main style, main script").length`))
	for _, says := range []string{"could not be read; nothing of it was checked", "on hold", "cancelled", "1 file that could not be read"} {
		assert.Contains(t, get[string](b, `document.body.innerText`), says)
	}
}

// Were markup to get into the page for all that, its policy would still keep it from
// doing anything; and the test itself would notice.
func TestPolicyHolds(t *testing.T) {
	var asked atomic.Int32
	elsewhere := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked.Add(1) }))
	t.Cleanup(elsewhere.Close)
	page, _ := examples(t, "2026-019")
	injected := strings.Replace(page, "</header>", `<script>document.title="ran"</script><b onclick="document.title='ran'" id="b">b</b><img src="`+elsewhere.URL+`/x"><form action="`+elsewhere.URL+`"><button id="send">s</button></form><p style="display:none" id="styled">p</p></header>`, 1)
	require.NotEqual(t, page, injected)
	b := newTab(t)
	path := written(t, injected)
	b.show(path)
	b.click("#b")
	b.click("#send")
	assert.NotEqual(t, "ran", get[string](b, `document.title`))
	assert.True(t, get[bool](b, `document.getElementById("styled").checkVisibility()`))
	b.mu.Lock()
	defer b.mu.Unlock()
	assert.Zero(t, asked.Load(), "nothing reaches the network")
	assert.GreaterOrEqual(t, len(b.trouble), 4, "what is forbidden is noticed: %v", b.trouble)
}

// Without scripts everything can be read, and nothing is offered that would not work.
func TestWithoutScripts(t *testing.T) {
	page, _ := examples(t, "2026-019")
	b := newTab(t)
	call(b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	path := written(t, page)
	b.show(path)
	assert.False(t, get[bool](b, `document.getElementById("filter").checkVisibility()`))
	for _, selector := range []string{"details.topic > summary", "details.limit > summary"} {
		b.click(selector)
		assert.True(t, get[bool](b, fmt.Sprintf(`[...document.querySelectorAll(%q)][0].parentElement.open`, selector)))
	}
	b.click(`a[href^="#job-"]`)
	assert.True(t, get[bool](b, `location.hash.startsWith("#job-")`))
	b.keptQuiet(path)
}
