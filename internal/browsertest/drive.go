package browsertest

import (
	"fmt"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// Click clicks the middle of the first element that a CSS selector finds, once
// it is there.
func (p *Page) Click(selector string) {
	p.t.Helper()
	p.Until(fmt.Sprintf("document.querySelector(%q) !== null", selector))
	p.do(chromedp.ScrollIntoView(chromedp.CSS(selector)), chromedp.Click(chromedp.CSS(selector)))
}

// ClickAt clicks a point of the window, in CSS pixels.
func (p *Page) ClickAt(x, y float64) {
	p.t.Helper()
	p.do(chromedp.MouseClickXY(x, y))
}

// Type types text into the element that a CSS selector finds; "\r" is Enter.
func (p *Page) Type(selector, text string) {
	p.t.Helper()
	p.do(chromedp.SendKeys(chromedp.CSS(selector), text))
}

// Press presses keys wherever the focus is.
func (p *Page) Press(keys string) {
	p.t.Helper()
	p.do(chromedp.KeyEvent(keys))
}

// Go goes to another address in the same tab.
func (p *Page) Go(address string) {
	p.t.Helper()
	p.do(chromedp.Navigate(address))
}

// Prefer shows pages as to someone who prefers something, as "color-scheme",
// "dark" (Media Queries Level 5, section 12).
func (p *Page) Prefer(what, value string) {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-" + what, Value: value}},
	}); err != nil {
		p.t.Fatal(err)
	}
}

// Forget lets the page load everything anew, as on a first visit.
func (p *Page) Forget() {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true}); err != nil {
		p.t.Fatal(err)
	}
}

// Until waits for a JavaScript expression to be true, half a minute at most:
// slow machines are slow, and a page that hangs must end the test.
func (p *Page) Until(expression string) {
	p.t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if Eval[bool](p, "!!("+expression+")") {
			return
		}
	}
	p.t.Fatalf("it never came true that %s; the page says: %s", expression, Eval[string](p, "document.body.innerText"))
}

// Listen begins to gather what goes wrong on the page: errors on the console and
// exceptions that nobody caught. Faults gives them. An answer that says no is
// logged by the browser as a failed request; the page tells its reader of those.
func (p *Page) Listen() {
	p.t.Helper()
	messages := chromedp.Console(p.ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return // the tab is closed
			}
			if m.Source == "network" || !m.IsException() && m.Type != "error" {
				continue
			}
			p.mu.Lock()
			p.faults = append(p.faults, m.String())
			p.mu.Unlock()
		}
	}()
}

// Faults gives what Listen has heard.
func (p *Page) Faults() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.faults...)
}
