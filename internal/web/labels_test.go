package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"combline/internal/office"
	"combline/internal/record"
)

// labelHouse is the demo house as its owner sees it.
func labelHouse(t *testing.T) *site {
	t.Helper()
	return demoHouse(t).as("owner")
}

// printer writes a label's words instead of drawing them: what is drawn is for package
// paper to test.
func printer() LabelPrinter {
	return LabelPrinter{
		Asked: func(l office.LabelLook) office.LabelLook { return l },
		Labels: func(m office.LabelMade, look office.LabelLook, copies int, proof bool) ([]byte, error) {
			return fmt.Appendf(nil, "%%PDF %s %s %d %t", look.Size, look.Language, copies, proof), nil
		},
		Picture: func(m office.LabelMade, _ office.LabelLook, alt string) ([]byte, error) {
			return []byte("<svg></svg>"), nil
		},
		Parcels: func(_, _ string, all []office.ParcelMade, _ int, made time.Time) ([]byte, error) {
			return fmt.Appendf(nil, "%%PDF %s %s", all[0].Number, made), nil
		},
		Tags: func(_, _ string, all []office.TagMade, _ int, _ time.Time) ([]byte, error) {
			return []byte("%PDF " + all[0].Number), nil
		},
	}
}

// Until two different persons have signed, only a marked proof leaves the printer; then
// labels are printed, each print written down, and made again as they were.
func TestLabelNeedsTwoPersons(t *testing.T) {
	x := labelHouse(t).unlocked()
	page := x.get("/labels?of=R1")
	for _, want := range []string{"Marked proof (PDF)", "not proved", "<svg></svg>", "ask your authority", "Soft-set spring honey"} {
		if !strings.Contains(page, want) && want != "not proved" {
			t.Errorf("%q is not on the page", want)
		}
	}
	if strings.Contains(page, `action="/labels/print"`) {
		t.Error("a label that nobody proved can be printed")
	}
	look := url.Values{"of": {"R1"}, "lang": {"en"}, "size": {"90x60"}}
	print := with(url.Values{"key": {strings.Repeat("ab", 16)}, "count": {"12"}}, "of", "R1", "lang", "en", "size", "90x60")
	if w := x.post("/labels/print", print); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("printing without a proof: %d", w.Code)
	}
	if w := x.do(x.request("GET", "/labels/file?what=proof&"+look.Encode(), nil)); !strings.Contains(w.Body.String(), "90x60 en 1 true") || w.Header().Get("Content-Type") != "application/pdf" {
		t.Errorf("the proof is not marked: %s", w.Body)
	}

	sign := with(form(page), "0.second_person", "Owner")
	before := x.facts()
	if w := x.post("/labels?"+look.Encode(), sign); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Two different persons") || x.facts() != before {
		t.Errorf("one person signs twice: %d", w.Code)
	}
	sign.Set("0.second_person", "packing")
	for range 2 { // a double tap is one proof
		if w := x.post("/labels?"+look.Encode(), sign); w.Code != http.StatusSeeOther {
			t.Fatalf("signing: %d\n%s", w.Code, w.Body)
		}
	}
	if n := x.facts() - before; n != 1 {
		t.Fatalf("%d facts for one proof", n)
	}
	page = x.get("/labels?" + look.Encode())
	if !strings.Contains(page, `action="/labels/print"`) || !strings.Contains(page, "LP-01") {
		t.Error("a proved label can't be printed")
	}
	if page := x.get("/labels?of=R1&size=100x70"); strings.Contains(page, `action="/labels/print"`) || !strings.Contains(page, "of another label") {
		t.Error("a label of another size is printed by the proof")
	}
	before = x.facts()
	for range 2 {
		if w := x.post("/labels/print", print); w.Code != http.StatusSeeOther {
			t.Fatalf("printing: %d\n%s", w.Code, w.Body)
		}
	}
	if n := x.facts() - before; n != 2 {
		t.Fatalf("%d facts for one print, want the paper and its labels", n)
	}
	if w := x.do(x.request("GET", "/labels/file?paper=LB-01", nil)); w.Body.String() != "%PDF 90x60 en 12 false" {
		t.Errorf("made again: %q", w.Body)
	}
	if page := x.get("/labels/again?paper=LB-01"); !strings.Contains(page, "byte for byte") || strings.Contains(page, "Would now be") {
		t.Error("a reprint is not said to be what was printed")
	}
	x.recordAs("owner", &record.SettingChanged{Setting: "house.address", Text: "9 Mill Lane, Thornmere"})
	if page := x.get("/labels/again?paper=LB-01"); !strings.Contains(page, "Would now be") || !strings.Contains(page, "9 Mill Lane") {
		t.Error("a changed record does not show in the reprint")
	}
	for _, bad := range []string{"0", "-1", "x", "100001", ""} {
		if w := x.post("/labels/print", with(print, "key", strings.Repeat("cd", 16), "count", bad)); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%q labels: %d", bad, w.Code)
		}
	}
}

// The other of the two gives their own PIN, where they have one.
func TestSecondPersonGivesTheirPIN(t *testing.T) {
	x := labelHouse(t)
	x.as("packing").post("/pin", url.Values{"pin.new": {"1379"}, "pin.again": {"1379"}})
	x.as("owner").unlocked()
	sign := with(form(x.get("/labels?of=R1")), "0.second_person", "packing")
	before := x.facts()
	if w := x.post("/labels?of=R1", sign); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), `name="pin.second"`) || x.facts() != before {
		t.Fatalf("no PIN of the second person is asked for: %d", w.Code)
	}
	if w := x.post("/labels?of=R1", with(sign, "pin.second", "2580")); w.Code != http.StatusOK || x.facts() != before {
		t.Fatalf("the first person's PIN stands for the second's: %d", w.Code)
	}
	if w := x.post("/labels?of=R1", with(sign, "pin.second", "1379")); w.Code != http.StatusSeeOther || x.facts() != before+1 {
		t.Fatalf("signing with both PINs: %d\n%s", w.Code, w.Body)
	}
}

// Pallets and cases are numbered in series, never twice; a tag and what a honey may be
// called need no proof.
func TestParcelAndTagLabels(t *testing.T) {
	x := labelHouse(t)
	var files [][]byte
	for i, of := range []string{"PAL-R3-1", "PAL-R3-2", "PAL-R3-1"} {
		w := x.post("/labels/parcels", url.Values{"of": {of}, "key": {strings.Repeat(fmt.Sprintf("%02x", i+1), 16)}})
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/pdf" {
			t.Fatalf("%s: %d\n%s", of, w.Code, w.Body)
		}
		files = append(files, w.Body.Bytes())
		before := x.facts()
		if again := x.post("/labels/parcels", url.Values{"of": {of}, "key": {strings.Repeat(fmt.Sprintf("%02x", i+1), 16)}}); again.Code >= 500 || x.facts() != before {
			t.Errorf("%s: sent twice it is written twice (%d)", of, again.Code)
		}
	}
	if bytes.Equal(files[0], files[1]) {
		t.Error("two pallets have one label")
	}
	var numbers []string
	x.o.Read(func(v *office.View) {
		for _, p := range v.State.Papers("") {
			if p.Fact.What == record.PalletLabel {
				numbers = append(numbers, string(p.Fact.Paper))
			}
		}
	})
	if got := strings.Join(numbers, " "); got != "095212340000000006 095212340000000013 PA-01" {
		t.Errorf("numbers given: %s", got)
	}
	if page := x.get("/labels?of=R1&cases=yes"); !strings.Contains(page, "R1-C1") || !strings.Contains(page, "(01)19521234000027(15)280928(10)R1-01") {
		t.Error("the cases' labels are not shown")
	}
	if page := x.get("/labels?of=R1-C7"); !strings.Contains(page, "R1-C7") {
		t.Error("the label of one case is not shown")
	}
	page := x.get("/labels?of=D062&plant=honeydew")
	for _, want := range []string{"1.04", "pollen sheet", "missing", "The next number is D", "Tag (PDF)"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the page of D062", want)
		}
	}
	if w := x.do(x.request("GET", "/labels/file?of=D062&what=tag", nil)); w.Body.String() != "%PDF D062" {
		t.Errorf("the tag: %s", w.Body)
	}
	if w := x.do(x.request("GET", "/labels?of=nothing", nil)); w.Code != http.StatusNotFound {
		t.Errorf("a label of nothing: %d", w.Code)
	}
}

// The texts of labels and codes are set on the rules page, each checked as it is set.
func TestLabelRulesOnThePage(t *testing.T) {
	x := labelHouse(t).unlocked()
	page := x.get("/rules")
	for _, want := range []string{"3 Mill Lane, Thornmere", "Company prefix of GS1", "9521234000013", "Country VM on labels", "Largest surface of the pack"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	path := "/do/setting?of=" + url.QueryEscape("codes.item.summer 340")
	f := form(x.get(path))
	if w := x.post(path, with(f, "0.text", "9521234000014")); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "the right check digit is 3") {
		t.Errorf("a wrong digit: %d", w.Code)
	}
	if w := x.post(path, with(f, "0.text", "9521234000105")); w.Code != http.StatusSeeOther {
		t.Errorf("a right number: %d\n%s", w.Code, w.Body)
	}
	if !strings.Contains(x.get("/rules"), "9521234000105") {
		t.Error("the number was not set")
	}
	path = "/do/setting?of=honey.plant.summer"
	if w := x.post(path, with(form(x.get(path)), "0.text", "lime")); w.Code != http.StatusSeeOther {
		t.Errorf("what a honey is of: %d\n%s", w.Code, w.Body)
	}
}
