package web

import (
	"errors"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"

	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// form reads what a browser would send of the page's record-making form as it stands:
// hidden fields, texts, and the marked choices.
func form(page string) url.Values {
	f := url.Values{}
	for _, in := range regexp.MustCompile(`<input [^>]*>`).FindAllString(page, -1) {
		name, kind := attr(in, "name"), attr(in, "type")
		if name == "" || (kind == "radio" || kind == "checkbox") && !strings.Contains(in, " checked") {
			continue
		}
		f.Add(name, attr(in, "value"))
	}
	for _, other := range []string{"q", "room", "hand"} {
		f.Del(other)
	}
	return f
}

var entities = strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&lt;", "<", "&gt;", ">", "&#43;", "+", "&#9;", "\t", "&amp;", "&")

func attr(tag, name string) string {
	m := regexp.MustCompile(` ` + name + `="([^"]*)"`).FindStringSubmatch(tag)
	if m == nil {
		return ""
	}
	return entities.Replace(m[1])
}

// with is a form with some fields filled in.
func with(f url.Values, pairs ...string) url.Values {
	for i := 0; i+1 < len(pairs); i += 2 {
		f.Set(pairs[i], pairs[i+1])
	}
	return f
}

// smallHouse has a tank with 300 kg, two empty drums and a person.
func smallHouse(t *testing.T) *site {
	t.Helper()
	x := newHouse(t,
		&record.HouseNamed{Name: "Test house", Country: "VM", Rules: "eu", Language: "en"},
		&record.PersonNamed{Person: "owner", Roles: "owner", Language: "en"},
		&record.PersonNamed{Person: "ana", Language: "es", Units: "us"},
		&record.PlaceNamed{Place: "barn", For: record.Store},
		&record.InstrumentNamed{Instrument: "scale", What: "scale", Capacity: quantity.Figure{Mantissa: 600, Unit: quantity.KgUnit}},
		&record.VesselNamed{Vessel: "S1", Shape: record.Tank, Capacity: record.Grams(1_200_000)},
		&record.VesselNamed{Vessel: "S-041", Shape: record.Drum, Tare: record.Grams(20_000)},
		&record.VesselNamed{Vessel: "S-042", Shape: record.Drum, Tare: record.Grams(20_000)},
		&record.StockOpened{Filling: "OPEN", Steel: "S1", Honey: "summer", Country: "VM", Mass: record.Grams(300_000)},
	)
	return x.as("owner")
}

// fillDrum is the form that fills a drum from S1, filled in.
func fillDrum(x *site, gross string) url.Values {
	return with(form(x.get("/do/drum-off?of=S1")), "0.steel", "S-041", "0.drum", "D001", "0.gross", gross)
}

func TestFormRecordsOnce(t *testing.T) {
	x := smallHouse(t)
	f := fillDrum(x, "310")
	before := x.facts()
	var first string
	for range 3 { // a double tap, then a reload after a lost answer
		w := x.post("/do/drum-off?of=S1", f)
		if w.Code != http.StatusSeeOther {
			t.Fatalf("%d\n%s", w.Code, w.Body)
		}
		to := w.Header().Get("Location")
		if first == "" {
			first = to
		}
		if to != first {
			t.Errorf("the same form led to %s, then to %s", first, to)
		}
	}
	if n := x.facts() - before; n != 1 {
		t.Errorf("one form made %d facts", n)
	}
	if page := x.get(first); !strings.Contains(page, "Saved:") || !strings.Contains(page, "/undo?") {
		t.Error("the page after the form has no receipt or no undo")
	}
}

func TestManyTapsAtOnce(t *testing.T) {
	x := smallHouse(t)
	f := fillDrum(x, "310")
	before := x.facts()
	var all sync.WaitGroup
	for range 8 {
		r := x.request("POST", "/do/drum-off?of=S1", f)
		all.Go(func() {
			w := newRecorder()
			x.s.ServeHTTP(w, r)
			if w.Code != http.StatusSeeOther {
				t.Errorf("one of the taps got %d", w.Code)
			}
		})
	}
	all.Wait()
	if n := x.facts() - before; n != 1 {
		t.Errorf("eight taps of one form made %d facts", n)
	}
}

// A key used again with other figures is refused in words, with a way on.
func TestSavedFormWithOtherFigures(t *testing.T) {
	x := smallHouse(t)
	f := fillDrum(x, "310")
	x.post("/do/drum-off?of=S1", f)
	before := x.facts()
	w := x.post("/do/drum-off?of=S1", with(f, "0.gross", "305"))
	page := w.Body.String()
	if w.Code != http.StatusOK || !strings.Contains(page, "saved before") || !strings.Contains(page, `value="305"`) || x.facts() != before {
		t.Errorf("%d, %d new facts: %s", w.Code, x.facts()-before, page)
	}
	if again := form(page); again.Get("key") == f.Get("key") {
		t.Error("the form still has the key that was used")
	}
}

func TestRefusalKeepsWhatWasTyped(t *testing.T) {
	x := smallHouse(t)
	before := x.facts()
	for name, c := range map[string]struct {
		pairs []string
		want  string
	}{
		"no weight":        {[]string{"0.gross", ""}, "Fill this in."},
		"no number":        {[]string{"0.gross", "abc"}, "is not a number"},
		"less than empty":  {[]string{"0.gross", "12"}, "that leaves nothing"},
		"no such drum":     {[]string{"0.steel", "", "0.steel.typed", "S-999"}, "there is no S-999"},
		"number used":      {[]string{"0.drum", "OPEN"}, "is used already"},
		"time to come":     {[]string{"when", "2026-12-24T10:00"}, "is still to come"},
		"time that is not": {[]string{"when", "yesterday"}, "is not a time"},
	} {
		f := with(fillDrum(x, "310"), "0.purpose", "cooking", "1.place", "barn")
		f = with(f, c.pairs...)
		w := x.post("/do/drum-off?of=S1", f)
		page := w.Body.String()
		if w.Code != http.StatusOK || !strings.Contains(entities.Replace(page), c.want) {
			t.Errorf("%s: %d, want %q in\n%s", name, w.Code, c.want, page)
		}
		back := form(page)
		for _, field := range []string{"0.gross", "0.drum", "0.purpose", "1.place", "0.steel.typed", "key", "when"} {
			if back.Get(field) != f.Get(field) {
				t.Errorf("%s: %s was %q, came back as %q", name, field, f.Get(field), back.Get(field))
			}
		}
	}
	if x.facts() != before {
		t.Error("something was recorded by a refused form")
	}
}

// A likely slip is asked back; the answer carries the question, and what was typed
// stays.
func TestQuestionIsAskedAndAnswered(t *testing.T) {
	x := smallHouse(t)
	for _, drum := range []string{"D901", "D902", "D903"} { // so that the house knows what a drum holds
		x.record(&record.VesselNamed{Vessel: "V" + record.Code(drum), Shape: record.Drum, Tare: record.Grams(20_000)})
		x.record(&record.StockOpened{Filling: record.Code(drum), Steel: "V" + record.Code(drum), Honey: "summer", Country: "VM", Mass: record.Grams(290_000)})
	}
	before := x.facts()
	f := fillDrum(x, "49") // 29 kg net: 290 typed as 29?
	page := x.post("/do/drum-off?of=S1", f).Body.String()
	m := regexp.MustCompile(`<button class="btn go" name="confirm" value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil || !strings.Contains(page, "Was ") || x.facts() != before {
		t.Fatalf("no question, or recorded without an answer:\n%s", page)
	}
	back := form(page)
	if back.Get("0.gross") != "49" || back.Get("key") != f.Get("key") {
		t.Errorf("the question lost what was typed: %v", back)
	}
	w := x.post("/do/drum-off?of=S1", with(back, "confirm", entities.Replace(m[1])))
	if w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Errorf("answered with yes: %d, %d facts", w.Code, x.facts()-before)
	}
}

// A vessel that changed since the form was opened is asked about.
func TestChangedMeanwhileIsAsked(t *testing.T) {
	x := smallHouse(t)
	f := fillDrum(x, "310")
	x.record(&record.HoneyMoved{Pours: []record.Pour{{From: "S1", All: record.Yes}}, To: "S-042"})
	x.record(&record.StockOpened{Filling: "NEW", Steel: "S1", Honey: "forest", Country: "VM", Mass: record.Grams(500_000)})
	page := x.post("/do/drum-off?of=S1", f).Body.String()
	if !strings.Contains(page, "has changed since this form was opened") {
		t.Errorf("not asked:\n%s", page)
	}
}

func TestWhoIsAskedForAndRemembered(t *testing.T) {
	x := smallHouse(t).as("")
	f := with(fillDrum(x, "310"), "person", "")
	f.Del("person")
	page := x.post("/do/drum-off?of=S1", f).Body.String()
	if !strings.Contains(page, "Who writes this down?") || form(page).Get("0.gross") != "310" {
		t.Fatalf("nobody was asked for, or the weight was lost:\n%s", page)
	}
	w := x.post("/do/drum-off?of=S1", with(form(page), "person", "owner"))
	if w.Code != http.StatusSeeOther || x.cookies[personCookie] != "owner" {
		t.Errorf("%d, remembered %q", w.Code, x.cookies[personCookie])
	}
	x.o.Read(func(v *office.View) {
		if e, err := v.Fact(v.Facts()); err != nil || e.Person != "owner" {
			t.Errorf("written down by %q, %v", e.Person, err)
		}
	})
}

// Somebody who reads pounds types pounds: 683.4 lb gross is 310 kg (1 lb = 0.45359237
// kg exactly, NIST SP 811). Tolerance: a tenth of a pound typed is 45 g.
func TestPoundsAreTypedAsPounds(t *testing.T) {
	x := smallHouse(t).as("ana")
	if w := x.post("/do/drum-off?of=S1", fillDrum(x, "683,4")); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	x.o.Read(func(v *office.View) {
		e, _ := v.Fact(v.Facts())
		got := e.Fact.(*record.DrumFilled).Gross.Grams()
		if d := got - 310_000; d < -45 || d > 45 {
			t.Errorf("683,4 lb became %d g", got)
		}
	})
}

// The last digits of a number are enough, and several that fit are asked back.
func TestLastDigitsOfANumber(t *testing.T) {
	x := smallHouse(t)
	f := with(fillDrum(x, "310"), "0.steel.typed", "042")
	f.Del("0.steel")
	if w := x.post("/do/drum-off?of=S1", f); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	x.record(&record.VesselNamed{Vessel: "X-041", Shape: record.Drum, Tare: record.Grams(20_000)})
	f = with(fillDrum(x, "310"), "0.steel.typed", "041", "0.drum", "D002")
	f.Del("0.steel")
	page := x.post("/do/drum-off?of=S1", f).Body.String()
	if !strings.Contains(page, "Which one?") || !strings.Contains(page, `value="X-041"`) || !strings.Contains(page, `value="S-041"`) {
		t.Errorf("two drums end in 041, and it was not asked which:\n%s", page)
	}
}

func TestUndoIsOneTapAndWrittenDown(t *testing.T) {
	x := smallHouse(t)
	w := x.post("/do/drum-off?of=S1", with(fillDrum(x, "310"), "1.place", "barn"))
	page := x.get(w.Header().Get("Location"))
	m := regexp.MustCompile(`action="(/undo\?[^"]*)"><input type="hidden" name="key" value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("no undo on the page:\n%s", page)
	}
	before := x.facts()
	for range 2 {
		if w := x.post(entities.Replace(m[1]), url.Values{"key": {m[2]}}); w.Code != http.StatusSeeOther {
			t.Fatalf("undo: %d\n%s", w.Code, w.Body)
		}
	}
	if n := x.facts() - before; n != 2 { // the drum and its place, each struck once
		t.Errorf("undo wrote %d facts", n)
	}
	x.o.Read(func(v *office.View) {
		if st, ok := v.StandOf("S1"); !ok || st.Content.Grams != 300_000 {
			t.Errorf("S1 holds %d g after the undo", st.Content.Grams)
		}
	})
}

// Honey on hold is poured only when a role says why, and that stands before the pour.
func TestPouringFromAHoldAsksWhoDecides(t *testing.T) {
	x := smallHouse(t).unlocked()
	x.record(&record.VesselNamed{Vessel: "S2", Shape: record.Tank})
	x.record(&record.StockOpened{Filling: "OTHER", Steel: "S2", Honey: "spring", Country: "VM", Mass: record.Grams(100_000)})
	hold := with(form(x.get("/do/hold?of=S1")), "0.cause", "heat", "0.reason", "stood too hot")
	if w := x.post("/do/hold?of=S1", hold); w.Code != http.StatusSeeOther {
		t.Fatalf("hold: %d\n%s", w.Code, w.Body)
	}
	before := x.facts()
	f := with(form(x.get("/do/move?of=S1")), "0.to", "S2", "0.pours.mass", "50")
	page := x.post("/do/move?of=S1", f).Body.String()
	if !strings.Contains(page, "is on hold") || x.facts() != before {
		t.Fatalf("poured from a hold:\n%s", page)
	}
	w := x.post("/do/move?of=S1", with(form(page), "over.role", "owner", "over.reason", "small test batch"))
	if w.Code != http.StatusSeeOther || x.facts() != before+2 {
		t.Fatalf("with a role: %d, %d facts\n%s", w.Code, x.facts()-before, w.Body)
	}
	x.o.Read(func(v *office.View) {
		if e, _ := v.Fact(before + 1); e.Fact.Kind() != record.KindHoldOverridden {
			t.Errorf("before the pour stands %s", e.Fact.Kind())
		}
	})
}

// A correction shows what it would move before it is recorded; a reason is needed.
func TestCorrectionShowsWhatItMoves(t *testing.T) {
	x := smallHouse(t).unlocked()
	x.post("/do/drum-off?of=S1", fillDrum(x, "310"))
	fact := "/correct?fact=10"
	before := x.facts()
	f := with(form(x.get(fact)), "0.gross", "301 kg", "step", "preview")
	if page := x.post(fact, f).Body.String(); !strings.Contains(page, "is missing") {
		t.Errorf("corrected without a reason:\n%s", page)
	}
	page := x.post(fact, with(f, "reason", "misread")).Body.String()
	if !strings.Contains(page, "D001") || !strings.Contains(page, "Save the correction") || x.facts() != before {
		t.Fatalf("no preview, or recorded by looking:\n%s", page)
	}
	save := with(form(page), "step", "save")
	w := x.post(fact, save)
	if w.Code == http.StatusOK { // what else it moves is asked
		m := regexp.MustCompile(`name="confirm" value="([^"]*)"`).FindStringSubmatch(w.Body.String())
		if m == nil {
			t.Fatalf("neither saved nor asked:\n%s", w.Body)
		}
		save = form(w.Body.String())
		save.Del("step")
		w = x.post(fact, with(save, "confirm", entities.Replace(m[1])))
	}
	if w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Fatalf("%d, %d facts\n%s", w.Code, x.facts()-before, w.Body)
	}
	x.o.Read(func(v *office.View) {
		if st, ok := v.StandOf("D001"); !ok || st.Content.Grams != 281_000 {
			t.Errorf("D001 holds %d g, want 281 000", st.Content.Grams)
		}
	})
	if page := x.get(fact); !strings.Contains(page, "Corrected by entry") {
		t.Error("the entry does not say that it was corrected")
	}
}

// The correction form of any entry gives back the same fact when nothing is changed.
func TestCorrectionFormKeepsEveryFact(t *testing.T) {
	x := demoHouse(t).as("owner")
	for _, person := range []string{"owner", "hand-2"} { // a decimal point, and a comma
		x.as(person)
		v := x.s.visit(newRecorder(), x.request("GET", "/correct", nil))
		x.o.Read(func(h *office.View) {
			for seq := uint64(1); seq <= h.Facts(); seq++ {
				e, err := h.Fact(seq)
				if err != nil {
					t.Fatal(err)
				}
				parts, fixed := v.factParts(e.Fact)
				if fixed {
					continue
				}
				f, errs := asTyped(v, parts[0])
				was, _ := record.Marshal(e.Fact)
				is, err := record.Marshal(f)
				if len(errs) > 0 || err != nil || string(was) != string(is) {
					t.Fatalf("fact %d for %s: %s came back as %s: %v", seq, person, record.JSON(e.Fact), record.JSON(f), errors.Join(errs...))
				}
			}
		})
	}
}

// asTyped is the fact that a part makes when its cells are sent as they stand.
func asTyped(v *visit, p part) (record.Fact, []error) {
	cells := map[string]string{}
	for _, c := range p.Cells {
		cells[c.Name] = c.Start
	}
	for name, value := range p.Fixed {
		cells[name] = value
	}
	return record.FromCells(p.Kind, cells, v.c.Style().Decimal)
}

// Every task's form records when it is filled in without a script.
func TestTasksRecord(t *testing.T) {
	x := smallHouse(t).unlocked()
	x.record(&record.VesselNamed{Vessel: "P1", Shape: record.Pail})
	x.record(&record.VesselNamed{Vessel: "S2", Shape: record.Tank})
	for _, c := range []struct {
		path  string
		kind  record.Kind
		pairs []string
	}{
		{"/do/reading?of=S1&what=water", record.KindResultRead, []string{"0.results.value", "17.4", "0.honey_temp", "24", "0.corrects_itself", "no"}},
		{"/do/reading?of=S1", record.KindResultRead, []string{"0.results.property", "taste", "0.results.verdict", "clear"}},
		{"/do/temperature?of=S1", record.KindTemperatureRead, []string{"0.temp", "31.5"}},
		{"/do/stir?of=S1", record.KindStirred, []string{"0.time", "20"}},
		{"/do/skim?of=S1", record.KindSkimmed, []string{"0.mass", "4", "0.to", "P1"}},
		{"/do/move?of=S1", record.KindHoneyMoved, []string{"0.to", "S2", "0.pours.emptied", "yes"}},
		{"/do/stock-check?of=S2", record.KindStockChecked, []string{"0.found", "295", "0.found_known", "estimated"}},
		{"/do/place?of=P1", record.KindPlaced, []string{"0.place", "barn"}},
		{"/do/hold?of=P1", record.KindHoldSet, []string{"0.cause", "other", "0.reason", "smells"}},
		{"/do/release?of=H-01", record.KindReleased, []string{"0.contents", "P1/1", "0.reason", "fine", "0.role", "owner"}},
		{"/do/lift?of=H-01", record.KindHoldLifted, []string{"0.reason", "fine", "0.role", "owner"}},
		{"/do/recall?of=S2", record.KindRecallStarted, []string{"0.cause", "other"}},
		{"/do/recall-end?of=RC-01", record.KindRecallEnded, []string{"0.units_back", "0"}},
		{"/write?kind=noted", record.KindNoted, []string{"0.note", "rain"}},
	} {
		before := x.facts()
		f := with(form(x.get(c.path)), c.pairs...)
		w := x.post(c.path, f)
		if w.Code != http.StatusSeeOther || x.facts() != before+1 {
			t.Errorf("%s: %d, %d facts\n%s", c.path, w.Code, x.facts()-before, w.Body)
			continue
		}
		x.o.Read(func(v *office.View) {
			if e, _ := v.Fact(v.Facts()); e.Fact.Kind() != c.kind || e.Person != "owner" {
				t.Errorf("%s recorded %s by %q", c.path, e.Fact.Kind(), e.Person)
			}
		})
	}
}

// Language and units are the person's, on whatever device.
func TestLanguageIsThePersons(t *testing.T) {
	x := smallHouse(t)
	w := x.post("/settings", with(form(x.get("/settings")), "language", "pl", "units", "us"))
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	other := pagesOf(t, x.o).as("owner")
	page := other.get("/vessel?of=S1")
	if !strings.Contains(page, `lang="pl"`) || !strings.Contains(page, "lb") {
		t.Error("another device does not speak Polish and pounds to the owner")
	}
}

// A ledger that can't write is said so, and nothing typed is lost.
func TestLedgerErrorIsShown(t *testing.T) {
	x := smallHouse(t)
	f := fillDrum(x, "310")
	x.book.full.Store(true)
	before := x.facts()
	page := x.post("/do/drum-off?of=S1", f).Body.String()
	if !strings.Contains(page, "Not saved") || strings.Contains(page, "Saved:") || form(page).Get("0.gross") != "310" || x.facts() != before {
		t.Errorf("a full disk was answered with\n%s", page)
	}
	x.book.full.Store(false)
	if w := x.post("/do/drum-off?of=S1", form(page)); w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Errorf("saved again: %d, %d facts", w.Code, x.facts()-before)
	}
}
