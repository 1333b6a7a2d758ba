package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"loopwright/internal/desk"
)

// A place is named once and then understood wherever a place is; the places near
// it are those of the command line.
func TestPlacesNearANamedOne(t *testing.T) {
	ownNotes(t)
	index := drawn(t, "30mph", "")
	h := handlerOf(t, index)
	d, err := desk.Open(index)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	want, err := d.Places(desk.PlacesRequest{Exercise: "turn-in-the-road", Near: "High Street", Within: 10, Now: today})
	if err != nil {
		t.Fatal(err)
	}
	if len(want.Places) == 0 {
		t.Fatal("no place near High Street to compare")
	}
	const near = `{"exercise":"turn-in-the-road","near":"Home of AB","within_minutes":10}`
	if w := send(h, "POST", "/api/places", near, nil); w.Code == 200 {
		t.Errorf("a name that nobody gave was understood: %s", w.Body)
	}
	named := fmt.Sprintf(`{"name":"Home of AB","kerb":%q}`, "High Street")
	if w := send(h, "POST", "/api/names", named, nil); w.Code != 200 || !strings.Contains(w.Body.String(), "Home of AB") {
		t.Fatalf("naming = %d %s", w.Code, w.Body)
	}
	file, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if w := send(h, "POST", "/api/places", near, nil); !bytes.Equal(bytes.TrimSpace(w.Body.Bytes()), file) {
		t.Errorf("places near a named one = %d %.300s, want %.300s", w.Code, w.Body, file)
	}
	if w := send(h, "POST", "/api/names", `{"name":"home of ab","kerb":""}`, nil); w.Code != 200 || strings.Contains(w.Body.String(), "AB") {
		t.Errorf("taking the name away = %d %s", w.Code, w.Body)
	}
	if w := send(h, "POST", "/api/names", `{"name":" ","kerb":"High Street"}`, nil); w.Code == 200 {
		t.Errorf("a place without a name was kept: %s", w.Body)
	}
}
