//go:build !race

package browser

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"witnessmark.example/cmd/witnessmark/report"
)

// Pictures of the page in its forms, to be looked at after a change of its style. They
// are written into the folder that PICTURES names.
func TestPictures(t *testing.T) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		t.Skip("set PICTURES to a folder to have pictures of the page written there")
	}
	put := func(name string, data []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
	some, _ := examples(t, "2026-019", "2026-017", "2026-038")
	trouble, _ := generated(t, 2, troubled(), report.Settings{})
	large, _ := generated(t, enough, nil, report.Settings{})
	for name, page := range map[string]string{"some": some, "trouble": trouble, "packed": large} {
		b := open(t, written(t, page))
		if name == "packed" {
			b.click("details.packed > summary")
			b.until(`document.querySelector(".sign") !== null`)
		}
		for _, paper := range []struct {
			name string
			size chromedp.PaperSize
		}{{"a4", chromedp.PaperA4}, {"letter", chromedp.PaperLetter}} {
			data, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper.size)))
			require.NoError(t, err)
			put(name+"-"+paper.name+".pdf", data)
		}
		get[bool](b, `document.querySelectorAll(".topic, .finding .calculation, .item:first-child .calculation").forEach(d => d.open = true) === undefined`)
		for _, form := range []struct {
			name, scheme string
			width        int64
		}{{"desktop", "light", 1280}, {"dark", "dark", 1280}, {"phone", "light", 390}} {
			b.scheme(form.scheme)
			b.size(form.width, 1000)
			for part := range 6 {
				get[bool](b, `(scrollTo(0, `+string(rune('0'+part))+` * 2400), true)`)
				b.size(form.width, 2400)
				data, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
				require.NoError(t, err)
				put(name+"-"+form.name+"-"+string(rune('1'+part))+".png", data)
			}
		}
	}
}
