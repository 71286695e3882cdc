package web

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"combline/internal/chain"
	"combline/internal/demo"
	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"
)

// A site is a house with its pages, as a browser on this machine sees them.
type site struct {
	t       testing.TB
	o       *office.Office
	s       *Server
	cookies map[string]string
	book    *book
}

// demoHouse is the demo house at the end of its season.
func demoHouse(t testing.TB) *site {
	t.Helper()
	clock := &demo.Clock{}
	o, err := office.Open(context.Background(), &ledger.Memory{}, clock.Now, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(o.Close)
	if err := demo.Write(context.Background(), o, clock); err != nil {
		t.Fatal(err)
	}
	return pagesOf(t, o)
}

// newHouse is a house of which nothing is known but the facts given, at noon of
// 1 July 2026.
func newHouse(t *testing.T, facts ...record.Fact) *site {
	t.Helper()
	noon := time.Date(2026, time.July, 1, 12, 0, 0, 0, time.FixedZone("", 2*60*60))
	s := newHouseAt(t, func() time.Time { return noon })
	for i, f := range facts {
		d := house.Draft{Key: record.Key{1, byte(i)}, When: record.At(noon), Facts: []record.Fact{f}}
		if _, err := s.o.Submit(context.Background(), d); err != nil {
			t.Fatalf("fact %d, %s: %v", i, f.Kind(), err)
		}
	}
	return s
}

// newHouseAt is a house of which nothing is known, with a clock of its own.
func newHouseAt(t *testing.T, now func() time.Time) *site {
	t.Helper()
	b := &book{}
	o, err := office.Open(context.Background(), b, now, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(o.Close)
	s := pagesOf(t, o)
	s.book = b
	return s
}

func pagesOf(t testing.TB, o *office.Office) *site {
	t.Helper()
	s, err := New(o, Options{Version: "test", Folder: "demo", Labels: printer()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	s.access.cost = pinCost{Passes: 1, MemoryKiB: 64, Threads: 1} // what a PIN costs is not what most tests ask
	return &site{t: t, o: o, s: s, cookies: map[string]string{}}
}

// as chooses who sits at the tablet.
func (x *site) as(person string) *site {
	x.cookies[personCookie] = person
	return x
}

func (x *site) request(method, path string, form url.Values) *http.Request {
	var body *strings.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	} else {
		body = strings.NewReader("")
	}
	r := httptest.NewRequest(method, path, body)
	r.Host, r.RemoteAddr = "localhost:8377", "127.0.0.1:50000"
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	for name, value := range x.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: url.QueryEscape(value)})
	}
	return r
}

func (x *site) do(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	x.s.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		value, _ := url.QueryUnescape(c.Value)
		x.cookies[c.Name] = value
	}
	return w
}

// get reads a page that must be there.
func (x *site) get(path string) string {
	x.t.Helper()
	w := x.do(x.request("GET", path, nil))
	for w.Code == http.StatusSeeOther {
		w = x.do(x.request("GET", w.Header().Get("Location"), nil))
	}
	if w.Code != http.StatusOK {
		x.t.Fatalf("GET %s: %d\n%s", path, w.Code, w.Body)
	}
	return w.Body.String()
}

// post sends a form.
func (x *site) post(path string, form url.Values) *httptest.ResponseRecorder {
	x.t.Helper()
	return x.do(x.request("POST", path, form))
}

var keyNo uint16

// record writes a fact past the pages.
func (x *site) record(f record.Fact) { x.t.Helper(); x.recordAs("", f) }

func (x *site) recordAs(person record.Code, f record.Fact) {
	x.t.Helper()
	keyNo++
	d := house.Draft{Person: person, Key: record.Key{2, byte(keyNo), byte(keyNo >> 8)}, When: record.At(x.o.Now()), Facts: []record.Fact{f}}
	if _, err := x.o.Submit(context.Background(), d); err != nil {
		x.t.Fatal(err)
	}
}

// unlocked has the person at the tablet choose a PIN, so that what needs one is
// recorded for a while.
func (x *site) unlocked() *site {
	x.t.Helper()
	if w := x.post("/pin", url.Values{"pin.new": {"2580"}, "pin.again": {"2580"}}); w.Code != http.StatusSeeOther {
		x.t.Fatalf("choosing a PIN: %d\n%s", w.Code, w.Body)
	}
	return x
}

// facts is how many facts the record holds.
func (x *site) facts() (n uint64) {
	x.o.Read(func(v *office.View) { n = v.Facts() })
	return n
}

func newRecorder() *httptest.ResponseRecorder { return httptest.NewRecorder() }

// A book is a ledger in memory whose disk can be full.
type book struct {
	ledger.Memory
	full atomic.Bool
}

func (b *book) Append(ctx context.Context, head chain.Head, bodies ...[]byte) (chain.Head, error) {
	if b.full.Load() {
		return chain.Head{}, errors.New("no space left on the disk")
	}
	return b.Memory.Append(ctx, head, bodies...)
}
