// Package browsertest lets tests look at pages in a headless Chromium: what it
// asks for from anywhere, how it prints, how it lies at a width, and what
// axe-core (an accessibility checker from npm) finds wrong. It is used by tests
// alone.
package browsertest

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// Browser is one Chromium, for one test and its parts.
type Browser struct{ ctx context.Context }

// Start starts Chromium for a test and ends it with the test. Where there is
// none the test is skipped.
func Start(t testing.TB) *Browser {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("Chromium (Debian chromium) is not installed: pages can't be looked at")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Minute)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	t.Cleanup(func() { // wait until it is gone, so that its folder can be removed
		if err := chromedp.Cancel(ctx); err != nil {
			t.Logf("ending Chromium: %v", err)
		}
	})
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatalf("Chromium does not start: %v", err)
	}
	return &Browser{ctx}
}

// Page is a page in a tab of its own.
type Page struct {
	t   testing.TB
	ctx context.Context

	mu     sync.Mutex
	asked  []string
	faults []string
}

// Open opens an address in a new tab, which is closed with the test.
func (b *Browser) Open(t testing.TB, address string) *Page {
	t.Helper()
	ctx, stop := chromedp.NewContext(b.ctx)
	t.Cleanup(stop)
	p := &Page{t: t, ctx: ctx}
	if err := chromedp.Listen(ctx, func(event any) {
		if e, ok := event.(*network.EventRequestWillBeSent); ok {
			p.mu.Lock()
			p.asked = append(p.asked, e.Request.URL)
			p.mu.Unlock()
		}
	}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.Navigate(address))
	return p
}

// Show opens a page from its text, as a file.
func (b *Browser) Show(t testing.TB, html []byte) *Page {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, html, 0o644); err != nil {
		t.Fatal(err)
	}
	return b.Open(t, "file://"+file)
}

func (p *Page) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// Asked gives the addresses that the page asked for, its own among them.
func (p *Page) Asked() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.asked...)
}

// Resize gives the window a size in CSS pixels.
func (p *Page) Resize(width, height int64) {
	p.t.Helper()
	p.do(chromedp.EmulateViewport(width, height))
}

// Eval gives the value of a JavaScript expression on the page; the page's own
// rules for scripts do not hold for it. A promise is waited for.
func Eval[T any](p *Page, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatal(err)
	}
	return v
}

// Screenshot is the whole page as PNG.
func (p *Page) Screenshot() []byte {
	p.t.Helper()
	b, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		p.t.Fatal(err)
	}
	return b
}

// PDF prints the page on the paper that it asks for.
func (p *Page) PDF() []byte {
	p.t.Helper()
	b, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
	if err != nil {
		p.t.Fatal(err)
	}
	return b
}

// Pages counts the pages of a PDF as Chromium writes it.
func Pages(pdf []byte) int {
	return strings.Count(string(pdf), "/Type /Page\n") + strings.Count(string(pdf), "/Type /Page ")
}
