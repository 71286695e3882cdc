package web

import (
	"strings"
	"testing"

	"combline/internal/record"
	"combline/internal/words"
)

// everyPage is each page that can be read, in the demo house.
var everyPage = []string{"/devices", "/pin", "/bring-in", "/bring-in?kind=vessel-named", "/bring-in?kind=result-read", "/setup", "/rules", "/setup/house", "/setup/people", "/setup/places", "/setup/vessels", "/setup/vessels?shape=drum", "/setup/sites", "/setup/instruments", "/setup/stock", "/setup/machines", "/setup/products", "/setup/materials", "/setup/customers", "/setup/suppliers", "/do/setting?of=gap.lot", "/do/setting?of=fill.pattern", "/", "/watch", "/stock", "/stock?show=drums", "/stock?q=barn", "/intake", "/extract", "/blend", "/blend/two?wet=D017", "/blend/two?wet=nothing", "/blend/for?only=D017,D009&product=soft-set+454", "/blend/for?only=D009,D002&limit=water%3C%3D18", "/blend/for?mass=200&limit=oddity%3C%3D3", "/blend/for?order=nothing", "/fill", "/send", "/send/pick?of=O-06", "/send/note?of=DN-O-02", "/send/note?of=O-06", "/orders", "/orders?of=O-06", "/products", "/products?of=summer+340", "/products?of=plum+spread+220&cooking=yes", "/materials", "/cost", "/cost?of=R2", "/cost?show=margin&drum=5.60", "/cost?show=gram", "/cost?show=energy", "/cost?show=tests", "/cost?show=wax", "/settle?of=L05", "/prices", "/do/setting?of=cost.material.LID", "/complaints", "/labels", "/labels?of=D062&plant=honeydew", "/labels?of=PAL-R3-1", "/labels?of=R1&cases=yes", "/warm", "/warm?of=D025",
	"/do/order", "/do/order-drop?of=O-06", "/do/promise?of=O-06", "/do/promise-back?of=O-06", "/do/recipe?of=summer+340", "/do/material-in?of=LID", "/do/material-count", "/do/material-order", "/do/complaint?of=R1-01", "/do/complaint-answer?of=K-01", "/do/photo?of=K-01", "/papers/register?from=2026-09", "/papers/register?from=2026-09&of=runs", "/papers/register?from=september", "/papers/drums", "/papers/statement", "/papers/statement?of=L07", "/papers/statement?of=OT-26-07", "/papers/statement?of=D041",
	"/trace", "/trace?of=L05", "/trace?of=R1-01", "/trace?of=D035", "/trace?of=Brackenlow", "/trace?of=nothing", "/thing?of=K-01",
	"/house", "/people", "/settings", "/papers", "/holds", "/recall", "/recall?of=R1-01", "/balance", "/balance?of=L05", "/balance?of=R1", "/balance?of=D035", "/trace?of=L05&table=possible-into", "/history", "/history?of=D035", "/history?before=400",
	"/vessel?of=D035", "/vessel?of=S1", "/vessel?of=D017", "/vessel?of=S1/1", "/vessel?of=PAIL-C1", "/correct?fact=1", "/correct?fact=700", "/undo?facts=3-4", "/write",
	"/do/hold?of=D035", "/do/release?of=H-01", "/do/lift?of=H-01", "/do/touched?of=H-02", "/do/move?of=D035", "/do/drum-off?of=S1", "/do/skim?of=S1", "/do/stir?of=S1",
	"/do/tip-back?of=T1", "/do/tip-back?of=R2-13", "/do/stock-check?of=D035", "/do/place?of=D035", "/do/temperature?of=D035", "/do/reading?of=D035",
	"/do/reading?of=D035&what=water", "/do/reading?of=D035&what=colour", "/do/recall?of=R1-01"}

func TestEveryPageSpeaksEveryLanguage(t *testing.T) {
	x := demoHouse(t)
	for person, lang := range map[string]words.Lang{"owner": words.English, "hand-2": words.Spanish, "hand-3": words.Polish} {
		x.as(person)
		for _, path := range everyPage {
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

// Every kind of fact that people write has a form.
func TestEveryKindHasAForm(t *testing.T) {
	x := demoHouse(t).as("owner")
	for _, k := range record.Kinds() {
		if byProgram[k] {
			continue
		}
		page := x.get("/write?kind=" + k.String() + "&rows=2")
		if strings.Contains(page, words.Marker) || !strings.Contains(page, `name="0.`) {
			t.Errorf("the form of %s lacks a text or a field", k)
		}
	}
}

func TestEmptyHouse(t *testing.T) {
	x := newHouse(t)
	for _, path := range []string{"/", "/stock", "/trace", "/watch", "/intake", "/extract", "/blend", "/fill", "/send", "/orders", "/products", "/materials", "/complaints", "/warm", "/house", "/people", "/settings", "/papers", "/holds", "/recall", "/history", "/write", "/balance"} {
		if page := x.get(path); strings.Contains(page, words.Marker) {
			t.Errorf("%s lacks a text", path)
		}
	}
	if page := x.get("/"); !strings.Contains(page, "All in order") {
		t.Error("Today of a house without honey does not say that all is in order")
	}
}

func TestLocalAddressesOnly(t *testing.T) {
	for to, want := range map[string]string{"/stock?q=a": "/stock?q=a", "https://elsewhere.example/": "/", "//elsewhere.example": "/", `/\elsewhere.example`: "/",
		"stock": "/", "javascript:alert(1)": "/", "": "/"} {
		if got := local(to); got != want {
			t.Errorf("local(%q) = %q, want %q", to, got, want)
		}
	}
}
