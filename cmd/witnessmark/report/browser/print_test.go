//go:build !race

package browser

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/ledongthuc/pdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var spaces = regexp.MustCompile(`\s+`)

// printed prints the page and returns the text of each sheet, without spaces, since a
// printed text has none at the ends of its lines.
func (b *tab) printed(paper chromedp.PaperSize) []string {
	b.Helper()
	data, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
	require.NoError(b, err)
	doc, err := pdf.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(b, err)
	var out []string
	for i := range doc.NumPage() {
		text, err := doc.Page(i + 1).GetPlainText(nil)
		require.NoError(b, err)
		text, numbered := strings.CutPrefix(spaces.ReplaceAllString(text, ""), fmt.Sprintf("%d/%d", i+1, doc.NumPage()))
		assert.True(b, numbered, "sheet %d has its number", i+1)
		out = append(out, text)
	}
	return out
}

func squeezed(text string) string { return spaces.ReplaceAllString(text, "") }

// On paper each job begins a sheet of its own and ends with the place to sign and the
// caution; there are no more sheets than somebody reads, and what was chosen is there.
func TestPrint(t *testing.T) {
	const caution = "This tool approves nothing, and what is not listed was not checked."
	page, _ := examples(t, "2026-019", "2026-031")
	b := open(t, written(t, page))
	for name, c := range map[string]struct {
		paper chromedp.PaperSize
		print string
		most  int // sheets
	}{
		"what to look at, A4":     {chromedp.PaperA4, "findings", 8},
		"what to look at, Letter": {chromedp.PaperLetter, "findings", 8},
		"every value, A4":         {chromedp.PaperA4, "values", 22},
		"every value, Letter":     {chromedp.PaperLetter, "values", 22},
		"everything, A4":          {chromedp.PaperA4, "all", 150},
	} {
		b.choose("print", c.print)
		sheets := b.printed(c.paper)
		all := strings.Join(sheets, "")
		t.Logf("%s: %d sheets", name, len(sheets))
		assert.LessOrEqual(t, len(sheets), c.most, name)
		assert.GreaterOrEqual(t, len(sheets), 4, name)
		for _, job := range []string{"2026-019", "2026-031"} {
			begins := 0
			for _, s := range sheets {
				if strings.HasPrefix(s, squeezed("Job "+job)) {
					begins++
				}
			}
			assert.Equal(t, 1, begins, "%s: %s begins a sheet", name, job)
		}
		assert.Equal(t, 2, strings.Count(all, squeezed("Reservations:")), name)
		assert.Contains(t, sheets[0], "equipment/orrelin@B", "%s: the data sheets that judged are named", name)
		assert.Equal(t, 2, strings.Count(all, "NameCapacityDateSignature"), name)
		assert.Equal(t, 4, strings.Count(all, squeezed(caution)), "%s: at both ends of the page and in each job", name)
		assert.NotContains(t, all, squeezed("Show only"), name)
		assert.Equal(t, c.print != "findings", strings.Contains(all, squeezed("Every value")), name)
		assert.Equal(t, c.print == "all", strings.Contains(all, squeezed("The limits")), name)
		for i, s := range sheets[:len(sheets)-1] {
			assert.NotRegexp(t, `(Place|Fixing|Storage|Cables|Protection|Supply|Work|Tests|Papers):\d+values?–[^:]*$`, tail(s), "%s: a heading stands alone at the foot of sheet %d", name, i+1)
		}
	}
	assert.Zero(t, get[int](b, `document.querySelectorAll("details.topic[open]").length`), "folded again afterwards")
}

func tail(s string) string { return s[max(0, len(s)-90):] }

// Printed in the dark the sheet is white all the same.
func TestPrintIsBlackOnWhite(t *testing.T) {
	page, _ := examples(t, "2026-031")
	b := open(t, written(t, page))
	for _, scheme := range []string{"light", "dark"} {
		b.media("print", scheme)
		assert.Equal(t, "rgb(255, 255, 255) rgb(0, 0, 0)", get[string](b, `getComputedStyle(document.body).backgroundColor + " " + getComputedStyle(document.body).color`))
		assert.False(t, get[bool](b, `document.getElementById("filter").checkVisibility()`))
		b.everythingOpen()
		assert.Empty(t, get[[]string](b, tooFaint))
	}
}
