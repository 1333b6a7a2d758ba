package web_test

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"net/url"
	"testing"
	"time"

	"loopwright/internal/browsertest"
	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/web"
)

// surveyed looks at a state, with axe-core at the narrower widths too.
func surveyed(t *testing.T, p *browsertest.Page, state string) {
	t.Helper()
	look(t, p, state)
	for _, width := range []int64{800, 360} {
		p.Resize(width, 800)
		for _, v := range p.Axe() {
			t.Errorf("%s, %d wide: %s", state, width, v)
		}
	}
	p.Resize(1280, 800)
}

// An instructor opens up a new area: the report, the drive, its sheet, the answers
// with a reload in the middle, and what they change.
func TestSurvey(t *testing.T) {
	moreStates(t)
	ownNotes(t)
	p, at := visit(t, browsertest.Start(t), "/more")
	p.Click("a[href='/survey']")
	p.Until("document.querySelector('#around')")
	look(t, p, "survey-empty")
	p.Type("#around", "Merrack Avenue\t")
	p.Until("document.querySelector('#around-about p')")
	browsertest.Eval[bool](p, "document.querySelector('#within').value = '5', true")
	p.Click("#survey")
	p.Until("document.querySelector('.best a')")
	surveyed(t, p, "survey-report")

	// The report's files are the command line's.
	d, err := desk.Open(must(town()))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	around := browsertest.Eval[string](p, "new URLSearchParams(location.search).get('around')")
	want, err := d.Survey(desk.SurveyRequest{Around: around, Within: 5, Now: today})
	if err != nil {
		t.Fatal(err)
	}
	files, err := want.Made()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if got := get(t, browsertest.Eval[string](p, fmt.Sprintf("document.querySelector('a[href$=%q]').href", "/"+f.Name))); !bytes.Equal(got, f.Content) {
			t.Errorf("%s differs from the command line's", f.Name)
		}
	}
	// List and map go together, and say why.
	kerb := browsertest.Eval[string](p, "document.querySelector('.best li').dataset.mark")
	if spot := browsertest.Eval[[]float64](p, fmt.Sprintf("loopwright.mark(%q)", kerb)); len(spot) != 2 {
		t.Errorf("the best place %s is not on the map", kerb)
	}

	browsertest.Eval[bool](p, "document.querySelector('#minutes').value = '45', document.querySelector('#date').value = '2027-03-02', true")
	p.Click("#go-and-see")
	// A drive takes seconds of the processor, and longer than Until waits on a busy machine.
	browsertest.Eval[bool](p, "new Promise(done => { const look = () => document.querySelector('.stops li') ? done(true) : setTimeout(look, 50); look(); })")
	surveyed(t, p, "survey-drive")
	id := browsertest.Eval[string](p, "location.pathname.split('/')[2]")
	drive, err := circuit.Decode(get(t, at+"/files/"+id+"/survey-drive"))
	if err != nil {
		t.Fatal(err)
	}
	if got := get(t, at+"/files/"+id+"/survey-sheet"); !bytes.Contains(got, []byte("Width, paced")) {
		t.Error("the sheet has no width to pace")
	}
	browsertest.Eval[bool](p, "window.printed = 0, new MutationObserver(l => l.forEach(m => m.addedNodes.forEach(n => { if (n.id === 'printer') n.addEventListener('load', () => { n.contentWindow.print = () => {}; window.printed++ }) }))).observe(document.body, {childList: true}), true")
	p.Click("#print-sheet")
	p.Until("window.printed === 1")

	// By keyboard: width, four letters, Enter.
	p.Click("#fill-in")
	p.Until("document.activeElement.id === 'width'")
	p.Type("#by", "AB\t")
	first := browsertest.Eval[string](p, "document.querySelector('.card h2').textContent")
	p.Type("#width", "4.2\r")
	p.Press("bbb")
	p.Press("n")
	p.Until("document.querySelector('.result').textContent.startsWith('Saved')")
	surveyed(t, p, "survey-answer")
	p.Press("\r")
	p.Until(fmt.Sprintf("document.querySelector('.card h2').textContent !== %q", first))
	// By thumb, and reloaded in the middle.
	p.Click("label[for='parked-few']")
	p.Click("label[for='would_do-yes']")
	p.Until("document.querySelector('.result').textContent.startsWith('Saved')")
	browsertest.Eval[bool](p, "location.reload(), true")
	p.Until("document.querySelector('#parked-few')?.checked && document.querySelector('#would_do-yes').checked")
	p.Click("#back")
	p.Until("document.querySelector('#width').value === '4.2' && document.querySelector('#parked-both-sides').checked && document.querySelector('#would_do-no').checked")
	// A second tap takes an answer back.
	p.Click("label[for='traffic-busy']")
	p.Until("!document.querySelector('#traffic-busy').checked && document.querySelector('.result').textContent.startsWith('Saved')")

	// Paces are metres: 7 of 0.75 m.
	browsertest.Eval[bool](p, "fetch('/api/survey/drives/"+id+"').then(r => r.json()).then(s => { location.search = 'road=' + s.stops.flatMap(p => p.roads).find(r => r.paced).order; return true })")
	p.Until("document.querySelector('#width-in')")
	browsertest.Eval[bool](p, "document.querySelector('#width-in').value = 'paces', document.querySelector('#width-in').dispatchEvent(new Event('change')), true")
	p.Type("#width", "7\t")
	p.Until("document.querySelector('#width-about').textContent === 'That is 5.25 m from kerb to kerb.' && document.querySelector('.result').textContent.startsWith('Saved')")
	surveyed(t, p, "survey-paces")

	given := func() []desk.Answer {
		t.Helper()
		a, err := d.AnswersOf(drive)
		if err != nil {
			t.Fatal(err)
		}
		out, err := a.Given()
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	if got := given(); got[0] != (desk.Answer{WidthM: 4.2, Parked: "both sides", View: "blocked", WouldDo: "no"}) || got[1] != (desk.Answer{Parked: "few", WouldDo: "yes"}) {
		t.Errorf("noted are %+v and %+v", got[0], got[1])
	}

	p.Click("#told")
	p.Until("document.querySelector('.changed li')")
	surveyed(t, p, "survey-changed")
	a, err := d.AnswersOf(drive)
	if err != nil {
		t.Fatal(err)
	}
	changed, err := a.Changed()
	if err != nil {
		t.Fatal(err)
	}
	if got := browsertest.Eval[int](p, "document.querySelectorAll('.changed li').length"); got != len(changed) || got == 0 {
		t.Errorf("%d roads are told as changed, want %d", got, len(changed))
	}
	// A drive that was printed or answered is kept, and listed with the plans.
	p.Go(at + "/more")
	p.Click("a[href='/plan/" + id + "']")
	p.Until("document.querySelector('#fill-in')?.textContent === 'Go on filling in'")
	p.Prefer("color-scheme", "dark")
	look(t, p, "dark-survey-drive")
	p.Click("#fill-in")
	p.Until("document.querySelector('.card h2')")
	look(t, p, "dark-survey-answer")
	p.Go(at + "/survey?within=5&around=" + url.QueryEscape(around))
	p.Until("document.querySelector('.best a')")
	look(t, p, "dark-survey-report")
}

// The server stops while answers go in: one sentence, and nothing is lost.
func TestSurveyAnswersOutliveTheServer(t *testing.T) {
	ownNotes(t)
	index := drawn(t, "30mph", "")
	page, err := web.Built()
	if err != nil {
		t.Skipf("%v: the page can't be driven", err)
	}
	kept := desk.KeepIn(t.TempDir())
	d, err := desk.Open(index)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	drive, err := d.SurveyDrive(desk.SurveyRequest{Around: "High Street", Within: 10, Drive: 20, Exercise: "turn-in-the-road", When: "2027-03-02 10:00", Seed: 1, Now: today})
	if err != nil {
		t.Fatal(err)
	}
	plan, err := kept.Save(drive.File)
	if err != nil {
		t.Fatal(err)
	}
	address := "127.0.0.1:0"
	start := func() (stop func()) {
		t.Helper()
		l, err := net.Listen("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		address = l.Addr().String()
		ctx, cancel := context.WithCancel(context.Background())
		ended := make(chan error, 1)
		config := web.Config{Kept: kept, Page: page, Now: func() time.Time { return today }, Open: func(context.Context, desk.Progress) (*desk.Desk, error) { return desk.Open(index) }}
		go func() { ended <- web.Serve(ctx, l, web.New(ctx, config)) }()
		return func() {
			cancel()
			if err := <-ended; err != nil {
				t.Errorf("shutdown: %v", err)
			}
		}
	}
	stop := start()
	p := browsertest.Start(t).Open(t, "http://"+address+"/survey/"+plan.ID+"/answers")
	p.Resize(360, 800)
	p.Until("document.querySelector('#by')")
	p.Type("#by", "AB\t")
	stop()
	p.Click("label[for='parked-few']")
	p.Until("/does not answer.*kept in this browser/.test(document.querySelector('#status.failed')?.textContent)")
	look(t, p, "survey-answer-gone")
	p.Click("label[for='traffic-quiet']")
	stop = start()
	defer func() { stop() }()
	p.Until("document.querySelector('.result').textContent.startsWith('Saved')")
	a, err := d.AnswersOf(drive.Circuit)
	if err != nil {
		t.Fatal(err)
	}
	given, err := a.Given()
	if err != nil || given[0] != (desk.Answer{Parked: "few", Traffic: "quiet"}) {
		t.Errorf("after the server came back %+v is noted, %v", given[0], err)
	}
}
