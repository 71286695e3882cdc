package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// fillPages is each page of filling, in the demo house.
var fillPages = []string{"/fill", "/fill?of=R3", "/fill?of=R2", "/fill?of=R5", "/fill?of=nothing", "/fill/check?of=R3", "/fill/check?of=R5&nozzles=6", "/enter/run-start", "/enter/filler?of=R3", "/enter/filler?of=R3&target=340.8",
	"/enter/adjust?of=R3&nozzle=3", "/enter/filled?of=R3", "/enter/glass?of=R3", "/enter/seals?of=R5", "/enter/kept-jars?of=R3", "/enter/reconcile?of=R3", "/enter/run-end?of=R4", "/enter/hold-jars?of=R3&nozzle=3"}

func TestFillSpeaksEveryLanguage(t *testing.T) {
	x := demoHouse(t)
	for person, lang := range map[string]words.Lang{"owner": words.English, "hand-2": words.Spanish, "hand-3": words.Polish} {
		x.as(person)
		for _, path := range fillPages {
			page := x.get(path)
			if !strings.Contains(page, `<html lang="`+string(lang)+`"`) {
				t.Errorf("%s is not in %s", path, lang)
			}
			if i := strings.Index(page, words.Marker); i >= 0 {
				t.Errorf("%s in %s lacks a text: %s", path, lang, page[i:min(len(page), i+60)])
			}
			if strings.Contains(page, ` style="`) {
				t.Errorf("%s has a style attribute, which the policy forbids", path)
			}
		}
	}
}

// Scenario problem D on the page: the verdicts, the chart that alarms, the jars at risk.
func TestFillPageOfTheDriftingNozzle(t *testing.T) {
	page := demoHouse(t).as("owner").get("/fill?of=R3")
	for _, want := range []string{"340.87", "Nozzle 3 gives less: 337.0", "check 15", "688 of nozzle 3", "R3-14, R3-15, R3-16, R3-17 and R3-18", "mean under its line", `class="pt bad"`, "338.64", "fails both", ">340.8 ", "after sorting", `id="how-target"`} {
		if !strings.Contains(strings.ReplaceAll(page, "\u00a0", " "), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// fillingHouse is a house in which run R1 began an hour ago.
func fillingHouse(t *testing.T) *site {
	g := func(n int64, d uint8) record.Weight {
		return record.Weight{Figure: quantity.Figure{Mantissa: n, Decimals: d, Unit: quantity.G}}
	}
	now := time.Date(2026, time.November, 3, 7, 0, 0, 0, time.UTC)
	at := &now
	x := newHouseAt(t, func() time.Time { return *at })
	for _, f := range []record.Fact{&record.HouseNamed{Name: "Filling", Rules: "eu", Language: "en", Units: "metric"},
		&record.VesselNamed{Vessel: "T1", Shape: record.Tank}, &record.MachineNamed{Machine: "F1", What: "piston filler", Nozzles: 2},
		&record.InstrumentNamed{Instrument: "B1", What: "bench scale", Division: quantity.Figure{Mantissa: 1, Decimals: 1, Unit: quantity.G}},
		&record.ProductNamed{Product: "J340", What: record.Jar, Label: g(340, 0)},
		&record.RunStarted{Run: "R1", Product: "J340", From: []record.Code{"T1"}, Machines: []record.Code{"F1"}, Target: g(3413, 1)}} {
		x.record(f)
	}
	return x
}

// check is the grid as somebody fills it in.
func check(key string, jars ...string) url.Values {
	form := url.Values{"key": {key}, "0.scale": {"B1"}}
	for i, j := range jars {
		form.Set(fieldAt(0, weightCell(i/5+1, i%5+1)), j)
	}
	return form
}

// Five jars of each nozzle, some left out, sent twice, make one fact; a slip of ten is
// asked about.
func TestFiveJarsOfEachNozzle(t *testing.T) {
	x := fillingHouse(t)
	page := x.get("/fill/check?of=R1")
	if n := strings.Count(page, `class="fld jar"`); n != 10 {
		t.Fatalf("the grid has %d cells, want 10", n)
	}
	form := check(newKey(), "341.2", "", "340.8", "342.0", "", "341.0", "340.4", "341.9", "342.2", "340.1")
	for range 2 {
		if w := x.post("/fill/check?of=R1", form); w.Code != http.StatusSeeOther || !strings.HasPrefix(w.Header().Get("Location"), "/fill?of=R1") {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	s, _, why := x.o.FillState(t.Context(), "R1")
	if why != nil || s.Checks != 1 || s.Nozzles[0].Jars != 3 || s.Nozzles[1].Jars != 5 || s.Spec.Scale != "B1" {
		t.Errorf("%v: %d checks, nozzles %+v, scale %s", why, s.Checks, s.Nozzles, s.Spec.Scale)
	}
	slip := check(newKey(), "3412", "340.8", "341.0", "341.3", "342.0")
	if w := x.post("/fill/check?of=R1", slip); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "ten times a jar") || !strings.Contains(w.Body.String(), `value="3412"`) {
		t.Errorf("a slip of ten: %d", w.Code)
	}
	if w := x.post("/fill/check?of=R1", url.Values{"key": {newKey()}}); !strings.Contains(w.Body.String(), "No weight was typed") {
		t.Errorf("an empty grid gave %d", w.Code)
	}
}

// A run from its start to its count, each thing on its form; then its page has it all.
func TestRunByForms(t *testing.T) {
	x := fillingHouse(t)
	for i := range 6 {
		form := check(newKey())
		for n := 1; n <= 2; n++ {
			for k := 1; k <= 5; k++ {
				form.Set(fieldAt(0, weightCell(n, k)), fmt.Sprintf("34%d.%d", (i+n+k)%3, (3*i+7*k)%10))
			}
		}
		x.post("/fill/check?of=R1", form)
	}
	for _, c := range []struct {
		path string
		form url.Values
	}{
		{"/enter/filler?of=R1", url.Values{"0.target": {"341.5"}, "0.jars_checked": {"40"}}},
		{"/enter/adjust?of=R1", url.Values{"0.nozzle": {"2"}, "0.by": {"-0.4"}}},
		{"/enter/glass?of=R1", url.Values{"0.jars_broken": {"1"}, "0.nozzle": {"2"}}},
		{"/enter/seals?of=R1", url.Values{"0.tested": {"10"}, "0.failed": {"1"}, "0.test": {"torque"}}},
		{"/enter/reconcile?of=R1", url.Values{"0.good": {"540"}, "0.rejects": {"2"}}},
		{"/enter/run-end?of=R1", url.Values{}},
	} {
		c.form.Set("key", newKey())
		if w := x.post(c.path+"&back=/fill", c.form); w.Code != http.StatusSeeOther {
			body := w.Body.String()
			t.Errorf("%s: %d %s", c.path, w.Code, body[max(0, strings.Index(body, "refused")):][:min(len(body), 300)])
		}
	}
	page := x.get("/fill?of=R1")
	for _, want := range []string{"Glass broken", "Seals tested", "Nozzle adjusted", "Run counted up", "Now 341.5"} {
		if !strings.Contains(strings.ReplaceAll(page, "\u00a0", " "), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// A scale that is out: it is asked about, and what was weighed since its last good check
// is held in the same entry.
func TestScaleThatIsOut(t *testing.T) {
	x := fillingHouse(t)
	x.record(&record.InstrumentChecked{Instrument: "B1", Against: quantity.Figure{Mantissa: 500, Unit: quantity.G}, Read: quantity.Figure{Mantissa: 5000, Decimals: 1, Unit: quantity.G}, InOrder: record.Yes})
	x.record(&record.StockOpened{Filling: "T1/1", Steel: "T1", Mass: record.Grams(500_000)})
	x.post("/fill/check?of=R1", check(newKey(), "341.2", "340.8", "342.0", "341.0", "340.4"))
	x.record(&record.JarsFilled{Batch: "R1-01", Run: "R1", From: "T1", Units: 100, Mass: record.Grams(34_100)})
	form := url.Values{"key": {newKey()}, "0.read": {"505.0"}, "0.against": {"500"}, "0.in_order": {"no"}}
	w := x.post("/enter/check?of=B1&back=/care", form)
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "R1-01") {
		t.Fatalf("it was not asked: %d %s", w.Code, w.Body)
	}
	confirm := w.Body.String()
	i := strings.Index(confirm, `name="confirm" value="`)
	id := confirm[i+len(`name="confirm" value="`):]
	form.Set("confirm", plainText(id[:strings.Index(id, `"`)]))
	if w := x.post("/enter/check?of=B1&back=/care", form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	x.o.Read(func(v *office.View) {
		if h := v.State.Holds(); len(h) != 1 || len(h[0].RootCodes) != 1 || h[0].RootCodes[0] != "R1-01" {
			t.Errorf("holds %+v", h)
		}
	})
}

func plainText(s string) string {
	return strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&amp;", "&", "&lt;", "<", "&gt;", ">", "&#43;", "+").Replace(s)
}
