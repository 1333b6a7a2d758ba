package web_test

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"loopwright/internal/desk"
	"loopwright/internal/web"
)

var page = fstest.MapFS{"index.html": {Data: []byte("<!doctype html><title>page</title>")}, "main.js": {Data: []byte("//")}}

// handler serves the invented town without a socket, as if on 127.0.0.1:8080.
func handler(t testing.TB, withMap bool) http.Handler {
	t.Helper()
	if !withMap {
		return handlerOf(t, "")
	}
	index, err := town()
	if err != nil {
		t.Fatal(err)
	}
	return handlerOf(t, index)
}

// handlerOf serves an index, or no map yet.
func handlerOf(t testing.TB, index string) http.Handler {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(stop)
	c := web.Config{Kept: desk.KeepIn(t.TempDir()), Page: page, Now: func() time.Time { return today }}
	opened := make(chan struct{})
	if index != "" {
		c.Open = func(context.Context, desk.Progress) (*desk.Desk, error) {
			defer close(opened)
			return desk.Open(index)
		}
	}
	h := web.New(ctx, c).Handler(&net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8080})
	if index != "" {
		<-opened
		for !strings.Contains(send(h, "GET", "/api/map", "", nil).Body.String(), `"state":"open"`) {
			time.Sleep(time.Millisecond)
		}
	}
	return h
}

func send(h http.Handler, method, path, body string, header map[string]string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://127.0.0.1:8080"+path, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for k, v := range header {
		if k == "Host" {
			r.Host = v
			continue
		}
		r.Header.Set(k, v)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// What other sites and other names may not do. The attacks: DNS rebinding (a
// name of the attacker that points here: the Host header tells), and requests
// that a page of another site sends (Fetch Standard: Origin; Fetch Metadata:
// Sec-Fetch-Site).
func TestGuard(t *testing.T) {
	h := handler(t, false)
	for _, c := range []struct {
		name, method, path, body string
		header                   map[string]string
		want                     int
	}{
		{"our address", "GET", "/", "", nil, 200},
		{"our name", "GET", "/", "", map[string]string{"Host": "localhost:8080"}, 200},
		{"IPv6", "GET", "/", "", map[string]string{"Host": "[::1]:8080"}, 200},
		{"a name that points here", "GET", "/", "", map[string]string{"Host": "attacker.example:8080"}, 421},
		{"a name that begins as ours", "GET", "/", "", map[string]string{"Host": "localhost.attacker.example:8080"}, 421},
		{"another port", "GET", "/", "", map[string]string{"Host": "127.0.0.1:8081"}, 421},
		{"another machine's address", "GET", "/", "", map[string]string{"Host": "192.0.2.1:8080"}, 421},
		{"no host", "GET", "/", "", map[string]string{"Host": ""}, 421},
		{"our page asks", "POST", "/api/find", `{"place":"x"}`, map[string]string{"Origin": "http://127.0.0.1:8080", "Sec-Fetch-Site": "same-origin"}, 409},
		{"another site's page asks", "POST", "/api/find", `{"place":"x"}`, map[string]string{"Origin": "http://attacker.example"}, 403},
		{"a page without origin", "POST", "/api/find", `{"place":"x"}`, map[string]string{"Origin": "null"}, 403},
		{"another port's page reads", "GET", "/api/plans", "", map[string]string{"Sec-Fetch-Site": "same-site"}, 403},
		{"an image on another site", "GET", "/tiles/0/12/0/0.mvt", "", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, 403},
		{"a link on another site", "GET", "/look", "", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}, 200},
		{"a form on another site", "POST", "/api/plans", "id=1", map[string]string{"Content-Type": "application/x-www-form-urlencoded"}, 415},
		{"a file that is none of the page's", "GET", "/web.go", "", nil, 404},
		{"a long question", "POST", "/api/find", `{"place":"` + strings.Repeat("x", 70_000) + `"}`, nil, 400},
		{"two questions", "POST", "/api/find", `{"place":"x"}{"place":"y"}`, nil, 400},
		{"an unknown key", "POST", "/api/find", `{"plaice":"x"}`, nil, 400},
		{"a plan's name that is a path", "GET", "/api/plans/..%2f..%2fetc", "", nil, 400},
		{"no map yet", "POST", "/api/look", `{"exercise":"turn-in-the-road"}`, nil, 409},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := send(h, c.method, c.path, c.body, c.header)
			if w.Code != c.want {
				t.Errorf("%s %s = %d, want %d: %s", c.method, c.path, w.Code, c.want, w.Body)
			}
			policy := w.Header().Get("Content-Security-Policy")
			if !strings.HasPrefix(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || w.Header().Get("X-Content-Type-Options") != "nosniff" {
				t.Errorf("headers %v", w.Header())
			}
		})
	}
}

// A plan that nobody waits for any longer is given up: its desk is free again.
func TestPlanIsGivenUp(t *testing.T) {
	h := handler(t, true)
	const question = `{"from":"Eastlands Road & Saxmoor Road","exercise":"turn-in-the-road","minutes":120,"when":"2027-03-04 10:00","unsuitable":4,"suitable":2}`
	for range 50 {
		ctx, stop := context.WithTimeout(context.Background(), time.Millisecond)
		r := httptest.NewRequestWithContext(ctx, "POST", "http://127.0.0.1:8080/api/plan", strings.NewReader(question))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		stop()
		if w.Code != http.StatusServiceUnavailable {
			t.Fatalf("a question that was given up has the answer %d: %s", w.Code, w.Body)
		}
	}
	if w := send(h, "POST", "/api/plan", question, nil); w.Code != http.StatusOK && w.Code != http.StatusUnprocessableEntity {
		t.Errorf("afterwards: %d %s", w.Code, w.Body)
	}
}

// Serve ends when it is told to, though a browser keeps its connection open.
func TestServeEnds(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() {
		ended <- web.Serve(ctx, l, web.New(ctx, web.Config{Kept: desk.KeepIn(t.TempDir()), Page: page, Now: time.Now}))
	}()
	r, err := http.Get("http://" + l.Addr().String() + "/api/map")
	if err != nil {
		t.Fatal(err)
	}
	_, _ = io.Copy(io.Discard, r.Body)
	r.Body.Close()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if _, err := net.Dial("tcp", l.Addr().String()); err == nil {
		t.Error("it still listens")
	}
}
