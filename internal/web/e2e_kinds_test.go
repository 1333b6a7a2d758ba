package web_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/browsertest"
	"loopwright/internal/circuit"
)

// A lesson of two exercises asks for the second, and has a place and a second
// place for each.
func TestTwoExercises(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), "/")
	p.Type("#from", "Eastlands Road & Saxmoor Road\t")
	p.Until("document.querySelector('#from-about p')")
	choose(p, "#kind", "two-exercises")
	p.Until("document.querySelector('#second-exercise').value !== document.querySelector('#exercise').value")
	choose(p, "#second-exercise", "parallel-park")
	choose(p, "#minutes", "90")
	look(t, p, "plan-two-form")
	p.Click("#plan")
	p.Until("document.querySelectorAll('#drive .practice').length === 2 && document.querySelectorAll('#drive .backups').length === 2")
	look(t, p, "plan-two")
	c := circuitOf(t, p, at)
	if c.Second == nil || c.Practice.Exercise != "turn-in-the-road" || c.Second.Exercise != "parallel-park" {
		t.Errorf("it practises %s and %+v", c.Practice.Exercise, c.Second)
	}
	p.Go(browsertest.Eval[string](p, "location.href"))
	p.Until("document.querySelector('#second-exercise')?.value === 'parallel-park' && document.querySelectorAll('#drive .practice').length === 2")

	p.Click("#others") // a tour has alternatives too
	p.Until("document.querySelector('.choice button')")
	places := browsertest.Eval[string](p, "document.querySelector('.choice strong').textContent")
	look(t, p, "plan-two-others")
	p.Click(".choice button")
	p.Until("location.search.includes('alternatives=')")
	planned(p)
	if c := circuitOf(t, p, at); !strings.Contains(places, c.Practice.Road) || !strings.Contains(places, c.Second.Road) {
		t.Errorf("offered was %q, and it practises in %s and %s", places, c.Practice.Road, c.Second.Road)
	}
}

// Other plans are offered with what each differs in, and one click takes one: the
// very drive that was offered.
func TestOtherPlans(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), wish)
	planned(p)
	place := browsertest.Eval[string](p, "document.querySelector('.practice strong').textContent")
	browsertest.Eval[bool](p, `(() => { const ask = window.fetch; window.fetch = async (...a) => { const r = await ask(...a); if (a[0] === "/api/plan") window.answered = await r.clone().text(); return r; }; return true; })()`)
	p.Click("#others")
	p.Until("document.querySelector('.choice button')")
	look(t, p, "plan-others")
	var offered struct {
		Others []struct{ Circuit json.RawMessage }
	}
	if err := json.Unmarshal([]byte(browsertest.Eval[string](p, "window.answered")), &offered); err != nil || len(offered.Others) == 0 {
		t.Fatalf("no other plans: %v", err)
	}
	first, err := circuit.Decode(offered.Others[0].Circuit)
	if err != nil {
		t.Fatal(err)
	}
	p.Click(".choice button")
	p.Until(fmt.Sprintf("document.querySelector('.practice strong').textContent === %q", first.Practice.Road))
	planned(p)
	look(t, p, "plan-other")
	if first.Practice.Road == place {
		t.Errorf("the other plan practises in %s too", place)
	}
	if got := circuitOf(t, p, at); !reflect.DeepEqual(got, first) {
		t.Errorf("taken was another plan than was offered")
	}
	p.Go(browsertest.Eval[string](p, "location.href")) // it has an address
	p.Until(fmt.Sprintf("document.querySelector('.practice strong')?.textContent === %q", first.Practice.Road))
	planned(p)

	// What is changed then is changed of this plan; and the first one is one click away.
	judged := browsertest.Eval[string](p, "document.querySelector('.judges strong').textContent")
	p.Click(".judges li button.small")
	p.Until(fmt.Sprintf("![...document.querySelectorAll('.judges strong')].some(e => e.textContent === %q) && location.search.includes('without')", judged))
	planned(p)
	if got := browsertest.Eval[string](p, "document.querySelector('.practice strong').textContent"); got != first.Practice.Road {
		t.Errorf("without %s it practises in %s, not in %s any longer", judged, got, first.Practice.Road)
	}
	browsertest.Eval[bool](p, "history.back(), true")
	p.Until("location.search.includes('alternatives') && document.querySelector('.left-out button')")
	planned(p)
	p.Click(".left-out button")
	p.Until(fmt.Sprintf("document.querySelector('.practice strong').textContent === %q", place))
}

// What an instructor may wish for is in the form, and reaches the planner.
func TestMoreWishes(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Click("#wish-box > summary")
	p.Click("#more-wishes > summary")
	for _, id := range []string{"#mixed", "#ice", "#my-side", "#only-parked", "#motorways"} {
		p.Click(id)
	}
	choose(p, "#wish-count", "no")
	choose(p, "#wish-topic", "dual carriageways")
	p.Click("#wish-add")
	p.Click(".ticks ~ details summary, fieldset > details summary")
	p.Type("#learner-covered", "moving off\nturning left\t")
	p.Until("location.search.includes('covered=turning+left')")
	p.Until("!document.querySelector('#drive[aria-busy]')")
	look(t, p, "plan-wishes-made")
	c := circuitOf(t, p, at)
	r := c.Request
	if !r.Mixed || !r.Ice || !r.MySide || !r.Parked || !r.Approved || !r.DualControls || !reflect.DeepEqual(r.Avoid, []string{"dual carriageways"}) {
		t.Errorf("the plan was asked for with %+v", r)
	}
	if c.Learner == nil || !reflect.DeepEqual(c.Learner.Covered, []string{"moving off", "turning left"}) {
		t.Errorf("of the learner it knows %+v", c.Learner)
	}
}

// A road is closed by its name, the whole of it, and one click opens it again.
func TestCloseARoadByName(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), wish)
	planned(p)
	road := "Hasker Lane"
	p.Click("#wish-box > summary")
	p.Click("#more-wishes > summary")
	p.Type("#road", road)
	p.Click("#road ~ .with button")
	p.Until("/Kept off: " + road + "/.test(document.querySelector('.left-out')?.textContent) && location.search.includes('keep_off')")
	p.Until("!document.querySelector('#drive[aria-busy]')")
	look(t, p, "plan-closed-road")
	for _, leg := range circuitOf(t, p, at).Legs {
		if slices.Contains(leg.Roads, road) {
			t.Errorf("%s is closed, and leg %d goes along it", road, leg.Order)
		}
	}
	p.Click(".left-out button")
	p.Until("!location.search.includes('keep_off')")
}

// Each kind of lesson asks what it needs, and is planned.
func TestKindsOfLesson(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), "/")
	p.Type("#from", "Eastlands Road & Saxmoor Road\t")
	p.Until("document.querySelector('#from-about p')")
	choose(p, "#kind", "junctions")
	p.Click("#plan")
	p.Until("document.querySelector('#drive .trouble')")
	look(t, p, "plan-junctions-form")
	choose(p, "#wish-count", "8")
	choose(p, "#wish-topic", "dual carriageways")
	p.Click("#wish-add")
	p.Until("document.querySelector('#drive .unmet')")
	look(t, p, "plan-junctions-unmet")
	p.Click(".unmet button") // what can be had
	p.Until("document.querySelector('#drive .events') && document.querySelector('#wishes-said button').textContent !== 'at least 8 dual carriageways ✕'")
	p.Click("#wish-box > summary")
	choose(p, "#kind", "test-day")
	p.Click("#more-wishes > summary")
	p.Click("#wishes-said button")
	p.Type("#to", "Well Street\t")
	p.Until("/Before the test/.test(document.querySelector('#drive h2')?.textContent)")
	look(t, p, "plan-test-day")
	if c := circuitOf(t, p, at); c.Request.Kind != circuit.TestDay || c.Finish.Road == c.Start.Road {
		t.Errorf("a lesson of the kind %s from %s to %s", c.Request.Kind, c.Start.Road, c.Finish.Road)
	}
	choose(p, "#kind", "mock-test")
	p.Until("/A mock test/.test(document.querySelector('#drive h2')?.textContent)")
	look(t, p, "plan-mock-test")
}

// choose chooses an option, as a user does.
func choose(p *browsertest.Page, selector, value string) {
	browsertest.Eval[bool](p, fmt.Sprintf(`(() => { const s = document.querySelector(%q); s.value = %q; s.dispatchEvent(new Event("change")); return s.value === %q; })()`, selector, value, value))
}

// circuitOf is the plan that the page shows.
func circuitOf(t *testing.T, p *browsertest.Page, at string) *circuit.Circuit {
	t.Helper()
	c, err := circuit.Decode(get(t, at+browsertest.Eval[string](p, "document.querySelector('a[href$=\"/circuit\"]').getAttribute('href')")))
	if err != nil {
		t.Fatal(err)
	}
	return c
}
