package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"combline/internal/honey"
	"combline/internal/office"
	"combline/internal/record"
)

// things is how many things of a kind the house has.
func (x *site) things(kind record.Entity) (n int) {
	x.o.Read(func(h *office.View) { n = len(h.State.OfKind(kind)) })
	return n
}

// save fills in a form of a page and sends it twice, as a double tap does.
func (x *site) save(path string, pairs ...string) {
	x.t.Helper()
	f := with(form(x.get(path)), pairs...)
	before := x.facts()
	w := x.post(path, f)
	if w.Code != http.StatusSeeOther {
		x.t.Fatalf("%s: %d\n%s", path, w.Code, w.Body)
	}
	made := x.facts() - before
	if w = x.post(path, f); w.Code != http.StatusSeeOther || x.facts() != before+made || made == 0 {
		x.t.Fatalf("%s again: %d, %d and then %d entries", path, w.Code, made, x.facts()-before)
	}
}

// A 50-hive house: pails, a tank with a gate tap, one scale (job.md, section 1.1), set
// up by its forms alone, in whatever order; each can be left and taken up again.
func TestSmallHouseIsSetUp(t *testing.T) {
	x := newHouse(t, &record.HouseNamed{Name: "folder", Language: "en", Units: "metric"})
	if w := x.do(x.request("GET", "/", nil)); w.Header().Get("Location") != "/setup" {
		t.Errorf("a house with nothing opens with %q", w.Header().Get("Location"))
	}
	if page := x.get("/?later=1"); !strings.Contains(page, "All in order") {
		t.Error("setting up can't be left")
	}
	x.save("/setup/house", "0.name", "Two Pails", "0.rules", "eu", "0.country", "VM", "0.currency", "€")
	x.save("/setup/people", "0.person", "AL", "0.name", "Ann Lee", "2.person", "BO", "2.language", "pl")
	if x.cookies[personCookie] != "AL" {
		t.Errorf("the first person is not at the page, but %q", x.cookies[personCookie])
	}
	x.save("/setup/places", "usual", "store", "0.place", "Cellar", "0.for", "cold store")
	x.save("/setup/vessels?shape=pail-25", "from", "P-01", "to", "P-40", "0.tare", "1.1", "0.tare_known", "estimated", "0.place", "Store")
	x.save("/setup/vessels?shape=gate-tank")
	x.save("/setup/sites", "0.site", "Orchard", "0.hives", "30", "1.site", "Heath", "1.hives", "20")
	x.save("/setup/instruments")
	x.save("/setup/stock", "0.mass", "24.5", "0.honey", "spring")
	for kind, want := range map[record.Entity]int{record.Person: 2, record.Place: 2, record.Vessel: 41, record.Site: 2, record.Instrument: 1} {
		if got := x.things(kind); got != want {
			t.Errorf("%d of %s, want %d", got, kind, want)
		}
	}
	x.o.Read(func(h *office.View) {
		if st, ok := h.StandOf("P-01"); !ok || st.Content.Grams != 24_500 || st.Place != "Store" || st.Holds != 25_000 {
			t.Errorf("P-01 is %+v", st)
		}
		if _, ok := h.StandOf("P-40"); !ok {
			t.Error("there is no P-40")
		}
		if h.State.House().Name != "Two Pails" || h.State.House().Rules != "eu" {
			t.Errorf("the house is %+v", h.State.House())
		}
	})
	if page := x.get("/setup"); strings.Count(page, `class="st ok"`) < 7 {
		t.Errorf("the overview does not show what is done:\n%s", page)
	}
	if page := x.get("/"); strings.Contains(page, "Set up the house</h1>") {
		t.Error("a house that is set up still opens with setting up")
	}
	// taken up again, the forms go on behind what is there
	if f := form(x.get("/setup/vessels?shape=pail-25")); f.Get("from") != "P-001" {
		t.Errorf("the next pail is %q", f.Get("from"))
	}
	if page := x.get("/setup/stock"); strings.Contains(page, ">P-01<") || !strings.Contains(page, ">P-02<") {
		t.Error("first stock asks about a full pail, or not about an empty one")
	}
}

// Drums as a range, with one tare for all: S-001 to S-073.
func TestDrumsInARow(t *testing.T) {
	x := newHouse(t, &record.HouseNamed{Name: "House"}, &record.PersonNamed{Person: "ann"}).as("ann")
	x.save("/setup/vessels?shape=drum", "from", "S-001", "to", "S-073", "0.tare", "17")
	if n := x.things(record.Vessel); n != 73 {
		t.Fatalf("%d drums, want 73", n)
	}
	x.o.Read(func(h *office.View) {
		t2, _ := h.State.Find("S-073")
		if f, ok := h.State.Named(t2).(*record.VesselNamed); !ok || f.Tare.Figure.String() != "17 kg" || f.Shape != record.Drum {
			t.Errorf("S-073 is %+v", f)
		}
	})
	before := x.facts()
	for _, c := range [][2]string{{"S-074", "S-070"}, {"S-074", "T-080"}, {"A-1", "A-5000"}, {"S-074", "S-1"}, {"S-070", "S-080"}, {"", "S-080"}} {
		path := "/setup/vessels?shape=drum"
		w := x.post(path, with(form(x.get(path)), "from", c[0], "to", c[1], "0.tare", "17"))
		if w.Code != http.StatusOK || x.facts() != before || !strings.Contains(w.Body.String(), "answer stop") {
			t.Errorf("%v: %d, %d entries", c, w.Code, x.facts()-before)
		}
		if !strings.Contains(w.Body.String(), `value="`+c[1]+`"`) {
			t.Errorf("%v: what was typed is lost", c)
		}
	}
}

// What a usual vessel is said to hold is what a cylinder of its drawing holds of honey
// of 18 % water at 20 °C, so that its level is drawn at its true height.
func TestUsualVesselsHoldWhatTheySay(t *testing.T) {
	rho, err := honey.Density(20, 18)
	if err != nil {
		t.Fatal(err)
	}
	if d := float64(rho) - honeyKgM3; d < -15 || d > 15 { // 1 % of a level can't be seen
		t.Errorf("drawings reckon with %v kg/m³, honey has %v", honeyKgM3, rho)
	}
	seen := map[string]bool{}
	for _, u := range usuals {
		if seen[u.name] || u.kg <= 0 {
			t.Errorf("%s stands twice or holds nothing", u.name)
		}
		seen[u.name] = true
	}
}

func TestRulesAreChangedWithAReason(t *testing.T) {
	x := newHouse(t, &record.PersonNamed{Person: "ann"}).as("ann").unlocked()
	x.save("/do/setting?of=gap.lot", "0.value", "2", "0.reason", "old scales")
	x.save("/do/setting?of=fill.by-volume", "0.text", "yes", "0.reason", "piston filler")
	x.save("/do/setting?of=fill.pattern", "0.text", "{seq};{weight} {unit}", "0.reason", "new scale")
	x.save("/do/setting?of=fill.scale", "0.text", "checkweigher", "0.reason", "new scale")
	for _, want := range []string{"{seq};{weight} {unit}", "checkweigher"} {
		if page := x.get("/rules"); !strings.Contains(page, want) {
			t.Errorf("the page of rules does not show %q", want)
		}
	}
	if page := x.get("/do/setting?of=fill.scale"); !strings.Contains(page, `value="checkweigher"`) {
		t.Error("the scale beside the filler is not one to choose")
	}
	x.save("/do/setting?of=old.after", "0.value", "400", "0.reason", "cold store")
	page := regexp.MustCompile(`[\x{a0}\x{202f}]`).ReplaceAllString(x.get("/rules"), " ")
	if !strings.Contains(page, "2 %") || !strings.Contains(page, "400 days") {
		t.Errorf("the rules do not show what was set:\n%s", page)
	}
	before := x.facts()
	for _, bad := range []string{"2 kg", "-1", "", "x"} {
		if w := x.post("/do/setting?of=gap.lot", with(form(x.get("/do/setting?of=gap.lot")), "0.value", bad)); w.Code != http.StatusOK || x.facts() != before {
			t.Errorf("%q was taken: %d", bad, w.Code)
		}
	}
	if w := x.do(x.request("GET", "/do/setting?of=clock.simulated", nil)); w.Code != http.StatusNotFound {
		t.Errorf("a setting that is none of the rules: %d", w.Code)
	}
}

func TestListsAreFoundAndCut(t *testing.T) {
	x := newHouse(t, &record.HouseNamed{Name: "House"}, &record.PersonNamed{Person: "ann"}).as("ann")
	x.save("/setup/vessels?shape=drum", "from", "D-001", "to", "D-600")
	page := x.get("/setup/vessels")
	if n := strings.Count(page, "/thing?of=D-"); n != mostRows || !strings.Contains(page, ">600<") {
		t.Errorf("%d of 600 drums are shown", n)
	}
	if page := x.get("/setup/vessels?q=d-57"); strings.Count(page, "/thing?of=D-57") != 10 {
		t.Error("D-57x are not found")
	}
	if page := x.get("/setup/vessels?q=nothing"); !strings.Contains(page, `value="nothing"`) {
		t.Error("what was looked for is lost")
	}
}

func bring(x *site, content, step, checked string) (*url.Values, string, int) {
	path := "/bring-in?kind=vessel-named"
	f := with(form(x.get(path)), "content", content, "step", step, "checked", checked)
	w := x.post(path, f)
	return &f, w.Body.String(), w.Code
}

func TestTableIsLookedAtFirst(t *testing.T) {
	x := newHouse(t, &record.HouseNamed{Name: "House"}, &record.PersonNamed{Person: "ann"}, &record.VesselNamed{Vessel: "D-9", Shape: record.Drum}).as("ann")
	before := x.facts()
	_, page, _ := bring(x, "vessel;shape;tare;colour\nD-1;barrel;17\nD-2;drum;heavy\nD-9;drum;17", "check", "")
	if !strings.Contains(page, `<th scope="row" class="n">1</th><td>colour</td>`) {
		t.Errorf("a column that is none is not named:\n%s", page)
	}
	_, page, _ = bring(x, "vessel;shape;tare\nD-1;barrel;17\nD-2;drum;heavy\n;drum;17", "check", "")
	for _, want := range []string{`class="n">2</th><td>shape</td>`, `class="n">3</th><td>tare</td>`, `class="n">4</th><td>vessel</td>`, "Nothing is saved", "D-2;drum;heavy"} {
		if !strings.Contains(page, want) {
			t.Errorf("the bad rows lack %s:\n%s", want, page)
		}
	}
	_, page, _ = bring(x, "vessel;shape\nD-1;drum\nD-9;drum\nD-1;drum", "check", "")
	if !strings.Contains(page, `class="n">3</th>`) || !strings.Contains(page, `class="n">4</th>`) || strings.Contains(page, `class="n">2</th><td>v`) {
		t.Errorf("numbers used before are not named:\n%s", page)
	}
	table := "vessel,shape,tare\nD-1,drum,17.0\nD-2,drum,17.2\n"
	if _, page, _ = bring(x, table, "save", ""); x.facts() != before {
		t.Error("a table was recorded that nobody looked at")
	}
	if !strings.Contains(page, "2 rows in order") {
		t.Fatalf("a good table is not shown as one:\n%s", page)
	}
	checked := form(page).Get("checked")
	if _, _, code := bring(x, table+"D-3,drum,17", "save", checked); code != http.StatusOK || x.facts() != before {
		t.Error("another table than the one that was looked at was recorded")
	}
	if _, _, code := bring(x, table, "save", checked); code != http.StatusSeeOther || x.facts() != before+2 {
		t.Errorf("saved: %d, %d entries", code, x.facts()-before)
	}
	if _, _, code := bring(x, strings.ReplaceAll(table, "\n", "\r\n"), "save", checked); code != http.StatusSeeOther || x.facts() != before+2 {
		t.Errorf("the same table again: %d, %d entries", code, x.facts()-before)
	}
}

// A table may hold script; it stays text, in the preview and in what is wrong.
func TestTableStaysText(t *testing.T) {
	x := newHouse(t, &record.PersonNamed{Person: "ann"}).as("ann")
	for _, table := range []string{"vessel,shape\n<script>alert(1)</script>,drum", "<script>alert(1)</script>,shape\nD1,drum", "vessel,shape\nD1,</textarea><script>alert(1)</script>"} {
		if _, page, _ := bring(x, table, "check", ""); strings.Contains(page, "<script>alert") {
			t.Errorf("%q came back as script", table)
		}
	}
}

// Rows that free held honey ask for a PIN like any other entry.
func TestTableOfReleasesNeedsAPIN(t *testing.T) {
	x, _, _ := lanHouse(t)
	x.as("ann")
	path := "/bring-in?kind=hold-lifted"
	f := with(form(x.get(path)), "content", "hold,reason,role\nH-1,dry,owner", "step", "check")
	page := x.post(path, f).Body.String()
	before := x.facts()
	f = with(form(page), "content", f.Get("content"), "step", "save")
	page = x.post(path, f).Body.String()
	if x.facts() != before || !strings.Contains(page, `name="pin.new"`) {
		t.Fatalf("a table lifted a hold without a PIN:\n%s", page)
	}
	f = with(form(page), "content", f.Get("content"), "pin.new", "2580", "pin.again", "2580")
	f.Del("step")
	if w := x.post(path, f); w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Errorf("with the PIN: %d, %d entries\n%s", w.Code, x.facts()-before, w.Body)
	}
}
