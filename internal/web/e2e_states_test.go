package web_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/browsertest"
	"loopwright/internal/desk"
)

// A name that several roads have is asked about, and while a plan is made the page
// says so.
func TestWhichAndWorking(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), "/")
	// No two roads of the town share a name: the answer is that of a county.
	browsertest.Eval[bool](p, `(() => {
		const ask = window.ask = window.fetch, choice = name => ({name, place: "Eastlands Road & Saxmoor Road", at: [0, 0]});
		window.fetch = async (at, ...rest) => at !== "/api/find" ? ask(at, ...rest) :
			new Response(JSON.stringify({kind: "answer is no", error: "several", best_possible: ["Mill Lane, Ashcombe", "Mill Lane, Upper Ashcombe", "Mill Lane, Saxmoor St Peter"].map(choice)}), {status: 422});
		return true;
	})()`)
	p.Type("#from", "Mill Lane\t")
	p.Until("document.querySelectorAll('#from-about .row').length === 3")
	look(t, p, "plan-which")
	browsertest.Eval[bool](p, "window.fetch = window.ask, true")
	p.Click("#from-about .row")
	p.Until("/facing/.test(document.querySelector('#from-about').textContent) && document.querySelector('#from').value === 'Mill Lane, Ashcombe'")

	browsertest.Eval[bool](p, `window.fetch = (at, ...rest) => at === "/api/plan" ? new Promise(() => {}) : window.ask(at, ...rest), document.querySelector("#from").value = "", true`)
	p.Type("#from", "Eastlands Road & Saxmoor Road\r")
	p.Until("/Planning/.test(document.querySelector('#drive').textContent)")
	browsertest.Eval[bool](p, "document.querySelector('#drive').removeAttribute('aria-busy'), true") // that look waits for
	look(t, p, "plan-working")
}

// A server that is gone is told of, wherever one is.
func TestServerStopped(t *testing.T) {
	moreStates(t)
	at, stop := serveUntil(t, func(context.Context, desk.Progress) (*desk.Desk, error) { return desk.Open(must(town())) })
	p := browsertest.Start(t).Open(t, at+wish)
	p.Resize(1280, 800)
	planned(p)
	stop()
	p.Click(".judges li button.small")
	p.Until("/does not answer/.test(document.querySelector('#sheet .trouble')?.textContent)")
	if browsertest.Eval[bool](p, "!document.querySelector('#drive .judges')") {
		t.Error("the plan is gone with the server")
	}
	look(t, p, "stopped-plan")
	p.Click("nav a[href='/look']")
	p.Until("/does not answer/.test(document.querySelector('#sheet .trouble')?.textContent)")
	look(t, p, "stopped-look")
	for _, view := range []string{"today", "more"} {
		p.Click("nav a[href='/" + view + "']")
		p.Until("/does not answer/.test(document.body.innerText)")
	}
	look(t, p, "stopped-more")
}

// Where nothing fits the page says so, and what to do.
func TestNothingFound(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), "/look?exercise=hill-start")
	p.Until("document.querySelector('.plain .row')")
	browsertest.Eval[bool](p, `(async () => { for (let i = 0; i < 40; i++) {
		document.querySelector("#map").dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", bubbles: true}));
		await new Promise(done => setTimeout(done, 10));
	} return true; })()`)
	p.Until("/No road in view/.test(document.querySelector('#sheet').innerText)")
	look(t, p, "look-none")
	p.Click("#whole")
	p.Until("document.querySelector('.plain .row')")
}

// A road with heights shows its rise and fall, in words too.
func TestHeightProfile(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), "/look?exercise=hill-start")
	p.Click(".plain summary.row, .plain button.row")
	p.Click(".plain li[data-kerb] button.row")
	p.Until("document.querySelector('.heights title')")
	browsertest.Eval[bool](p, "document.querySelector('.heights').scrollIntoView(), true")
	look(t, p, "look-heights")
}

// A plan that no longer holds says what is wrong with it.
func TestNoLongerHolds(t *testing.T) {
	moreStates(t)
	ownNotes(t)
	p, _ := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Click("#keep")
	p.Until("document.querySelector('#keep').textContent === 'Kept'")
	kerb := browsertest.Eval[string](p, "new URL(document.querySelector('.practice a').href).searchParams.get('at')")
	d, err := desk.Open(must(town()))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if _, err := d.AddNote(desk.NoteRequest{Kind: "closure", At: kerb, By: "EF", Now: today}); err != nil {
		t.Fatal(err)
	}
	p.Go(browsertest.Eval[string](p, "location.href"))
	p.Until("document.querySelector('#sheet .unmet')")
	look(t, p, "plan-broken")
}

// Everything can be reached with the keyboard alone, and what has the focus shows
// it (WCAG 2.2, 2.1.1, 2.1.2 and 2.4.7).
func TestFocusShows(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), wish)
	planned(p)
	var unseen, seen []string
	for range 120 {
		p.Press("\t")
		at := browsertest.Eval[[]string](p, `(() => {
			const e = document.activeElement, s = getComputedStyle(e);
			return [e === document.body ? "" : e.id || e.getAttribute("href") || e.textContent.slice(0, 20), String(s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2 || e.matches(".skip"))];
		})()`)
		if at[0] == "" || len(seen) > 1 && at[0] == seen[0] {
			break
		}
		seen = append(seen, at[0])
		if at[1] != "true" {
			unseen = append(unseen, at[0])
		}
		if at[0] == "keep" {
			look(t, p, "keyboard-focus")
		}
	}
	if len(unseen) > 0 {
		t.Errorf("these do not show that they have the focus: %q", unseen)
	}
	for _, want := range []string{"#sheet", "/look", "keep", "others", "map"} {
		if !slices.Contains(seen, want) {
			t.Errorf("%q is not reached by the Tab key; reached are %q", want, seen)
		}
	}
}

// Whoever wants less motion gets none: the map is at once where it was sent.
func TestReducedMotion(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), "/plan")
	p.Prefer("reduced-motion", "reduce")
	p.Go(at + "/look?exercise=parallel-park")
	p.Click(".plain summary.row")
	p.Click("details[open] .inner button.row")
	p.Until("document.querySelector('.findings li')")
	browsertest.Eval[bool](p, "loopwright.drawn()")
	off := browsertest.Eval[[]float64](p, `(() => { const r = document.querySelector("#map").getBoundingClientRect(), m = loopwright.mark("asked"); return [m[0] - r.left - r.width / 2, m[1] - r.top - r.height / 2]; })()`)
	if math.Hypot(off[0], off[1]) > 60 { // the middle of a place may lie beside its middle on the list
		t.Errorf("the place asked about lies %v pixels from the middle of the map", off)
	}
	moving := browsertest.Eval[[]string](p, `[...document.querySelectorAll("*")].filter(e => parseFloat(getComputedStyle(e).transitionDuration) > 0 || getComputedStyle(e).animationName !== "none").map(e => e.className || e.tagName)`)
	if len(moving) > 0 {
		t.Errorf("these move: %q", moving)
	}
}

// Map files in the downloads folder are offered.
func TestMapFilesAtHand(t *testing.T) {
	moreStates(t)
	home := t.TempDir()
	t.Setenv("HOME", home)
	if err := os.MkdirAll(filepath.Join(home, "Downloads"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"county.osm.pbf", strings.Repeat("a-county-with-a-very-long-name-", 3) + ".osm.pbf"} {
		if err := os.WriteFile(filepath.Join(home, "Downloads", name), []byte("no map at all"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	at := serve(t, "")
	p := browsertest.Start(t).Open(t, at+"/")
	p.Resize(1280, 800)
	p.Until("document.querySelectorAll('.plain button').length === 2")
	look(t, p, "opening-files")
	p.Click(".plain button")
	p.Until("document.querySelector('.trouble')")
	if said := browsertest.Eval[string](p, "document.querySelector('.trouble').textContent"); !strings.Contains(said, "osm.pbf") {
		t.Errorf("of a file that is no map it says %q", said)
	}
}
