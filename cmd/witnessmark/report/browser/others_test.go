//go:build !race

package browser

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/cmd/witnessmark/report"
)

// cutOff are the parts of a page for others that reach over its edge.
const cutOff = `[...document.querySelectorAll(".page")].flatMap(page => [...page.querySelectorAll("*")].filter(e => e.checkVisibility() && !(e.closest("thead") && getComputedStyle(e.closest("thead")).position === "absolute") && e.getBoundingClientRect().right > page.getBoundingClientRect().right + 1))
  .map(e => e.outerHTML.slice(0, 90)).slice(0, 5)`

// brokenDays are days that run over more than one line.
const brokenDays = `(() => {
  const out = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const r = document.createRange();
    for (const m of walk.currentNode.textContent.matchAll(/\b\d{4}-\d\d-\d\d\b/g)) {
      r.setStart(walk.currentNode, m.index); r.setEnd(walk.currentNode, m.index + m[0].length);
      if (new Set([...r.getClientRects()].map(x => Math.round(x.top))).size > 1) out.push(walk.currentNode.parentElement.outerHTML.slice(0, 90));
    }
  }
  return out.slice(0, 5);
})()`

// The pages for others fit a desk, a tablet and a telephone in every language of the
// examples: nothing is cut off, and no day is broken.
func TestPagesForOthersFit(t *testing.T) {
	shipped, err := readShipped()
	require.NoError(t, err)
	day, ok := fact.ParseDay("2026-11-25")
	require.True(t, ok)
	var sinks []checks.Sink
	var pages []*bytes.Buffer
	names := []string{"emergency", "owner", "snags"}
	for _, name := range names {
		for _, f := range report.Formats() {
			if f.Name == name {
				pages = append(pages, &bytes.Buffer{})
				sinks = append(sinks, f.New(pages[len(pages)-1], report.Settings{}))
			}
		}
	}
	require.Len(t, pages, len(names))
	_, err = checks.Lint(context.Background(), checks.Options{Paths: []string{"../../../../examples"}, AsOf: checks.AsOf{Date: day}, Shipped: shipped}, sinks...)
	require.NoError(t, err)
	for i, page := range pages {
		b := open(t, written(t, page.String()))
		for _, width := range []int64{1280, 820, 768, 390} {
			b.size(width, 900)
			assert.Empty(t, get[[]string](b, cutOff), "%s at %d", names[i], width)
			assert.Empty(t, get[[]string](b, brokenDays), "%s at %d", names[i], width)
		}
	}
}
