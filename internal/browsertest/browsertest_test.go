package browsertest_test

import (
	"testing"

	"loopwright/internal/browsertest"
)

// A page that is known to be bad is found to be.
func TestAPageWithFaultsHasThem(t *testing.T) {
	p := browsertest.Start(t).Show(t, []byte(`<!DOCTYPE html><html><head><title>x</title></head><body><main>
		<img src="picture.png"><p style="color:#ccc;background:#fff">faint</p><p style="break-before:page">two</p></main></body></html>`))
	if got := len(p.Asked()); got != 2 {
		t.Errorf("the page asked for %v: want itself and its picture", p.Asked())
	}
	if got := browsertest.Pages(p.PDF()); got != 2 {
		t.Errorf("%d pages printed, want 2", got)
	}
	found := map[string]bool{}
	for _, v := range p.Axe() {
		found[v.ID] = true
	}
	for _, id := range []string{"image-alt", "color-contrast", "html-has-lang"} {
		if !found[id] {
			t.Errorf("axe-core did not find %q, only %v", id, found)
		}
	}
}
