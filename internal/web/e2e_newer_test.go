package web_test

import (
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/internal/browsertest"
	"loopwright/internal/desk"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// drawn is the index of a few roads.
func drawn(t *testing.T, limit, more string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "drawn.idx")
	drawing := "A 0,0\nB 400,0\nC 800,0\nD 400,300\nE 800,300\nF 600,-300\nA-B Mill Lane residential " + limit + " width=9 lit parking=no\n" +
		"B-C High Street tertiary 30mph\nB-D North Road residential 30mph width=7\nC-E Park Road residential 30mph\nD-E Church Street residential 30mph\n"
	if err := roadnet.Write(path, roadnettest.Parse(t, drawing+more)); err != nil {
		t.Fatal(err)
	}
	return path
}

// What a newer map changes: the changes, the roads judged otherwise, the plans.
func TestNewerMap(t *testing.T) {
	ownNotes(t)
	older, newer := drawn(t, "30mph", ""), drawn(t, "60mph", "B-F New Road residential")
	at := serve(t, newer)
	keepDrive(t, at, older)
	p := browsertest.Start(t).Open(t, at+"/changes")
	p.Listen()
	p.Resize(1280, 800)
	p.Until("document.querySelector('#since')")
	p.Click("#compare")
	p.Until("document.querySelector('.trouble')")
	p.Type("#since", filepath.Join(t.TempDir(), "none.idx"))
	p.Click("#compare")
	p.Until("/there is no such file/.test(document.querySelector('.trouble')?.textContent)")
	browsertest.Eval[bool](p, fmt.Sprintf("document.querySelector('#since').value = %q, true", older))
	p.Click("#compare")
	p.Until("document.querySelector('.rows li')")
	surveyed(t, p, "changes")
	said := browsertest.Eval[string](p, "document.querySelector('#sheet').innerText")
	for _, want := range []string{"Speed limit: 1", "Mill Lane: speed limit was 30 mph, now 60 mph", "New Road: new road, residential", "Roads judged otherwise", "1 plan kept, 1 touched"} {
		if !strings.Contains(said, want) {
			t.Errorf("the page does not say %q: %s", want, said)
		}
	}
	p.Click("a[href^='/plan/']")
	p.Until("location.pathname.startsWith('/survey/') && document.querySelector('#fill-in')")
	for _, f := range p.Faults() {
		t.Errorf("on the console: %s", f)
	}
}

// keepDrive keeps a survey drive of another index at a server.
func keepDrive(t *testing.T, at, index string) {
	t.Helper()
	d, err := desk.Open(index)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	drive, err := d.SurveyDrive(desk.SurveyRequest{Around: "High Street", Within: 10, Drive: 20, Exercise: "turn-in-the-road", When: "2027-03-02 10:00", Seed: 1, Now: today})
	if err != nil {
		t.Fatal(err)
	}
	post(t, at+"/api/plans/received", string(drive.File))
	post(t, at+"/api/plans", `{"id":"`+desk.PlanID(drive.File)+`"}`)
}

func post(t *testing.T, at, body string) {
	t.Helper()
	r, err := http.Post(at, "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s", at, r.Status)
	}
}
