package web

import (
	"net/url"
	"strings"
	"testing"
)

// spaced is a page with plain spaces between figures and units.
func spaced(page string) string {
	return strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(page)
}

// A drum's page has its forecast, the heat bar and what if, and every figure its how;
// all of it without script.
func TestVesselForecast(t *testing.T) {
	x := demoHouse(t)
	page := spaced(x.get("/vessel?of=D025"))
	for _, want := range []string{`id="keep"`, "HMF room used", `class="heatbar"`, `id="how-keep"`, `id="how-room"`, "4.96 · exp(−(141000/R)", "longest best-before",
		`<form action="/vessel#keep" method="get">`, `name="c" value="41"`, `name="h" value="84"`, "limit 40", "best before 30 Nov 2028", "learned from|repeated here", `href="/warm?of=D025"`} {
		found := false
		for one := range strings.SplitSeq(want, "|") {
			found = found || strings.Contains(page, one)
		}
		if !found {
			t.Errorf("the page of D025 lacks %q", want)
		}
	}
	if strings.Contains(page, "ser alt") {
		t.Error("a choice is drawn that nobody made")
	}
	chosen := spaced(x.get("/vessel?of=D025&c=60&h=72"))
	for _, want := range []string{"ser alt", "60 °C: ", "not 9", `name="c" value="61"`, `name="h" value="84"`} {
		if !strings.Contains(chosen, want) {
			t.Errorf("with a choice the page lacks %q", want)
		}
	}
	for _, odd := range []string{"c=NaN&h=-5", "c=900&h=1e99", "c=&h=x"} {
		if page := spaced(x.get("/vessel?of=D025&" + odd)); !strings.Contains(page, ">40 °C<") || !strings.Contains(page, `name="h" value="84"`) {
			t.Errorf("%s: the steppers do not begin anew", odd)
		}
	}
}

// The page of warming asks, answers, refuses in words, and writes a wish down that Today
// shows.
func TestWarmPage(t *testing.T) {
	x := demoHouse(t)
	plan := x.get("/warm?of=D025&by=2026-12-10T07:00&work=yes&settings=1&grain=clear")
	for _, want := range []string{"light the heater on", "over-temperature cut-out", "What to set", "Write it down as wanted", "/do/want-warm?"} {
		if !strings.Contains(plan, want) {
			t.Errorf("the plan lacks %q", want)
		}
	}
	for ask, want := range map[string]string{
		"of=D025&by=2026-11-01T07:00": "now it is 30 Nov 2026", "of=&by=2026-12-10T07:00": "Name the drums", "of=D025&by=soon": "soon",
		"of=D025&by=2026-12-10T07:00&most=300": "no setting for a room", "of=D025&by=2026-12-10T07:00&power=0": "0 kW warms nothing", "of=D999&by=2026-12-10T07:00": "D999 is not known",
	} {
		if page := spaced(x.get("/warm?work=yes&settings=1&" + ask)); !strings.Contains(page, want) || !strings.Contains(page, `role="alert"`) {
			t.Errorf("%s: the page lacks %q", ask, want)
		}
	}
	form := x.get("/do/want-warm?of=D026%3B+D027&day=2026-12-09&clock=07%3A00")
	if !strings.Contains(form, "2026-12-09") || !strings.Contains(form, "D026; D027") {
		t.Error("the wish's form is not filled in")
	}
	x = x.as("owner")
	r := x.post("/do/want-warm", url.Values{"key": {newKey()}, "0.what": {"D026; D027"}, "0.ready": {"2026-12-09"}, "0.clock": {"07:00"}})
	if r.Code != 303 {
		t.Fatalf("the wish is not taken: %d %s", r.Code, r.Body)
	}
	if today := x.get("/"); !strings.Contains(today, "Light the heater for D026 and D027") {
		t.Error("Today does not say what to light")
	}
}
