package web

import (
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
)

// policy is the Content-Security-Policy of the page: its own files and nothing
// else, no script or style in the markup.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard keeps other sites out. A name that some site lets point at this machine
// (DNS rebinding) shows in the Host header; a request that a page of another
// site sends shows in Origin or Sec-Fetch-Site.
func guard(listening net.Addr, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "geolocation=(), camera=(), microphone=()")
		if !ourHost(listening, r.Host) {
			refuse(w, http.StatusMisdirectedRequest, "this address is not ours: use the one that loopwright printed")
			return
		}
		if !ourOrigin(r) {
			refuse(w, http.StatusForbidden, "this request comes from another site")
			return
		}
		if r.Method == http.MethodPost && !strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
			refuse(w, http.StatusUnsupportedMediaType, "send application/json")
			return
		}
		next.ServeHTTP(w, r)
	})
}

// ourHost takes the port listened on, with localhost or an address: of this
// machine itself where we listen only there, else any, since an address can't
// be made to point elsewhere.
func ourHost(listening net.Addr, host string) bool {
	own, err := netip.ParseAddrPort(listening.String())
	if err != nil {
		return false
	}
	name, port, err := net.SplitHostPort(host)
	if err != nil { // no port: the one that browsers leave out
		name, port = strings.Trim(host, "[]"), "80"
	}
	if port != strconv.Itoa(int(own.Port())) {
		return false
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	at, err := netip.ParseAddr(name)
	return err == nil && (at.IsLoopback() || !own.Addr().IsLoopback())
}

func ourOrigin(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+r.Host {
		return false
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return true
	}
	// A link from another site to the page itself is only a visit.
	return r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && !strings.HasPrefix(r.URL.Path, "/api/")
}
