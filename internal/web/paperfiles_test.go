package web

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"combline/internal/answer"
	"combline/internal/words"
)

// Every page that goes on paper offers its files, and each file is made of the whole
// answer, however little of it the page shows.
func TestPagesAsFiles(t *testing.T) {
	x := demoHouse(t).as("owner")
	var asked []string
	rows := 0
	count := func(a answer.Answer) {
		rows = 0
		for _, t := range a.Tables {
			rows += len(t.Rows)
		}
	}
	x.s.opts.Printer = Printer{
		Sheets: func(_ *words.Catalogue, p Paper) ([]byte, error) {
			count(p.Answer)
			asked = append(asked, p.Title)
			return []byte("%PDF-"), nil
		},
		Workbook: func(_ *words.Catalogue, a answer.Answer) ([]byte, error) { count(a); return []byte("PK"), nil },
		Table:    func(_ *words.Catalogue, t answer.Table) ([]byte, error) { return []byte(t.Name()), nil },
		Form:     func(_ *words.Catalogue, f Form) ([]byte, error) { return []byte(f.Title), nil },
	}
	for path, least := range map[string]int{"/stock": 40, "/balance": 20, "/balance?of=R3": 4, "/trace?of=R1": 40, "/recall?of=R1": 12, "/send/note?of=DN-O-06": 20, "/orders": 9, "/orders?of=O-06": 1,
		"/complaints": 1, "/history?of=D041": 5, "/papers/drums": 80, "/papers/statement": 10, "/papers/statement?of=L07": 3, "/papers/register?from=2026-09": 80, "/papers/register?from=2026-09&of=runs": 30} {
		page := x.get(path)
		for _, as := range []string{"pdf", "xlsx", "csv"} {
			u, _ := url.Parse(path)
			q := u.Query()
			q.Set("as", as)
			u.RawQuery = q.Encode()
			if !strings.Contains(page, "as="+as) {
				t.Errorf("%s does not offer %s", path, as)
			}
			w := x.do(x.request("GET", u.String(), nil))
			if w.Code != http.StatusOK || strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") || w.Body.Len() == 0 {
				t.Errorf("%s: %d, %s", u, w.Code, w.Header().Get("Content-Type"))
			}
			if as != "csv" && rows < least {
				t.Errorf("%s has %d rows, want at least %d", u, rows, least)
			}
		}
	}
	var doc struct {
		Type      string
		EpcisBody struct{ EventList []struct{ EventID string } }
	}
	if err := json.Unmarshal([]byte(x.get("/papers/register?from=2026-10&as=json")), &doc); err != nil || doc.Type != "EPCISDocument" || len(doc.EpcisBody.EventList) < 20 {
		t.Errorf("%v, %s, %d events", err, doc.Type, len(doc.EpcisBody.EventList))
	}
	if got := x.get("/blank?sheet=intake&as=pdf"); got == "" {
		t.Error("no form")
	}
	for _, bad := range []string{"/papers/register?from=september", "/papers/register?from=2026-09&to=2026-08", "/papers/register"} {
		if page := x.get(bad); !strings.Contains(page, "is no month") {
			t.Errorf("%s is taken", bad)
		}
	}
}

// A practice recall by taps: start, the mark traced, a customer told, end; the report has
// each with its time, who was told, and what is accounted for.
func TestPracticeRecall(t *testing.T) {
	x := demoHouse(t).as("owner")
	ok := func(w int) {
		t.Helper()
		if w != http.StatusSeeOther {
			t.Fatalf("%d", w)
		}
	}
	ok(x.post("/do/recall?of=R1", url.Values{"key": {newKey()}, "0.kind": {"practice"}, "0.roots": {"R1"}, "0.cause": {"ferment"}, "0.recall": {"RC-07"}}).Code)
	page := x.get("/recall?of=R1")
	if !strings.Contains(page, `name="0.customer" value="Saltmarsh"`) || !strings.Contains(page, "data-since") {
		t.Error("no button to tell a customer, or no clock")
	}
	ok(x.post("/do/recall-step?of=RC-07", url.Values{"key": {newKey()}, "0.did": {"mark found"}}).Code)
	ok(x.post("/do/recall-step?of=RC-07", url.Values{"key": {newKey()}, "0.did": {"customer told"}, "0.customer": {"Saltmarsh"}}).Code)
	if page := x.get("/recall?of=R1"); strings.Contains(page, `name="0.customer" value="Saltmarsh"`) {
		t.Error("a customer who was told is still to be told")
	}
	ok(x.post("/do/recall-end?of=RC-07", url.Values{"key": {newKey()}, "0.units_back": {"2400"}}).Code)
	report := x.get("/recall/report?of=RC-07")
	for _, want := range []string{"mark traced", "customer told", "not yet", "100.0", "204.1", "shop 3", "Came back: 2"} {
		if !strings.Contains(report, want) {
			t.Errorf("the report lacks %q", want)
		}
	}
	if w := x.do(x.request("GET", "/recall/report?of=RC-99", nil)); w.Code != http.StatusNotFound {
		t.Errorf("a recall that is none: %d", w.Code)
	}
}

// What is complained of is held with one tap, for a reason that says the complaint.
func TestHoldInOneTap(t *testing.T) {
	x := demoHouse(t).as("owner")
	if w := x.post("/do/complaint", url.Values{"key": {newKey()}, "0.class": {"foreign body"}, "0.mark": {"R2-12"}, "0.what": {"glass"}, "0.complaint": {"K-50"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	page := x.get("/complaints")
	i := strings.Index(page, `action="/do/hold?`)
	if i < 0 {
		t.Fatal("no tap")
	}
	form := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(page[i:i+strings.Index(page[i:], "</form>")], -1) {
		form.Set(m[1], html.UnescapeString(m[2]))
	}
	if form.Get("0.cause") != "foreign body" || form.Get("0.roots") != "R2-12" || !strings.Contains(form.Get("0.reason"), "K-50") {
		t.Fatalf("%v", form)
	}
	if w := x.post("/do/hold?of=R2-12&back=/complaints", form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	if page := x.get("/complaints"); strings.Contains(page, `action="/do/hold?`) || !strings.Contains(page, "On hold: "+form.Get("0.hold")) {
		t.Error("it is not on hold, or can be held twice")
	}
}
