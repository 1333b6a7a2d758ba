package web_test

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/internal/browsertest"
)

// A road that was clicked is kept off with one tap, and the drive goes elsewhere.
func TestKeepOffARoad(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), wish)
	planned(p)
	browsertest.Eval[bool](p, "loopwright.drawn()")
	spot := browsertest.Eval[[]float64](p, "loopwright.mark('leg-2')") // the way between two stops
	p.ClickAt(spot[0], spot[1])
	p.Until("document.querySelector('.clicked button')")
	look(t, p, "plan-clicked")
	p.Click(".clicked button")
	p.Until("location.search.includes('keep_off')")
	planned(p)
	look(t, p, "plan-kept-off")
	id := browsertest.Eval[string](p, "document.querySelector('a[href$=\"/circuit\"]').getAttribute('href').split('/')[2]")
	broken := browsertest.Eval[int](p, fmt.Sprintf("fetch('/api/check', {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify({id: %q})}).then(r => r.json()).then(c => c.broken.length)", id))
	if broken != 0 {
		t.Errorf("the drive breaks %d musts", broken)
	}
	p.Click(".left-out button")
	p.Until("!location.search.includes('keep_off')")
	planned(p)
}

// A lesson of another kind has what it needs in the form and on the sheet.
func TestJunctions(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), "/plan?from=Eastlands+Road+%26+Saxmoor+Road&kind=junctions&minutes=60&when=2027-03-04+10:00&wish=at+least+four+mini-roundabouts")
	p.Until("document.querySelector('#drive .times') && !document.querySelector('#drive[aria-busy]')")
	look(t, p, "plan-junctions")
	if n := browsertest.Eval[int](p, "document.querySelectorAll('#drive .events li').length"); n < 4 {
		t.Errorf("%d mini-roundabouts on the sheet, four were wished for", n)
	}
	p.Click("#keep")
	p.Until("document.querySelector('#keep').textContent === 'Kept'")
	browsertest.Eval[bool](p, "location.reload(), true")
	p.Until("document.querySelector('#wishes-said button')?.textContent === 'at least 4 mini roundabouts ✕' && document.querySelector('#drive .times')")
}

// What may be given to anyone is the command line's file; where there is none the
// page says why.
func TestSendForAnyone(t *testing.T) {
	p, _ := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Click(".actions summary")
	look(t, p, "plan-send")
	p.Click(".actions a[href$='/anyone']")
	p.Until("/Saved as for-anyone.geojson|can't be hidden/.test(document.querySelector('#status').textContent)")
}

// What can't be had is said, with what would have to give, and one click takes it.
func TestUnmet(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), strings.Replace(wish, "minutes=60", "minutes=45", 1)+"&unsuitable=10&suitable=2")
	p.Until("document.querySelector('.unmet')")
	look(t, p, "plan-unmet")
	p.Click(".unmet button")
	planned(p)
}

// Words that mean nothing, or several things, are answered.
func TestPlacesNotFound(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), "/")
	p.Type("#from", "Nowhere at All Street\t")
	p.Until("document.querySelector('#from-about .trouble')")
	look(t, p, "plan-nowhere")
}

// What is untaught is kept off the drive, and the plan remembers for whom it is.
func TestLearner(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Click("#wish-box > summary")
	p.Click("#more-wishes > summary")
	look(t, p, "plan-wishes")
	p.Type("#learner", "AB\t")
	p.Click("#untaught-dual-carriageways")
	p.Until("location.search.includes('stage=dual-carriageways')")
	p.Until("!document.querySelector('#drive[aria-busy]')")
	if got := browsertest.Eval[string](p, "new URLSearchParams(location.search).get('learner')"); got != "AB" {
		t.Errorf("the learner is %q", got)
	}
}
