//go:build !race

package browser

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/cmd/witnessmark/report"
)

// everythingOpen unfolds all that is folded.
func (b *tab) everythingOpen() {
	b.Helper()
	get[bool](b, `document.querySelectorAll("details").forEach(d => d.open = true) === undefined`)
}

func (b *tab) scheme(name string) { b.media("", name) }

// media has the page shown on a screen or on paper, in light or dark.
func (b *tab) media(kind, scheme string) {
	b.Helper()
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: kind, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// tooFaint finds text and drawings whose contrast with what lies behind them is less
// than WCAG 2.1, 1.4.3 and 1.4.11 (level AA), ask for: 4.5 to 1, of large text 3 to 1,
// of drawings 3 to 1. The formula is that of the same recommendation ("contrast ratio",
// "relative luminance"), from memory.
const tooFaint = `(() => {
  const colour = text => { const n = text.match(/[\d.]+/g).map(Number); return {rgb: n.slice(0, 3), a: n.length > 3 ? n[3] : 1}; };
  const luminance = c => { const [r, g, b] = c.map(v => { v /= 255; return v <= .03928 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4; }); return .2126 * r + .7152 * g + .0722 * b; };
  const ratio = (a, b) => { const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p); return (x + .05) / (y + .05); };
  const behind = el => { for (; el; el = el.parentElement) { const c = colour(getComputedStyle(el).backgroundColor); if (c.a === 1) return c.rgb; } throw "no background"; };
  const out = new Set(); let looked = 0;
  const hold = (what, a, b, least) => { looked++; const r = ratio(a, b); if (r < least) out.add(what + " " + r.toFixed(2)); };
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const el = walk.currentNode.parentElement;
    if (!walk.currentNode.textContent.trim() || el.tagName === "SCRIPT" || !el.checkVisibility({visibilityProperty: true, opacityProperty: true})) continue;
    const s = getComputedStyle(el), px = parseFloat(s.fontSize), large = px >= 24 || px >= 18.66 && Number(s.fontWeight) >= 700;
    hold(el.tagName + "." + el.getAttribute("class"), colour(el instanceof SVGElement ? s.fill : s.color).rgb, behind(el), large ? 3 : 4.5);
  }
  for (const el of document.querySelectorAll("svg path")) {
    const s = getComputedStyle(el), sheet = behind(el), kind = el.getAttribute("class");
    const stroke = kind === "value" ? s.fill : s.stroke;
    hold("drawing " + kind, colour(stroke).rgb, sheet, 3);
    if (kind === "value") hold("value on its range", colour(s.fill).rgb, colour(getComputedStyle(document.querySelector("svg .range")).fill).rgb, 3);
  }
  for (const el of document.querySelectorAll("select, input, button")) hold("edge of " + el.tagName, colour(getComputedStyle(el).borderTopColor).rgb, behind(el), 3);
  return looked < 500 ? ["only " + looked + " looked at"] : [...out];
})()`

func TestContrast(t *testing.T) {
	page, _ := examples(t, "2026-019")
	b := open(t, written(t, page))
	b.everythingOpen()
	backgrounds := map[string]bool{}
	for _, scheme := range []string{"light", "dark"} {
		b.scheme(scheme)
		assert.Empty(t, get[[]string](b, tooFaint), scheme)
		backgrounds[get[string](b, `getComputedStyle(document.body).backgroundColor`)] = true
	}
	assert.Len(t, backgrounds, 2, "light and dark differ")
	get[bool](b, `(document.querySelector("dt").style.color = "#999") !== ""`)
	get[bool](b, `(document.querySelector("svg .stop").style.stroke = "#777") !== ""`)
	b.scheme("light")
	assert.Equal(t, []string{"DT.null"}, kinds(get[[]string](b, tooFaint)), "the measurement notices")
}

func kinds(all []string) []string {
	for i := range all {
		all[i] = strings.Fields(all[i])[0]
	}
	return all
}

// On a telephone the page is no wider than the screen, and no word is broken where it
// need not be.
func TestNarrow(t *testing.T) {
	some, _ := examples(t, "2026-017")
	recorded, _ := examples(t, "2026-016") // with concessions, changes and signatures
	trouble, _ := generated(t, 1, troubled(), report.Settings{})
	for _, page := range []string{some, recorded, trouble} {
		b := open(t, written(t, page))
		b.everythingOpen()
		for _, width := range []int64{1280, 390, 320} {
			b.size(width, 800)
			assert.LessOrEqual(t, get[int64](b, `document.documentElement.scrollWidth`), width)
			assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("main *")].filter(e => e.checkVisibility() && !e.closest(".wide") && e.getBoundingClientRect().right > innerWidth + 1).map(e => e.outerHTML.slice(0, 80)).slice(0, 5)`), "at %d", width)
			assert.Empty(t, get[[]string](b, brokenNumbers), "at %d", width)
			assert.Empty(t, get[[]string](b, textsInTheWay), "at %d", width)
		}
		names := get[[]string](b, `[...document.querySelectorAll("table.jobs tbody tr:first-child td")].map(c => getComputedStyle(c, "::before").content)`)
		require.NotEmpty(t, names)
		for _, n := range names {
			require.Regexp(t, `^"[A-Z][a-z]+: "$`, n, "each cell says what it is of")
		}
	}
}

// brokenNumbers are table cells in which a number or a heading of one word runs over
// more than one line.
const brokenNumbers = `[...document.querySelectorAll("td.n, thead th, .wide table:not(.jobs) th")].filter(c => {
  if (!c.checkVisibility() || c.getBoundingClientRect().width === 0 || /\s/.test(c.textContent.trim())) return false;
  const r = document.createRange(); r.selectNodeContents(c);
  return new Set([...r.getClientRects()].map(x => Math.round(x.top))).size > 1;
}).map(c => c.textContent)`

// textsInTheWay are texts of drawings that reach over the edge or lie on each other.
const textsInTheWay = `[...document.querySelectorAll("svg.band")].flatMap(svg => {
  const texts = [...svg.querySelectorAll("text")].map(t => ({text: t.textContent, box: t.getBBox()}));
  return texts.filter(t => t.box.x < -1 || t.box.x + t.box.width > svg.viewBox.baseVal.width + 1 ||
    texts.some(o => o !== t && o.box.y < t.box.y + t.box.height && t.box.y < o.box.y + o.box.height && o.box.x < t.box.x + t.box.width && t.box.x < o.box.x + o.box.width)).map(t => t.text);
}).slice(0, 5)`

// What a screen reader goes by: language, title, one first heading and none left out,
// tables with captions and headings, controls with names, landmarks.
func TestStructure(t *testing.T) {
	some, _ := examples(t, "2026-019")
	trouble, _ := generated(t, 1, troubled(), report.Settings{})
	for _, page := range []string{some, trouble} {
		b := open(t, written(t, page))
		b.everythingOpen()
		assert.Equal(t, "en", get[string](b, `document.documentElement.lang`))
		assert.NotEmpty(t, get[string](b, `document.title`))
		assert.Equal(t, "CSS1Compat", get[string](b, `document.compatMode`))
		assert.Empty(t, get[[]string](b, `(() => { let last = 0, out = []; for (const h of document.querySelectorAll("h1,h2,h3,h4,h5,h6")) { const n = Number(h.tagName[1]); if (n > last + 1 || n === 1 && last > 0) out.push(h.outerHTML.slice(0, 90)); last = n; } return out.slice(0, 5); })()`), "headings in order")
		assert.Zero(t, get[int](b, `[...document.querySelectorAll("table")].filter(t => !t.caption || !t.caption.textContent.trim()).length`), "tables with captions")
		assert.Zero(t, get[int](b, `[...document.querySelectorAll("th")].filter(t => !["row", "col"].includes(t.scope)).length`))
		assert.Zero(t, get[int](b, `[...document.querySelectorAll("table")].filter(t => !t.querySelector("th")).length`))
		assert.Zero(t, get[int](b, `document.querySelectorAll("[id]").length - new Set([...document.querySelectorAll("[id]")].map(e => e.id)).size`), "each name once")
		get[bool](b, `document.querySelectorAll("details").forEach(d => d.open = false) === undefined`)
		tree := call(b, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
		found := map[string]int{}
		for _, n := range tree.Nodes {
			if n.Ignored || n.Role == nil {
				continue
			}
			role := strings.Trim(string(n.Role.Value), `"`)
			found[role]++
			switch role {
			case "combobox", "MenuListPopup", "searchbox", "button", "link", "heading", "table", "form", "article", "region", "DisclosureTriangle", "group":
				name := ""
				if n.Name != nil {
					name = strings.Trim(string(n.Name.Value), `" `)
				}
				if role != "group" && role != "MenuListPopup" {
					assert.NotEmpty(t, name, "a %s without a name", role)
				}
			}
		}
		for _, role := range []string{"main", "banner", "contentinfo", "form", "combobox", "searchbox", "button", "table", "article", "status", "columnheader", "rowheader", "DisclosureTriangle"} {
			assert.NotZero(t, found[role], fmt.Sprint(role, " in ", found))
		}
	}
	require.NotEmpty(t, some)
}
