package web

import (
	"net"
	"net/http"
	"net/netip"
	"strings"
	"time"
)

const (
	// patience is how long one page may take to be asked for and sent: a phone at the
	// far end of the yard is slow, a client that drips bytes is slower.
	patience = 20 * time.Second
	// mostBody is what a form may hold: the longest load sheet is a few kilobytes, a
	// table from CSV some hundred.
	mostBody = 2 << 20
)

// headers forbid what the pages never do: run foreign or inline script, load from
// elsewhere, be framed, send where they came from.
var headers = map[string]string{
	"Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; " +
		"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
	"Referrer-Policy":              "same-origin",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "camera=(), geolocation=(), microphone=()",
}

// guard stands before every page.
func (s *Server) guard(next http.Handler) http.Handler {
	next = http.NewCrossOriginProtection().Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for name, value := range headers {
			w.Header().Set(name, value)
		}
		if !s.knows(r) {
			http.Error(w, "This house is not open to that address.", http.StatusForbidden)
			return
		}
		line := http.NewResponseController(w)
		end := time.Now().Add(patience) // the client's time, not the house's
		_ = line.SetReadDeadline(end)   // not every writer has deadlines; those of net/http do
		_ = line.SetWriteDeadline(end)
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		next.ServeHTTP(w, r)
	})
}

// knows reports whether the request comes from where the house is open to. The name
// that was asked for must be one of this machine, so that no page elsewhere can reach
// the house by giving its own name this machine's address.
func (s *Server) knows(r *http.Request) bool {
	host := r.Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	host = strings.ToLower(strings.Trim(host, "[]"))
	ip, err := netip.ParseAddr(host)
	loopback := host == "localhost" || err == nil && ip.IsLoopback()
	if !s.opts.LAN {
		from, err := netip.ParseAddrPort(r.RemoteAddr)
		return loopback && (err != nil || from.Addr().Unmap().IsLoopback())
	}
	ownName := !strings.Contains(host, ".") || strings.HasSuffix(host, ".local")
	return loopback || ownName || err == nil
}
