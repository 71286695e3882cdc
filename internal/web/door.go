package web

import (
	"log"
	"net"
	"net/http"
	"net/netip"
	"strings"

	"combline/internal/office"
	"combline/internal/record"
)

// tokenCookie holds what a device was given when it was paired: the one secret of it.
// unlockCookie holds that somebody gave their PIN a short while ago.
const (
	tokenCookie  = "token"
	unlockCookie = "unlock"
)

// officePC is the code of the computer on which the program runs, if the house has
// written it down.
const officePC record.Code = "office-pc"

// own reports whether a browser on this computer asks: it needs no pairing, and shows
// the codes for others. What came through another program may be from anywhere.
func own(r *http.Request) bool {
	for _, sign := range []string{"Forwarded", "X-Forwarded-For", "X-Real-Ip", "Via"} {
		if r.Header.Get(sign) != "" {
			return false
		}
	}
	from, err := netip.ParseAddrPort(r.RemoteAddr)
	return err == nil && from.Addr().Unmap().IsLoopback()
}

// address is from where somebody asks, without the port.
func address(r *http.Request) string {
	if host, _, err := net.SplitHostPort(r.RemoteAddr); err == nil {
		return host
	}
	return r.RemoteAddr
}

// door lets in this computer and paired devices. Others see the page on which they
// pair, and what it is drawn with.
func (s *Server) door(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !own(r) && !s.access.mayAsk(address(r)) {
			w.Header().Set("Retry-After", "10")
			http.Error(w, "Too many requests. Wait a little.", http.StatusTooManyRequests)
			return
		}
		if s.mayCome(r) || r.URL.Path == "/pair" || strings.HasPrefix(r.URL.Path, "/asset/") {
			next.ServeHTTP(w, r)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead || r.URL.Path == "/news" {
			http.Error(w, "This device is not paired with the house.", http.StatusForbidden)
			return
		}
		http.Redirect(w, r, "/pair", http.StatusSeeOther)
	})
}

// mayCome reports whether the pages are open to who asks.
func (s *Server) mayCome(r *http.Request) bool {
	if own(r) {
		return true
	}
	_, ok := s.device(r)
	return ok
}

// device is the paired device that asks, unless it was shut out.
func (s *Server) device(r *http.Request) (code record.Code, ok bool) {
	code, ok = s.access.deviceOf(cookie(r, tokenCookie))
	if !ok {
		return "", false
	}
	s.office.Read(func(h *office.View) { ok = h.DeviceIn(code) })
	if !ok { // it stays out even when the entry that shut it out is corrected
		if err := s.access.forgetDevice(code); err != nil {
			log.Printf("device %s is shut out: %v", code, err)
		}
	}
	return code, ok
}

// writesOn is the device that a fact is written on.
func (s *Server) writesOn(h *office.View, r *http.Request) record.Code {
	if code, ok := s.access.deviceOf(cookie(r, tokenCookie)); ok && h.DeviceIn(code) {
		return code
	}
	if own(r) && h.DeviceIn(officePC) {
		return officePC
	}
	return ""
}
