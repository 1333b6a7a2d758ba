package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"loopwright/internal/desk"
)

// The API answers as the command line, and refuses what it can't read.
func TestSurveyAPI(t *testing.T) {
	ownNotes(t)
	index := drawn(t, "30mph", "")
	h := handlerOf(t, index)
	d, err := desk.Open(index)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	ask := func(method, path, body string, want int, into any) {
		t.Helper()
		w := send(h, method, path, body, nil)
		if w.Code != want {
			t.Fatalf("%s %s %s = %d %s, want %d", method, path, body, w.Code, w.Body, want)
		}
		if into != nil {
			if err := json.Unmarshal(w.Body.Bytes(), into); err != nil {
				t.Fatal(err)
			}
		}
	}
	r := desk.SurveyRequest{Around: "High Street", Within: 10, Drive: 20, Exercise: "turn-in-the-road", When: "2027-03-04 10:00", Seed: 1, Now: today}

	var report struct {
		ID     string
		Report json.RawMessage
	}
	ask("POST", "/api/survey", `{"around":"High Street","within_minutes":10}`, 200, &report)
	alone := r
	alone.Drive, alone.When = 0, ""
	found, err := d.Survey(alone)
	if err != nil {
		t.Fatal(err)
	}
	files, err := found.Made()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		w := send(h, "GET", "/surveys/"+report.ID+"/"+f.Name, "", nil)
		if !bytes.Equal(w.Body.Bytes(), f.Content) || !strings.Contains(w.Header().Get("Content-Disposition"), f.Name) {
			t.Errorf("%s differs from the command line's: %d %v", f.Name, w.Code, w.Header())
		}
	}

	var plan struct {
		ID      string
		Circuit json.RawMessage
	}
	ask("POST", "/api/survey/drive", `{"around":"High Street","within_minutes":10,"minutes":20,"exercise":"turn-in-the-road","when":"2027-03-04 10:00"}`, 200, &plan)
	drive, err := d.SurveyDrive(r)
	if err != nil {
		t.Fatal(err)
	}
	if w := send(h, "GET", "/files/"+plan.ID+"/survey-drive", "", nil); !bytes.Equal(w.Body.Bytes(), drive.File) {
		t.Errorf("the drive differs from the command line's: %d", w.Code)
	}
	for kind, want := range map[string]int{"survey-sheet": 200, "gpx": 200, "cover": 200, "card": 404, "sheet": 404, "handback": 404} {
		if w := send(h, "GET", "/files/"+plan.ID+"/"+kind, "", nil); w.Code != want {
			t.Errorf("%s of a survey drive = %d, want %d", kind, w.Code, want)
		}
	}

	drives := "/api/survey/drives/" + plan.ID
	var entered desk.Entered
	ask("POST", drives, `{"road":1,"answer":{"width_m":4.2,"parked":"both sides"},"by":"JB"}`, 200, &entered)
	if entered.Answer != (desk.Answer{WidthM: 4.2, Parked: "both sides"}) {
		t.Errorf("entered %+v", entered)
	}
	var stops desk.SurveyStops
	ask("GET", drives, "", 200, &stops)
	if stops.Answered != 1 || stops.Stops[0].Roads[0].Answer != entered.Answer {
		t.Errorf("the drive has %+v", stops)
	}
	var changed struct{ Changed []json.RawMessage }
	ask("GET", drives+"/changed", "", 200, &changed)
	if len(changed.Changed) == 0 {
		t.Error("a width of 4.2 m with cars on both sides changes nothing")
	}
	var kept struct{ Plans []desk.KeptPlan }
	ask("GET", "/api/plans", "", 200, &kept)
	if len(kept.Plans) != 1 || kept.Plans[0].ID != plan.ID {
		t.Errorf("a drive that was answered is not kept: %+v", kept)
	}

	for _, c := range []struct {
		method, path, body string
		want               int
	}{
		{"POST", "/api/survey", `{"around":"High Street","within_minutes":0}`, http.StatusBadRequest},
		{"POST", "/api/survey", `{"around":"High Street","within_minutes":1e9}`, http.StatusBadRequest},
		{"POST", "/api/survey/drive", `{"around":"High Street","within_minutes":10,"minutes":1e9,"exercise":"turn-in-the-road"}`, http.StatusBadRequest},
		{"POST", "/api/survey/drive", `{"around":"High Street","within_minutes":10,"minutes":20,"exercise":"flying"}`, http.StatusBadRequest},
		{"POST", drives, `{"road":0,"answer":{"parked":"few"},"by":"JB"}`, http.StatusBadRequest},
		{"POST", drives, `{"road":1,"answer":{"parked":"plenty"},"by":"JB"}`, http.StatusBadRequest},
		{"POST", drives, `{"road":1,"answer":{"parked":"few"},"by":"<b>"}`, http.StatusBadRequest},
		{"POST", drives, `{"road":1,"answer":{"colour":"red"},"by":"JB"}`, http.StatusBadRequest},
		{"GET", "/api/survey/drives/..%2f..%2fnotes", "", http.StatusBadRequest},
		{"GET", "/api/survey/drives/0123456789abcdef", "", http.StatusUnprocessableEntity},
		{"GET", "/surveys/" + report.ID + "/..%2f" + report.ID, "", http.StatusNotFound},
		{"POST", "/api/changes", `{"since":"none.idx"}`, http.StatusUnprocessableEntity},
		{"POST", "/api/changes", fmt.Sprintf(`{"since":%q,"near":"Nowhere"}`, index), http.StatusBadRequest},
	} {
		if w := send(h, c.method, c.path, c.body, nil); w.Code != c.want || !strings.Contains(w.Body.String(), `"error":"`) {
			t.Errorf("%s %s %s = %d %s, want %d and a sentence", c.method, c.path, c.body, w.Code, w.Body, c.want)
		}
	}
}
