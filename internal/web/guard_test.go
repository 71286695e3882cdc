package web

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"combline/internal/record"
)

// What the headers must forbid: OWASP Secure Headers Project, HTTP headers cheat sheet
// (as remembered), and that no page needs inline script or style.
func TestHeaders(t *testing.T) {
	x := newHouse(t)
	for _, path := range []string{"/", "/nope", "/asset/combline.css", "/asset/nope"} {
		h := x.do(x.request("GET", path, nil)).Header()
		policy := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
			if !strings.Contains(policy, want) {
				t.Errorf("%s: policy %q lacks %s", path, policy, want)
			}
		}
		if strings.Contains(policy, "unsafe") {
			t.Errorf("%s: policy allows something unsafe: %s", path, policy)
		}
		if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("X-Frame-Options") != "DENY" || h.Get("Referrer-Policy") == "" {
			t.Errorf("%s: headers %v", path, h)
		}
	}
}

func TestForeignOriginCanNotPost(t *testing.T) {
	x := newHouse(t)
	r := x.request("POST", "/look", url.Values{"room": {"dark"}})
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if w := x.do(r); w.Code != http.StatusForbidden {
		t.Errorf("a post from another site got %d", w.Code)
	}
	r = x.request("POST", "/look", url.Values{"room": {"dark"}})
	r.Header.Del("Sec-Fetch-Site")
	r.Header.Set("Origin", "https://elsewhere.example")
	if w := x.do(r); w.Code != http.StatusForbidden {
		t.Errorf("a post with a foreign origin got %d", w.Code)
	}
	if x.cookies[roomCookie] != "" {
		t.Error("a foreign post changed something")
	}
}

func TestForeignNames(t *testing.T) {
	x := newHouse(t)
	for _, c := range []struct {
		host, from string
		lan        bool
		want       int
	}{
		{"localhost:8377", "127.0.0.1:1", false, 200},
		{"[::1]:8377", "[::1]:1", false, 200},
		{"elsewhere.example", "127.0.0.1:1", false, 403}, // a page elsewhere whose name was pointed here
		{"localhost", "192.0.2.7:1", false, 403},         // another device while the house is closed to the network
		{"localhost:8378", "127.0.0.1:1", false, 403},    // another port than the one that listens
		{"192.0.2.5:8377", "127.0.0.1:1", false, 403},    // closed to the network
		{"192.0.2.5:8377", "192.0.2.7:1", true, 200},
		{"192.0.2.5", "192.0.2.7:1", true, 200},
		{"192.0.2.6:8377", "192.0.2.7:1", true, 403}, // not the address on which it came in
		{"honeyhouse", "192.0.2.7:1", true, 200},
		{"honeyhouse.local", "192.0.2.7:1", true, 200},
		{"HoneyHouse.lan:8377", "192.0.2.7:1", true, 200},
		{"honeyhouse.local:80", "192.0.2.7:1", true, 403},
		{"honeyhouse.example", "192.0.2.7:1", true, 403},
		{"otherhouse", "192.0.2.7:1", true, 403},
		{"elsewhere.example", "192.0.2.7:1", true, 403},
		{"localhost", "192.0.2.7:1", true, 403}, // only this computer calls itself so
	} {
		x.s.opts.LAN, x.s.opts.Names = c.lan, []string{"honeyhouse"}
		r := x.request("GET", "/pair", nil)
		if c.want == 200 && !strings.HasPrefix(c.from, "192") {
			r = x.request("GET", "/house", nil) // this computer needs no pairing
		}
		listens := &net.TCPAddr{IP: net.ParseIP("192.0.2.5"), Port: 8377}
		r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, listens))
		r.Host, r.RemoteAddr = c.host, c.from
		if w := x.do(r); w.Code != c.want {
			t.Errorf("host %s from %s, lan %v: %d, want %d", c.host, c.from, c.lan, w.Code, c.want)
		}
	}
}

func TestPathsStayInside(t *testing.T) {
	x := newHouse(t)
	for _, path := range []string{"/asset/../web.go", "/asset/%2e%2e/web.go", "/asset/..%2f..%2fgo.mod", "/asset//etc/passwd", "/asset/built/../../guard.go", "/asset/"} {
		r := x.request("GET", "/", nil)
		r.URL = &url.URL{Path: mustUnescape(path), RawPath: path}
		w := x.do(r)
		if w.Code == http.StatusOK {
			t.Errorf("%s was answered with %q", path, w.Body)
		}
	}
}

func mustUnescape(s string) string {
	u, err := url.PathUnescape(s)
	if err != nil {
		panic(err)
	}
	return u
}

func TestLargeFormIsRefused(t *testing.T) {
	x := newHouse(t)
	w := x.post("/look", url.Values{"back": {strings.Repeat("x", mostBody)}})
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a form of more than %d bytes got %d", mostBody, w.Code)
	}
}

func TestSilentClientIsDropped(t *testing.T) {
	x := newHouse(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	h := x.s.HTTP()
	h.ReadHeaderTimeout = 50 * time.Millisecond // the real one is longer than a test should wait
	go func() { _ = h.Serve(l) }()
	t.Cleanup(func() { _ = h.Close() })
	if h.ReadTimeout != patience || h.MaxHeaderBytes == 0 {
		t.Errorf("read timeout %v, most header bytes %d", h.ReadTimeout, h.MaxHeaderBytes)
	}
	c, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := c.Write([]byte("GET / HTTP/1.1\r\nHost: localhost\r\n")); err != nil {
		t.Fatal(err)
	}
	_ = c.SetReadDeadline(time.Now().Add(5 * time.Second))
	line, _ := bufio.NewReader(c).ReadString('\n')
	if strings.Contains(line, "200") {
		t.Errorf("a request that never ends was answered: %s", line)
	}
}

// A site's name and a drum's number with script in them stay text.
func TestScriptStaysText(t *testing.T) {
	const evil = `<script>alert(1)</script>`
	x := newHouse(t,
		&record.HouseNamed{Name: evil, Rules: "eu"},
		&record.PersonNamed{Person: evil, Roles: evil, Name: evil},
		&record.PlaceNamed{Place: `"><img src=x onerror=alert(1)>`, For: record.WarmingRoom},
		&record.SiteOpened{Site: evil + "1", Country: evil},
		&record.VesselNamed{Vessel: evil + "2", Shape: record.Drum, Place: `"><img src=x onerror=alert(1)>`},
		&record.StockOpened{Filling: evil + "3", Steel: evil + "2", Honey: evil, Country: evil, Mass: record.Grams(290_000)},
	)
	x.as(evil)
	of := url.QueryEscape(evil + "3")
	for _, path := range []string{"/", "/stock", "/stock?q=" + url.QueryEscape(evil), "/trace?of=" + of, "/trace?of=" + url.QueryEscape(evil+"x"), "/people", "/house", "/watch", "/thing?of=" + of} {
		w := x.do(x.request("GET", path, nil))
		for w.Code == http.StatusSeeOther {
			w = x.do(x.request("GET", w.Header().Get("Location"), nil))
		}
		page := w.Body.String()
		if strings.Contains(page, "<script>") || strings.Contains(page, "<img src=x") {
			t.Errorf("%s has script from a name", path)
		}
	}
}

// An open page hears how many facts there are, then of each; how soon is measured by
// BenchmarkPush.
func TestNewsArrives(t *testing.T) {
	x := newHouse(t)
	server := httptest.NewServer(x.s)
	t.Cleanup(func() { x.s.Close(); server.Close() })
	resp, err := http.Get(server.URL + "/news")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	lines := bufio.NewScanner(resp.Body)
	if !lines.Scan() || lines.Text() != "event: clock" {
		t.Fatalf("the stream begins with %q", lines.Text())
	}
	hear := func(want string) {
		t.Helper()
		for lines.Scan() {
			if lines.Text() == want {
				return
			}
		}
		t.Fatalf("%s never came", want)
	}
	hear("data: 0") // what there was before
	x.record(&record.SiteOpened{Site: "Hill", Country: "VM"})
	hear("data: 1")
	for i := range 20 { // however they follow each other, the last one comes
		x.record(&record.SiteOpened{Site: record.Code(fmt.Sprint("Hill ", i)), Country: "VM"})
	}
	hear("data: 21")
}
