package web_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"loopwright/internal/browsertest"
	"loopwright/internal/desk"
	"loopwright/internal/web"
)

var screens = flag.String("screens", "", "folder for a screenshot of every state at three widths")

// town is the invented town's index, made once for all tests.
var town = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "loopwright-web")
	if err != nil {
		return "", err
	}
	d, err := desk.Demo(context.Background(), dir, nil)
	if err != nil {
		return "", err
	}
	return d.Index, nil
})

func TestMain(m *testing.M) {
	own, err := os.MkdirTemp("", "loopwright-data") // never the notes of whoever runs the tests
	if err != nil {
		panic(err)
	}
	os.Setenv("LOOPWRIGHT_DIR", own)
	os.Setenv("TMPDIR", own)
	code := m.Run()
	os.RemoveAll(own)
	os.Exit(code)
}

// today is the clock of the tests.
var today = time.Date(2027, 3, 3, 9, 0, 0, 0, time.UTC)

// serve serves the invented town, or no map yet, and gives the address.
func serve(t testing.TB, index string) string {
	t.Helper()
	if index == "" {
		return serveOpening(t, nil)
	}
	return serveOpening(t, func(context.Context, desk.Progress) (*desk.Desk, error) { return desk.Open(index) })
}

func serveOpening(t testing.TB, open func(context.Context, desk.Progress) (*desk.Desk, error)) string {
	t.Helper()
	at, stop := serveUntil(t, open)
	t.Cleanup(stop)
	return at
}

// serveUntil serves until it is told to stop.
func serveUntil(t testing.TB, open func(context.Context, desk.Progress) (*desk.Desk, error)) (at string, stop func()) {
	t.Helper()
	page, err := web.Built()
	if err != nil {
		t.Skipf("%v: the page can't be driven", err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	config := web.Config{Kept: desk.KeepIn(t.TempDir()), Page: page, Now: func() time.Time { return today }, Open: open}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- web.Serve(ctx, l, web.New(ctx, config)) }()
	return "http://" + l.Addr().String(), func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("shutdown: %v", err)
		}
	}
}

// moreStates leaves a test out of short runs, those with the race detector: it
// looks at more states of the page, and every handler that it asks is asked by a
// test that stays.
func moreStates(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("short run: more states of the page, from handlers that other tests ask")
	}
}

// visit opens the page on the invented town.
func visit(t *testing.T, b *browsertest.Browser, path string) (*browsertest.Page, string) {
	t.Helper()
	index, err := town()
	if err != nil {
		t.Fatal(err)
	}
	at := serve(t, index)
	p := b.Open(t, "about:blank")
	p.Listen()
	p.Resize(1280, 800)
	p.Go(at + path)
	p.Until("document.querySelector('#sheet h1')")
	t.Cleanup(func() {
		for _, asked := range p.Asked() {
			if !strings.HasPrefix(asked, at+"/") && !strings.HasPrefix(asked, "data:") && asked != "about:blank" {
				t.Errorf("the page asked for %s", asked)
			}
		}
		for _, f := range p.Faults() {
			t.Errorf("on the console: %s", f)
		}
	})
	return p, at
}

// look looks at a state: with axe-core, and at three widths where screenshots
// are asked for.
func look(t *testing.T, p *browsertest.Page, state string) {
	t.Helper()
	p.Until("!document.querySelector('#sheet [aria-busy]')") // what is faint then is soon anew
	for _, v := range p.Axe() {
		t.Errorf("%s: %s", state, v)
	}
	for _, width := range []int64{1280, 800, 360} {
		p.Resize(width, 800)
		if over := browsertest.Eval[int](p, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
			t.Errorf("%s: %d pixels wider than a window of %d", state, over, width)
		}
		if *screens == "" {
			continue
		}
		if browsertest.Eval[bool](p, "document.body.dataset.state === 'open'") {
			browsertest.Eval[bool](p, "new Promise(done => setTimeout(done, 400)).then(loopwright.drawn)") // once the map has its new size
		}
		if err := os.WriteFile(filepath.Join(*screens, fmt.Sprintf("%s-%d.png", state, width)), p.Screenshot(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	p.Resize(1280, 800)
}

const wish = "/plan?from=Eastlands+Road+%26+Saxmoor+Road&exercise=turn-in-the-road&minutes=60&when=2027-03-04+10:00"

func planned(p *browsertest.Page) {
	p.Until("document.querySelector('#drive .judges') && !document.querySelector('#drive[aria-busy]')")
}

// Cover tomorrow: where, when, how long and what, then one click.
func TestCoverTomorrow(t *testing.T) {
	p, _ := visit(t, browsertest.Start(t), "/")
	look(t, p, "plan-empty")
	p.Type("#from", "Eastlands Road & Saxmoor Road\t")
	p.Until("document.querySelector('#from-about p')")
	look(t, p, "plan-filled")
	p.Click("#plan")
	planned(p)
	look(t, p, "plan-done")
	if got := browsertest.Eval[string](p, "location.pathname + location.search"); !strings.Contains(got, "exercise=turn-in-the-road") {
		t.Errorf("the plan has the address %s", got)
	}

	// The same bytes as the command line's.
	address := browsertest.Eval[string](p, "document.querySelector('a[href$=\"/circuit\"]').href")
	query := browsertest.Eval[map[string]string](p, "Object.fromEntries(new URLSearchParams(location.search))")
	d, err := desk.Open(must(town()))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	want, err := d.Plan(desk.PlanRequest{From: query["from"], Exercise: query["exercise"], Minutes: 60, When: query["when"], Now: today, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got := get(t, address); !bytes.Equal(got, want.File) {
		t.Error("the file of the plan differs from the command line's")
	}
	file := filepath.Join(t.TempDir(), "lesson.geojson")
	if err := desk.WriteFile(file, want.File); err != nil {
		t.Fatal(err)
	}
	for kind, byCommand := range map[string]func(path, out string) (*desk.HandedOver, error){
		"gpx": desk.GPX, "card": desk.Card, "sheet": desk.Sheet, "learner": desk.LearnerCard, "handback": desk.HandBack, "cover": desk.SendForCover,
	} {
		made, err := byCommand(file, "")
		if err != nil {
			t.Fatal(err)
		}
		if got := get(t, strings.TrimSuffix(address, "circuit")+kind); !bytes.Equal(got, made.Content) {
			t.Errorf("%s differs from the command line's", kind)
		}
	}

	// Print the card: one click.
	browsertest.Eval[bool](p, "window.printed = 0, new MutationObserver(l => l.forEach(m => m.addedNodes.forEach(n => { if (n.id === 'printer') n.addEventListener('load', () => { n.contentWindow.print = () => {}; window.printed++ }) }))).observe(document.body, {childList: true}), true")
	p.Click("#drive .actions button.first")
	p.Until("window.printed === 1")
}

func must(s string, err error) string {
	if err != nil {
		panic(err)
	}
	return s
}

func get(t *testing.T, at string) []byte {
	t.Helper()
	r, err := http.Get(at)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var b bytes.Buffer
	if _, err := b.ReadFrom(r.Body); err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s, %v", at, r.Status, err)
	}
	return b.Bytes()
}

// The last plan on a new day: two clicks.
func TestLastPlanOnANewDay(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Go(at + "/")
	p.Until("document.querySelector('#last')")
	p.Click("#last")
	p.Click("#plan")
	planned(p)
	tomorrow := time.Now().AddDate(0, 0, 1).Format("2006-01-02")
	if got := browsertest.Eval[string](p, "new URLSearchParams(location.search).get('when')"); got != tomorrow+" 10:00" {
		t.Errorf("planned for %q, want tomorrow (%s) at the same time", got, tomorrow)
	}
}

// "Not that road", and another practice place: one click each, in the sheet or on
// the map. Back and forward go from plan to plan.
func TestChangeThePlan(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), wish)
	planned(p)
	first := browsertest.Eval[string](p, "document.querySelector('.judges strong').textContent")
	address := browsertest.Eval[string](p, "location.href")
	p.Click(".judges li button.small")
	p.Until("document.querySelector('.left-out') && location.search.includes('without')")
	planned(p)
	if again := browsertest.Eval[bool](p, fmt.Sprintf("[...document.querySelectorAll('.judges strong')].some(e => e.textContent === %q)", first)); again {
		t.Errorf("%s was left out and is still judged", first)
	}
	browsertest.Eval[bool](p, "history.back(), true")
	p.Until(fmt.Sprintf("location.href === %q && document.querySelector('.judges strong')?.textContent === %q", address, first))
	browsertest.Eval[bool](p, "history.forward(), true")
	p.Until("location.search.includes('without')")
	planned(p)
	look(t, p, "plan-without")

	other := browsertest.Eval[string](p, "document.querySelector('.backups strong').textContent")
	p.Click(".backups li button.small")
	p.Until(fmt.Sprintf("document.querySelector('.practice strong').textContent === %q", other))
	planned(p)

	// The same on the map: a click on the letter of a road to judge.
	browsertest.Eval[bool](p, "loopwright.drawn()")
	judged := browsertest.Eval[string](p, "document.querySelector('.judges strong').textContent")
	spot := browsertest.Eval[[]float64](p, "loopwright.mark('judge-A')")
	p.ClickAt(spot[0], spot[1])
	p.Until(fmt.Sprintf("![...document.querySelectorAll('.judges strong')].some(e => e.textContent === %q)", judged))
	planned(p)
}

// A plan is kept, listed, reopened by its address, and deleted.
func TestKeepAPlan(t *testing.T) {
	p, at := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Click("#keep")
	p.Until("/^\\/plan\\/[0-9a-f]{16}$/.test(location.pathname)")
	address := browsertest.Eval[string](p, "location.href")
	roads := browsertest.Eval[string](p, "document.querySelector('.judges').innerText")
	p.Go(at + "/more")
	p.Until("document.querySelector('.rows a')")
	look(t, p, "more")
	p.Click(".rows a")
	planned(p)
	if got := browsertest.Eval[string](p, "location.href"); got != address {
		t.Errorf("reopened at %s, want %s", got, address)
	}
	if got := browsertest.Eval[string](p, "document.querySelector('.judges').innerText"); got != roads {
		t.Errorf("reopened with %s, want %s", got, roads)
	}
	p.Click("nav a[href='/more']")
	p.Click(".rows button")
	p.Until("!document.querySelector('.rows')")
}

// Look, and ask why.
func TestLookAndAsk(t *testing.T) {
	p, _ := visit(t, browsertest.Start(t), "/look?exercise=parallel-park")
	p.Until("document.querySelector('.plain .row')")
	look(t, p, "look")
	browsertest.Eval[bool](p, "loopwright.drawn()")
	time.Sleep(300 * time.Millisecond) // the list follows the map
	p.Until("!document.querySelector('#sheet [aria-busy]')")
	p.Click("summary.row")
	p.Click("details[open] .inner button.row")
	p.Until("document.querySelector('.findings li')")
	look(t, p, "look-why")
	if got := browsertest.Eval[string](p, "location.search"); !strings.Contains(got, "at=w") {
		t.Errorf("the answer has the address %s", got)
	}
	if got := browsertest.Eval[bool](p, "/\\d\\s*%/.test(document.querySelector('.why').innerText.replace(/about [^.]*%/g, ''))"); got {
		t.Errorf("a chance is shown: %s", browsertest.Eval[string](p, "document.querySelector('.why').innerText"))
	}
}

// In the dark every state keeps its contrast too.
func TestDark(t *testing.T) {
	moreStates(t)
	p, at := visit(t, browsertest.Start(t), wish)
	planned(p)
	p.Prefer("color-scheme", "dark")
	look(t, p, "dark-plan")
	p.Go(at + "/look?exercise=parallel-park")
	p.Until("document.querySelector('.plain .row')")
	look(t, p, "dark-look")
}

// What an area offers.
func TestArea(t *testing.T) {
	p, _ := visit(t, browsertest.Start(t), "/area")
	p.Type("#near", "Eastlands Road & Saxmoor Road\r")
	p.Until("document.querySelector('tbody td')")
	look(t, p, "area")
	p.Click("nav a[href='/today']")
	p.Until("document.title.startsWith('Today')")
	look(t, p, "today")
}

// A plan by keyboard alone.
func TestKeyboard(t *testing.T) {
	moreStates(t)
	p, _ := visit(t, browsertest.Start(t), "/")
	p.Until("document.querySelector('#from')")
	for range 40 {
		if browsertest.Eval[string](p, "document.activeElement.id") == "from" {
			break
		}
		p.Press("\t")
	}
	p.Press("Eastlands Road & Saxmoor Road\r")
	planned(p)
}

// With no map the page offers one.
func TestOpenAMap(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	at := serve(t, "")
	p := browsertest.Start(t).Open(t, at+"/")
	p.Resize(1280, 800)
	p.Until("document.querySelector('#demo')")
	look(t, p, "opening")
	p.Type("#path", "/nowhere/town.osm.pbf\r")
	p.Until("document.querySelector('.trouble')")
	look(t, p, "opening-failed")
	p.Click("#demo")
	p.Until("document.querySelector('#from')")
}

// While a map is read the page says how far it has come, and then shows it.
func TestReadingAMap(t *testing.T) {
	index, err := town()
	if err != nil {
		t.Fatal(err)
	}
	ready := make(chan struct{})
	at := serveOpening(t, func(_ context.Context, tell desk.Progress) (*desk.Desk, error) {
		tell("reading the roads", 3, 7)
		<-ready
		return desk.Open(index)
	})
	p := browsertest.Start(t).Open(t, at+"/")
	p.Resize(1280, 800)
	p.Until("document.querySelector('progress')?.value === 3 && /Reading the roads/.test(document.querySelector('#sheet').innerText)")
	look(t, p, "opening-progress")
	close(ready)
	p.Until("document.querySelector('#from')")
}
