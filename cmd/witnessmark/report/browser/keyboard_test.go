//go:build !race

package browser

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// focused says what has the focus, and whether that can be seen.
const focused = `(() => {
  const e = document.activeElement, s = getComputedStyle(e), at = e.getBoundingClientRect();
  return [e.tagName.toLowerCase(), e.name || e.hash || e.textContent.trim().slice(0, 40), s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2 && at.width > 0 && at.right > 0 && at.bottom > 0 && at.top < innerHeight ? "seen" : "not seen"];
})()`

// tabTo presses the tab key until what is sought has the focus, and holds everything on
// the way to be seen.
func (b *tab) tabTo(tag, name string) {
	b.Helper()
	for range 80 {
		b.do(chromedp.KeyEvent(kb.Tab))
		at := get[[]string](b, focused)
		require.Equal(b, "seen", at[2], at)
		if at[0] == tag && (name == "" || at[1] == name) {
			return
		}
	}
	require.Fail(b, "not reached", "%s %s", tag, name)
}

// Everything can be done with the keyboard alone, and where one is can be seen.
func TestKeyboardAlone(t *testing.T) {
	page, l := examples(t, several...)
	b := open(t, written(t, page))
	b.do(chromedp.KeyEvent(kb.Tab))
	assert.Equal(t, []string{"a", "#jobs", "seen"}, get[[]string](b, focused), "the first is a way past the beginning")

	// The filter: a letter chooses from a list, words are typed, space presses a button.
	b.tabTo("select", "outcome")
	b.do(chromedp.KeyEvent("o"))
	require.Equal(t, "outside", get[string](b, `document.activeElement.value`))
	b.shows(l, func(k known) bool { return k.kinds["outside"] })
	for _, name := range []string{"topic", "stage", "gate"} {
		b.tabTo("select", name)
	}
	b.tabTo("input", "text")
	b.do(chromedp.KeyEvent("2026-019"))
	assert.Equal(t, []string{"2026-019"}, get[[]string](b, shownRows))
	b.tabTo("button", "Show all")
	b.do(chromedp.KeyEvent(" "))
	b.until(status + ` === ""`)
	require.Len(t, get[[]string](b, shownRows), len(several))
	b.tabTo("select", "print")

	// The table of jobs leads to a job, and from there the tab key goes on in it.
	b.tabTo("a", "")
	hash := get[string](b, `document.activeElement.hash`)
	require.Contains(t, hash, "#job-")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until(`location.hash === ` + "`" + hash + "`" + ` && Math.abs(document.querySelector(location.hash).getBoundingClientRect().top) < innerHeight / 2`)
	b.tabTo("summary", "")
	assert.True(t, get[bool](b, `document.activeElement.closest("article").id === location.hash.slice(1)`))
	for _, key := range []string{" ", kb.Enter} {
		was := get[bool](b, `document.activeElement.parentElement.open`)
		b.do(chromedp.KeyEvent(key))
		assert.Equal(t, !was, get[bool](b, `document.activeElement.parentElement.open`))
	}

	// The way past the beginning, from the beginning.
	b.show(get[string](b, `location.pathname`))
	b.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter))
	b.until(`location.hash === "#jobs"`)
	b.tabTo("a", hash)
	assert.False(t, get[bool](b, `document.activeElement.matches("form *")`))
}
