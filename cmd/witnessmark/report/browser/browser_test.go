//go:build !race

// Package browser tries the reviewer's page in a browser, as its reader would: it
// filters, unfolds, follows links, uses the keyboard alone, prints; and that the pages
// for others fit every screen. It has no code but tests. The race detector has nothing to find here and is left out, since
// everything that drives the browser would have to be built once more for it.
package browser

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	// started is the context of the one browser for all tests, or nil where there is none.
	started context.Context
	// without says why there is none.
	without string
)

// TestMain starts one browser for all tests.
func TestMain(m *testing.M) { os.Exit(withBrowser(m)) }

func withBrowser(m *testing.M) int {
	path, err := exec.LookPath("chromium")
	if err != nil {
		without = "no chromium was found; install Debian's package of that name to try the page in a browser"
		return m.Run()
	}
	profile, err := os.MkdirTemp("", "browser")
	if err != nil {
		without = err.Error()
		return m.Run()
	}
	defer os.RemoveAll(profile)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.DisableGPU, chromedp.NoSandbox, chromedp.UserDataDir(profile),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-quic", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	defer stop()
	ctx, end := chromedp.NewContext(allocator)
	defer end()
	if err := chromedp.Do(ctx); err != nil {
		without = "chromium could not be started: " + err.Error()
	} else {
		started = ctx
	}
	return m.Run()
}

// tab is a page that is open in the browser, and what it did.
type tab struct {
	*testing.T
	ctx context.Context

	mu      sync.Mutex
	fetched []string // addresses that were asked for
	trouble []string // errors, and what the policy of the page forbade
}

// newTab opens an empty tab.
func newTab(t *testing.T) *tab {
	t.Helper()
	if started == nil {
		if os.Getenv("BROWSER") == "required" {
			t.Fatal(without)
		}
		t.Skip(without)
	}
	ctx, end := chromedp.NewContext(started)
	t.Cleanup(end)
	ctx, stop := context.WithTimeout(ctx, time.Minute)
	t.Cleanup(stop)
	b := &tab{T: t, ctx: ctx}
	require.NoError(t, chromedp.Listen(ctx, b.note))
	call(b, network.Enable, network.EnableParams{})
	call(b, log.Enable, cdp.Empty{})
	b.size(1280, 1000)
	return b
}

// open opens a page in a tab of its own. Afterwards the test fails if the page asked
// for anything but itself, or met with an error.
func open(t *testing.T, page string) *tab {
	t.Helper()
	b := newTab(t)
	b.show(page)
	t.Cleanup(func() { b.keptQuiet(page) })
	return b
}

// show opens a page in the tab.
func (b *tab) show(page string) {
	b.Helper()
	b.do(chromedp.Navigate("file://" + page))
}

// keptQuiet holds the page to have asked for nothing but itself, and to have met with
// no error.
func (b *tab) keptQuiet(page string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, address := range b.fetched {
		assert.Equal(b, "file://"+page, strings.Split(address, "#")[0], "the page asked for something")
	}
	assert.NotEmpty(b, b.fetched, "requests are seen at all")
	assert.Empty(b, b.trouble)
}

// note keeps what the page does.
func (b *tab) note(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.fetched = append(b.fetched, e.Request.URL)
	case *log.EventEntryAdded:
		b.trouble = append(b.trouble, string(e.Entry.Level)+": "+e.Entry.Text)
	case *runtime.EventExceptionThrown:
		b.trouble = append(b.trouble, fmt.Sprint(e.ExceptionDetails.Text))
	case *runtime.EventConsoleAPICalled:
		b.trouble = append(b.trouble, "console: "+string(e.Type))
	}
}

// call sends a command of the protocol.
func call[P, R any](b *tab, command cdp.Command[P, R], params P) R {
	b.Helper()
	out, err := chromedp.Call(b.ctx, command, params)
	require.NoError(b, err)
	return out
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	require.NoError(b, chromedp.Do(b.ctx, steps...))
}

func (b *tab) size(width, height int64) {
	b.Helper()
	b.do(chromedp.EmulateViewport(width, height))
}

// get evaluates an expression in the page.
func get[T any](b *tab, expression string) T {
	b.Helper()
	out, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	require.NoError(b, err, expression)
	return out
}

// until waits for an expression to become true.
func (b *tab) until(expression string) {
	b.Helper()
	require.Eventually(b, func() bool { return get[bool](b, expression) }, 20*time.Second, 20*time.Millisecond, expression)
}

// click clicks what a selector finds first.
func (b *tab) click(selector string) {
	b.Helper()
	b.do(chromedp.Click(chromedp.CSS(selector)))
}

// written writes a page into a folder of the test and returns its path.
func written(t *testing.T, page string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(path, []byte(page), 0o644))
	return path
}
