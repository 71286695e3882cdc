package web

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
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
		most := int64(mostBody)
		if takesPhoto(r) {
			most = mostPhotoBody
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		next.ServeHTTP(w, r)
	})
}

// knows reports whether the request comes from where the house is open to. What was
// asked for must be this machine by its own address or name, and the port on which it
// listens, so that no page elsewhere can reach the house by giving its own name this
// machine's address.
func (s *Server) knows(r *http.Request) bool {
	host, port := strings.ToLower(r.Host), ""
	if h, p, err := net.SplitHostPort(host); err == nil {
		host, port = h, p
	}
	host = strings.Trim(host, "[]")
	at, _ := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr) // nil only without a listener
	if at != nil && port != "" && port != strconv.Itoa(at.Port) {
		return false
	}
	ip, err := netip.ParseAddr(host)
	if host == "localhost" || err == nil && ip.IsLoopback() {
		from, err := netip.ParseAddrPort(r.RemoteAddr)
		return err == nil && from.Addr().Unmap().IsLoopback()
	}
	if !s.opts.LAN {
		return false
	}
	if err == nil {
		return at == nil || ip.Unmap() == at.AddrPort().Addr().Unmap().WithZone("")
	}
	return slices.ContainsFunc(s.opts.Names, func(own string) bool { return isNamed(host, strings.ToLower(own)) })
}

// isNamed reports whether a host is a name of a machine, alone or as small networks
// lengthen it; those endings belong to nobody in the world (RFC 6762, RFC 8375, and
// what routers commonly give out).
func isNamed(host, own string) bool {
	end, ok := strings.CutPrefix(host, own)
	return ok && own != "" && slices.Contains([]string{"", ".local", ".lan", ".home", ".home.arpa", ".internal"}, end)
}
