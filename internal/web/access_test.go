package web

import (
	"bytes"
	"encoding/hex"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// memory is a store for tests.
type memory struct {
	mu   sync.Mutex
	kept map[string][]byte
	full bool
}

func (m *memory) Load(name string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.kept[name], nil
}

func (m *memory) Save(name string, value []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.full {
		return errors.New("the disk is full")
	}
	if m.kept == nil {
		m.kept = map[string][]byte{}
	}
	m.kept[name] = bytes.Clone(value)
	return nil
}

// lanHouse is a house that is open to the network, with two people, a drum on hold and
// a clock for what is not of the house.
func lanHouse(t *testing.T) (x *site, wall *time.Time, kept *memory) {
	t.Helper()
	x = newHouse(t, &record.HouseNamed{Name: "House"}, &record.PersonNamed{Person: "ann", Name: "Ann Lee"}, &record.PersonNamed{Person: "bo"},
		&record.VesselNamed{Vessel: "D1", Shape: record.Drum}, &record.StockOpened{Filling: "D1/1", Steel: "D1", Mass: record.Grams(290_000)},
		&record.HoldSet{Hold: "H-1", Cause: record.CauseWater, Roots: []record.Code{"D1/1"}, Reason: "wet"})
	now := time.Date(2026, time.July, 1, 10, 0, 0, 0, time.UTC)
	wall, kept = &now, &memory{}
	x.s.opts.LAN = true
	x.s.access.store, x.s.access.wall = kept, func() time.Time { return *wall }
	return x, wall, kept
}

// A tablet is a browser elsewhere in the network.
type tablet struct {
	*site
	from string
}

func tabletOf(x *site, from string) *tablet {
	y := *x
	y.cookies = map[string]string{}
	return &tablet{&y, from}
}

func (b *tablet) send(method, path string, form url.Values) *httptest.ResponseRecorder {
	r := b.request(method, path, form)
	r.Host, r.RemoteAddr = "192.0.2.5:8377", b.from
	return b.do(r)
}

var shownCode = regexp.MustCompile(`class="pincode">(\d{4}) (\d{4})<`)

// code shows a pairing code on the office PC.
func (x *site) code() string {
	x.t.Helper()
	x.post("/devices/code", url.Values{})
	m := shownCode.FindStringSubmatch(x.get("/devices"))
	if m == nil {
		x.t.Fatal("the office PC shows no code")
	}
	return m[1] + m[2]
}

func TestUnpairedDeviceSeesOnlyWhereItPairs(t *testing.T) {
	x, _, _ := lanHouse(t)
	b := tabletOf(x, "192.0.2.7:5")
	for _, path := range []string{"/", "/stock", "/trace?of=D1", "/people", "/devices", "/house", "/nope", "/do/hold"} {
		if w := b.send("GET", path, nil); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/pair" {
			t.Errorf("GET %s: %d to %q", path, w.Code, w.Header().Get("Location"))
		}
	}
	for _, path := range []string{"/do/hold?of=D1", "/people", "/devices/code", "/look", "/pin"} {
		if w := b.send("POST", path, url.Values{"person": {"ann"}}); w.Code != http.StatusForbidden {
			t.Errorf("POST %s: %d", path, w.Code)
		}
	}
	if w := b.send("GET", "/news", nil); w.Code != http.StatusForbidden {
		t.Errorf("the news came to a device that is not paired: %d", w.Code)
	}
	page := b.send("GET", "/pair", nil).Body.String()
	for _, secret := range []string{"Ann", "bo", "D1", "H-1"} {
		if strings.Contains(page, ">"+secret) {
			t.Errorf("the pairing page tells %s", secret)
		}
	}
	if w := b.send("POST", "/pair", url.Values{"code": {strings.Repeat("1", mostBody)}}); strings.Contains(w.Body.String(), "House") {
		t.Error("a mistake on the pairing page tells of the house")
	}
	if b.send("GET", "/asset/combline.css", nil).Code != http.StatusOK {
		t.Error("the pairing page has no stylesheet")
	}
}

func TestPairingAndShuttingOut(t *testing.T) {
	x, wall, kept := lanHouse(t)
	b := tabletOf(x, "192.0.2.7:5")
	code := x.code()
	r := b.request("POST", "/pair", url.Values{"code": {code[:4] + " " + code[4:]}, "what": {"tablet by the extractor"}})
	r.Host, r.RemoteAddr = "192.0.2.5:8377", b.from
	w := b.do(r)
	if w.Code != http.StatusSeeOther || b.cookies[tokenCookie] == "" {
		t.Fatalf("pairing: %d, %s", w.Code, w.Body)
	}
	for _, c := range w.Result().Cookies() { // OWASP session management cheat sheet, as remembered
		if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" {
			t.Errorf("cookie %s: %+v", c.Name, c)
		}
	}
	if bytes.Contains(kept.kept[keptDevices], []byte(b.cookies[tokenCookie])) {
		t.Error("the token itself is kept")
	}
	if w := b.send("GET", "/stock", nil); w.Code != http.StatusOK {
		t.Errorf("the paired tablet got %d", w.Code)
	}

	other := tabletOf(x, "192.0.2.8:5")
	if w := other.send("POST", "/pair", url.Values{"code": {code}}); w.Code != http.StatusForbidden {
		t.Errorf("a code was taken twice: %d", w.Code)
	}
	code = x.code()
	*wall = wall.Add(codeFor)
	if w := other.send("POST", "/pair", url.Values{"code": {code}}); w.Code != http.StatusForbidden {
		t.Errorf("a code was taken after its time: %d", w.Code)
	}
	code = x.code()
	x.code()
	if w := other.send("POST", "/pair", url.Values{"code": {code}}); w.Code != http.StatusForbidden {
		t.Errorf("a code was taken after another was shown: %d", w.Code)
	}
	if w := b.send("POST", "/devices/code", url.Values{}); w.Code != http.StatusNotFound {
		t.Errorf("a tablet made a code: %d", w.Code)
	}

	// what the tablet writes bears its name
	b.cookies[personCookie] = "ann"
	form := formOf(t, b.send("GET", "/do/hold?of=D1", nil).Body.String())
	form.Set("0.roots", "D1")
	form.Set("0.cause", "water")
	form.Set("0.reason", "again")
	if w := b.send("POST", "/do/hold?of=D1", form); w.Code != http.StatusSeeOther {
		t.Fatalf("hold from the tablet: %d %s", w.Code, w.Body)
	}
	if e := x.last(); e.Device != "tablet-1" || e.Person != "ann" {
		t.Errorf("the hold is written on %q by %q", e.Device, e.Person)
	}

	// the same devices after a restart
	again, err := New(x.o, Options{LAN: true, Store: kept})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	was := b.site.s
	b.site.s = again
	if w := b.send("GET", "/stock", nil); w.Code != http.StatusOK {
		t.Errorf("after a restart the paired tablet got %d", w.Code)
	}
	b.site.s = was

	x.record(&record.DeviceShutOut{Device: "tablet-1", Reason: "lost"})
	if w := b.send("GET", "/stock", nil); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/pair" {
		t.Errorf("the device that was shut out got %d", w.Code)
	}
	if w := b.send("POST", "/do/hold?of=D1", form); w.Code != http.StatusForbidden {
		t.Errorf("the device that was shut out wrote: %d", w.Code)
	}
}

// 5 tries of 100 million numbers: the chance to hit is 5 in 100 million a code.
func TestGuessingCodes(t *testing.T) {
	x, wall, _ := lanHouse(t)
	code := x.code()
	wrong := "00000000"
	if code == wrong {
		wrong = "00000001"
	}
	b := tabletOf(x, "192.0.2.7:5")
	for i := range codeTries {
		if w := b.send("POST", "/pair", url.Values{"code": {wrong}}); w.Code != http.StatusForbidden {
			t.Fatalf("wrong try %d: %d", i, w.Code)
		}
	}
	if w := b.send("POST", "/pair", url.Values{"code": {code}}); w.Code != http.StatusTooManyRequests {
		t.Errorf("the device may go on guessing: %d", w.Code)
	}
	other := tabletOf(x, "192.0.2.8:5")
	if w := other.send("POST", "/pair", url.Values{"code": {code}}); w.Code != http.StatusForbidden {
		t.Errorf("the code held after %d wrong tries: %d", codeTries, w.Code)
	}
	*wall = wall.Add(2 * firstDelay)
	if w := b.send("POST", "/pair", url.Values{"code": {x.code()}}); w.Code != http.StatusSeeOther {
		t.Errorf("after the wait the right code got %d", w.Code)
	}
	// many devices together
	for i := range 40 {
		tabletOf(x, "192.0.2."+string(rune('0'+i%10))+string(rune('0'+i/10))+":1").send("POST", "/pair", url.Values{"code": {wrong}})
	}
	if w := tabletOf(x, "192.0.2.200:1").send("POST", "/pair", url.Values{"code": {x.code()}}); w.Code != http.StatusTooManyRequests {
		t.Errorf("many devices together may go on guessing: %d", w.Code)
	}
}

var hidden = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`)

// formOf is what a form of a page sends by itself.
func formOf(t *testing.T, page string) url.Values {
	t.Helper()
	at := strings.Index(page, `<form class="entry"`)
	if at < 0 {
		t.Fatalf("no form on the page:\n%s", page)
	}
	form := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(page[at:], -1) {
		form.Add(m[1], unescape(m[2]))
	}
	for _, m := range regexp.MustCompile(`name="(\d+\.[a-z_.0-9]+)" value="([^"]+)"( inputmode| autocomplete)`).FindAllStringSubmatch(page[at:], -1) {
		form.Set(m[1], unescape(m[2]))
	}
	return form
}

func unescape(s string) string {
	return strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&lt;", "<", "&gt;", ">", "&#43;", "+", "&amp;", "&").Replace(s)
}

// last is the newest entry of the record.
func (x *site) last() (e record.Entry) {
	x.t.Helper()
	x.o.Read(func(h *office.View) {
		var err error
		if e, err = h.Fact(h.Facts()); err != nil {
			x.t.Fatal(err)
		}
	})
	return e
}

func TestPINIsAskedAndNothingIsLost(t *testing.T) {
	x, wall, _ := lanHouse(t)
	x.as("ann")
	lift := func(form url.Values) *httptest.ResponseRecorder { return x.post("/test-lift", form) }
	x.s.front = x.s.guard(x.s.door(x.s.page(func(v *visit) error {
		tk := &task{Back: "/holds", Parts: []part{{Kind: record.KindHoldLifted, Fixed: map[string]string{"hold": "H-1", "role": "owner"}, Cells: []cell{{Name: "reason"}}}}}
		e, done, err := v.take(tk)
		if err != nil || done {
			return err
		}
		return v.render("do", doPage{frame: v.frame("", "x"), Entry: e})
	})))
	before := x.facts()
	form := formOf(t, x.do(x.request("GET", "/test-lift", nil)).Body.String())
	form.Set("0.reason", "dried again, 17.4 %")
	page := lift(form).Body.String()
	if !strings.Contains(page, `name="pin.new"`) || !strings.Contains(page, "Nobody in this house has a PIN yet") || !strings.Contains(page, "dried again, 17.4 %") {
		t.Fatalf("no PIN is asked, or what was typed is lost:\n%s", page)
	}
	for _, weak := range []string{"12", "0000", "1234", "4321", "12a4", "1234567890123"} {
		form.Set("pin.new", weak)
		form.Set("pin.again", weak)
		if page := lift(form).Body.String(); x.facts() != before || strings.Contains(page, `value="`+weak+`"`) {
			t.Errorf("PIN %s was taken or is shown", weak)
		}
	}
	form.Set("pin.new", "2580")
	form.Set("pin.again", "2508")
	if lift(form); x.facts() != before {
		t.Error("two PINs that differ were taken")
	}
	form.Set("pin.again", "2580")
	if w := lift(form); w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Fatalf("with a new PIN: %d, %d facts", w.Code, x.facts()-before)
	}
	if w := lift(form); w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Error("the same tap again made another entry or was refused")
	}

	// the PIN holds for a while, then it is asked again
	form = formOf(t, x.do(x.request("GET", "/test-lift", nil)).Body.String())
	*wall = wall.Add(unlockFor)
	x.record(&record.HoldSet{Hold: "H-2", Cause: record.CauseWater, Roots: []record.Code{"D1/1"}, Reason: "wet"})
	form.Set("0.reason", "second look")
	before = x.facts()
	page = lift(form).Body.String()
	if x.facts() != before || !strings.Contains(page, `name="pin"`) {
		t.Fatal("the PIN held longer than it should")
	}
	for range 3 {
		form.Set("pin", "2581")
		if page := lift(form).Body.String(); !strings.Contains(page, "That is not the PIN") {
			t.Error("a wrong PIN is not told")
		}
	}
	form.Set("pin", "2580")
	page = lift(form).Body.String()
	if x.facts() != before || !strings.Contains(page, "Too many wrong tries") {
		t.Error("guessing PINs is not slowed down")
	}
	*wall = wall.Add(firstDelay)
	if w := lift(form); w.Code != http.StatusSeeOther {
		t.Errorf("after the wait the right PIN got %d: %s", w.Code, w.Body)
	}
}

// A wrong try waits twice as long each time, up to an hour; what one device does wrong
// does not shut out the office PC.
func TestDelaysGrow(t *testing.T) {
	x, wall, _ := lanHouse(t)
	a := x.s.access
	l := limit{"test", 3}
	var waits []time.Duration
	for range 12 {
		for a.try(l) == 0 {
		}
		wait := a.try(l)
		waits = append(waits, wait)
		*wall = wall.Add(wait)
	}
	for i, w := range waits {
		if want := min(firstDelay<<min(i, 10), mostDelay); w != want {
			t.Errorf("wait %d is %v, want %v", i, w, want)
		}
	}
	a.right(l)
	if a.try(l) != 0 {
		t.Error("a right try does not clear the wrong ones")
	}
}

func TestManyTriesAtOnceGainNothing(t *testing.T) {
	x, _, _ := lanHouse(t)
	if _, err := x.s.access.setPIN("ann", "", "2580", true); err != nil {
		t.Fatal(err)
	}
	b := tabletOf(x, "192.0.2.7:5")
	b.send("POST", "/pair", url.Values{"code": {x.code()}})
	b.cookies[personCookie] = "ann"
	token := b.cookies[tokenCookie]
	var wait sync.WaitGroup
	var mu sync.Mutex
	looked := 0
	for range 40 {
		wait.Go(func() {
			r := b.request("POST", "/pin", url.Values{"pin": {"1379"}, "pin.new": {"8246"}, "pin.again": {"8246"}})
			r.Host, r.RemoteAddr = "192.0.2.5:8377", b.from
			r.Header.Set("Cookie", tokenCookie+"="+token+"; "+personCookie+"=ann")
			w := httptest.NewRecorder()
			x.s.ServeHTTP(w, r)
			if strings.Contains(w.Body.String(), "That is not the PIN") {
				mu.Lock()
				looked++
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	if looked > 3 {
		t.Errorf("%d PINs were looked at, 3 are free", looked)
	}
}

// Which entries ask for a PIN: issue 4, Build 5, and what would go round it.
func TestWhatNeedsAPIN(t *testing.T) {
	x, _, _ := lanHouse(t)
	x.as("ann")
	v := x.s.visit(httptest.NewRecorder(), x.request("GET", "/", nil))
	draft := func(f record.Fact) bool {
		d := &house.Draft{Person: "ann", Facts: []record.Fact{f}}
		return v.needsPIN(d)
	}
	for _, f := range []record.Fact{&record.Released{}, &record.HoldLifted{}, &record.HoldOverridden{}, &record.TouchedRuled{Ruling: record.TouchedCleared},
		&record.Amended{Fact: 1}, &record.Struck{Fact: 1}, &record.SettingChanged{Setting: "gap.lot"}, &record.PersonLeft{Person: "bo"},
		&record.DeviceShutOut{Device: "tablet-1"}, &record.SettingChanged{Setting: office.LanguageSetting("bo")}} {
		if !draft(f) {
			t.Errorf("%s needs no PIN", f.Kind())
		}
	}
	for _, f := range []record.Fact{&record.HoldSet{Hold: "H-9"}, &record.TouchedRuled{Ruling: record.TouchedHeld}, &record.PersonNamed{Person: "cy"}, &record.HouseNamed{},
		&record.SettingChanged{Setting: office.LanguageSetting("ann")}, &record.Noted{}} {
		if draft(f) {
			t.Errorf("%s needs a PIN", f.Kind())
		}
	}
	x.unlocked()
	for _, f := range []record.Fact{&record.PersonNamed{Person: "cy"}, &record.HouseNamed{}, &record.DeviceNamed{Device: "x"}} {
		if !draft(f) {
			t.Errorf("%s needs no PIN though somebody has one", f.Kind())
		}
	}
}

// What one just wrote can be taken back without a PIN, by the same person on the same
// device within ten minutes; a hold can not.
func TestUndoNeedsNoPIN(t *testing.T) {
	now := time.Date(2026, time.July, 1, 12, 0, 0, 0, time.FixedZone("", 2*60*60))
	clock := &now
	x := newHouseAt(t, func() time.Time { return *clock })
	x.record(&record.PersonNamed{Person: "ann"})
	x.record(&record.PersonNamed{Person: "bo"})
	write := func(f record.Fact) int64 {
		x.recordAs("ann", f)
		return int64(x.facts())
	}
	site, hold := write(&record.SiteOpened{Site: "Hill", Country: "VM"}), write(&record.HoldSet{Hold: "H-1", Cause: record.CauseOther, Roots: []record.Code{"Hill"}, Reason: "x"})
	needs := func(person, device record.Code, fact int64) bool {
		v := x.s.visit(httptest.NewRecorder(), x.request("GET", "/", nil))
		return v.needsPIN(&house.Draft{Person: person, Device: device, Facts: []record.Fact{&record.Struck{Fact: fact}}})
	}
	if needs("ann", "", site) {
		t.Error("undoing one's own last entry needs a PIN")
	}
	if !needs("bo", "", site) || !needs("ann", "tablet-1", site) || !needs("ann", "", hold) || !needs("ann", "", 99) {
		t.Error("somebody else, another device, a hold or no entry at all is undone without a PIN")
	}
	*clock = clock.Add(undoFor + time.Minute)
	if !needs("ann", "", site) {
		t.Error("after ten minutes an entry is struck without a PIN")
	}
}

// Argon2id as published: RFC 9106, section 5.3, has a secret and data of its own,
// which the library's function takes only from inside; so what is held here is that a
// kept PIN is the library's Argon2id at the cost that is kept with it, with a salt of its own.
func TestPINIsKeptAsArgon2id(t *testing.T) {
	x, _, kept := lanHouse(t)
	a := x.s.access
	a.cost = pinCostNow
	for _, who := range []record.Code{"ann", "bo"} {
		if ok, err := a.setPIN(who, "", "2580", true); !ok || err != nil {
			t.Fatal(ok, err)
		}
	}
	p, _ := a.pinOf("ann")
	q, _ := a.pinOf("bo")
	if want := argon2.IDKey([]byte("2580"), p.Salt, 3, 64<<10, 4, 32); !bytes.Equal(p.Digest, want) {
		t.Error("the digest is not Argon2id with 3 passes, 64 MiB and 4 lanes")
	}
	if len(p.Salt) != 16 || bytes.Equal(p.Salt, q.Salt) || bytes.Equal(p.Digest, q.Digest) {
		t.Error("two people's PINs share a salt")
	}
	if !a.isPIN("ANN ", "2580") || a.isPIN("ann", "2581") || a.isPIN("nobody", "2580") || a.isPIN("ann", "") {
		t.Error("a PIN is compared wrongly")
	}
	for name, b := range kept.kept {
		if bytes.Contains(b, []byte("2580")) || bytes.Contains(b, []byte(hex.EncodeToString([]byte("2580")))) {
			t.Errorf("%s holds the PIN itself", name)
		}
	}
}

func TestForgottenPIN(t *testing.T) {
	x, _, _ := lanHouse(t)
	x.as("bo").unlocked()
	x.as("ann").unlocked() // ann chose one too, and her browser is unlocked
	b := tabletOf(x, "192.0.2.7:5")
	b.send("POST", "/pair", url.Values{"code": {x.code()}})
	b.cookies[personCookie] = "ann"
	if w := b.send("POST", "/pin", url.Values{"forgotten": {"bo"}, "pin": {"2580"}}); w.Code != http.StatusNotFound || !x.s.access.hasPIN("bo") {
		t.Errorf("a tablet took a PIN away: %d", w.Code)
	}
	x.post("/pin", url.Values{"forgotten": {"bo"}})
	if x.s.access.hasPIN("bo") {
		t.Error("the PIN was not taken away")
	}
	if x.post("/pin", url.Values{"forgotten": {"ann"}}); !x.s.access.hasPIN("ann") {
		t.Error("somebody took their own PIN away")
	}
}

func TestNothingIsHeldWhenItCanNotBeKept(t *testing.T) {
	x, _, kept := lanHouse(t)
	kept.full = true
	x.as("ann").post("/pin", url.Values{"pin.new": {"2580"}, "pin.again": {"2580"}})
	if x.s.access.hasPIN("ann") {
		t.Error("a PIN counts that will be gone after a restart")
	}
}

func TestDamagedStoreIsTold(t *testing.T) {
	x, _, _ := lanHouse(t)
	_, err := New(x.o, Options{Store: &memory{kept: map[string][]byte{keptPINs: []byte("{")}}})
	if err == nil || !strings.Contains(err.Error(), keptPINs) {
		t.Errorf("a damaged file gave %v", err)
	}
}

func TestTooManyRequests(t *testing.T) {
	x, wall, _ := lanHouse(t)
	b := tabletOf(x, "192.0.2.7:5")
	refused := 0
	for range atOnce + 50 {
		if w := b.send("GET", "/asset/mark.svg", nil); w.Code == http.StatusTooManyRequests {
			refused++
		}
	}
	if refused != 50 {
		t.Errorf("%d of %d requests at once were refused, want 50", refused, atOnce+50)
	}
	if w := tabletOf(x, "192.0.2.8:5").send("GET", "/asset/mark.svg", nil); w.Code != http.StatusOK {
		t.Error("another device pays for it")
	}
	*wall = wall.Add(time.Second)
	if w := b.send("GET", "/asset/mark.svg", nil); w.Code != http.StatusOK {
		t.Error("a second later it is still refused")
	}
}

// A program on this computer that passes on what comes from elsewhere is not this computer.
func TestPassedOnIsNotOwn(t *testing.T) {
	x, _, _ := lanHouse(t)
	r := x.request("GET", "/stock", nil)
	r.Header.Set("X-Forwarded-For", "203.0.113.7")
	if w := x.do(r); w.Code != http.StatusSeeOther {
		t.Errorf("what was passed on got %d", w.Code)
	}
}
