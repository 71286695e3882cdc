package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"combline/internal/office"
	"combline/internal/record"
	"combline/internal/words"
)

// yardPages are the pages of the yard and of the house's care.
var yardPages = []string{"/pulls", "/pulls?day=2026-07-18", "/boxes", "/boxes?of=Low+Cutter", "/boxes?of=nothing", "/yields", "/yields?of=Sallow+Fen&year=2026", "/yields?year=1999", "/yields?year=x",
	"/last-year", "/last-year?day=2027-07-24&of=Sallow+Fen", "/last-year?day=2027-07-24&honey=summer&years=99", "/last-year?day=x&of=nothing", "/stores", "/stores?of=Ambry+Hill&have=34",
	"/stores?frames=8&climate=cold&depth=medium", "/stores?have=x&sugar=-3", "/stores?climate=moon", "/stores?have=1e99", "/start", "/start?part=fill", "/start?part=extract", "/problems", "/problems?of=P-01",
	"/safety", "/release", "/release?of=L07", "/release?of=D041", "/release?of=R1-01", "/release?of=nothing", "/enter/describe?of=Ambry+Hill", "/enter/safety-point", "/enter/safety-point?of=03", "/enter/safety-take"}

// Every page of the yard and of the care speaks every language, whatever it is asked.
func TestYardPages(t *testing.T) {
	x := demoHouse(t)
	for person, lang := range map[string]words.Lang{"owner": words.English, "hand-2": words.Spanish, "hand-3": words.Polish} {
		x.as(person)
		for _, path := range yardPages {
			page := x.get(path)
			if i := strings.Index(page, words.Marker); i >= 0 {
				t.Errorf("%s in %s lacks a text: %s", path, lang, page[i:min(len(page), i+60)])
			}
			if !strings.Contains(page, `<html lang="`+string(lang)+`"`) || strings.Contains(page, ` style="`) {
				t.Errorf("%s: not in %s, or with a style attribute", path, lang)
			}
		}
	}
	x.as("owner")
	for path, want := range map[string]string{"/yields": "40.6", "/boxes": "Sallow Fen", "/release?of=L07": "residues of the mite strips", "/release?of=D041": "breaks the limit",
		"/problems": "thermostat", "/last-year?day=2027-07-24&of=Sallow+Fen": "4\u202f016.0", "/enter/spin?of=extractor+A": "never reach in", "/enter/load?of=Ambry+Hill": "emergency number",
		"/clean": "lock off", "/enter/melter?of=L01": "Never water", "/stores?frames=8&climate=cold": "Nothing may be taken"} {
		if page := x.get(path); !strings.Contains(page, want) && !strings.Contains(strings.ToLower(page), strings.ToLower(want)) {
			t.Errorf("%s does not show %q", path, want)
		}
	}
}

var tickKey = regexp.MustCompile(`name="key" value="([0-9a-f]+)"><input type="hidden" name="of" value="extractor A"><input type="hidden" name="line" value="(start\.[a-z-]+)"`)

// One tap ticks one line and is one fact, however often it comes; what is not in order
// leads to the form of a problem; nobody who is not known ticks anything.
func TestTickBeforeStart(t *testing.T) {
	x := demoHouse(t)
	if w := x.post("/start", url.Values{"key": {newKey()}, "line": {"start.lid"}, "in": {"yes"}}); w.Code != http.StatusSeeOther || !strings.HasPrefix(w.Header().Get("Location"), "/people") {
		t.Fatalf("nobody ticks: %d %s", w.Code, w.Header().Get("Location"))
	}
	x.as("hand-2") // reads Spanish
	page := x.get("/start")
	m := tickKey.FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("no line to tick\n%s", page)
	}
	before := x.facts()
	form := url.Values{"key": {m[1]}, "of": {"extractor A"}, "line": {m[2]}, "in": {"yes"}, "at": {"m3"}}
	for range 2 {
		if w := x.post("/start", form); w.Code != http.StatusSeeOther {
			t.Fatalf("tick: %d", w.Code)
		}
	}
	if n := x.facts() - before; n != 1 {
		t.Fatalf("%d facts", n)
	}
	x.o.Read(func(h *office.View) {
		e, err := h.Fact(h.Facts())
		f, ok := e.Fact.(*record.StartChecked)
		if err != nil || !ok || e.Person != "hand-2" || len(f.Lines) != 1 || f.Lines[0].InOrder != record.Yes {
			t.Errorf("%+v, %v", e.Fact, err)
		}
	})
	x.as("owner") // reads English, and sees it ticked
	if now := x.get("/start"); strings.Count(now, "name=\"line\"") != strings.Count(page, "name=\"line\"") || !strings.Contains(now, "hand-2") {
		t.Error("the tick is not seen in another language")
	}
	w := x.post("/start", url.Values{"key": {newKey()}, "of": {"extractor A"}, "line": {"start.lid"}, "in": {"no"}})
	if to := w.Header().Get("Location"); !strings.HasPrefix(to, "/enter/problem") || !strings.Contains(x.get(to), "Lid closed") {
		t.Errorf("not in order leads to %q", to)
	}
	if !strings.Contains(x.get("/start"), "start: 1 line is not in order") {
		t.Error("what is not in order does not stop the start")
	}
	for _, bad := range []url.Values{{"key": {newKey()}, "line": {"page.care"}, "in": {"yes"}}, {"key": {"x"}, "line": {"start.lid"}, "in": {"yes"}}, {"key": {newKey()}, "line": {"start.lid"}, "in": {"maybe"}},
		{"key": {newKey()}, "line": {"start.lid"}, "in": {"yes"}, "of": {"no such machine"}}} {
		n := x.facts()
		if w := x.post("/start", bad); w.Code == http.StatusSeeOther || x.facts() != n {
			t.Errorf("%v is taken", bad)
		}
	}
}

// The points offered become facts in one tap; the plan is signed with a PIN, and a change
// asks for another signature.
func TestSafetyPlanPages(t *testing.T) {
	x := demoHouse(t)
	x.as("owner").unlocked()
	before := x.facts()
	if w := x.post("/enter/safety-take", url.Values{"key": {newKey()}}); w.Code != http.StatusSeeOther || x.facts()-before != 10 {
		t.Fatalf("taking the points: %d, %d facts\n%s", w.Code, x.facts()-before, w.Body)
	}
	if w := x.post("/enter/safety-sign", url.Values{"key": {newKey()}, "0.by": {"A. Owner"}, "0.review": {"2027-11-30"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("signing: %d\n%s", w.Code, w.Body)
	}
	if page := x.get("/safety"); !strings.Contains(page, "A. Owner signed it") || !strings.Contains(page, "Residues of mite treatments") {
		t.Error("the signed plan does not show")
	}
	if w := x.post("/enter/safety-point?of=03", url.Values{"key": {newKey()}, "0.point": {"03"}, "0.hazard": {"chemical"}, "0.what": {"strips of our own"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("changing: %d\n%s", w.Code, w.Body)
	}
	if page := x.get("/safety"); !strings.Contains(page, "1 point was changed since A. Owner signed") || !strings.Contains(page, "strips of our own") {
		t.Error("the change does not show")
	}
}
