package gs1

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The rows of examples_gs1_syntax.csv: GS1's data reading example, Digital Link
// examples, the syntax dictionary's dates and the CBV 2.0 reference vectors.
func TestPublishedExamples(t *testing.T) {
	f, err := os.Open("testdata/examples_gs1_syntax.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	words := map[string]string{"GTIN": "01", "lot": "10", "serial": "21", "expiry": "17"}
	for _, r := range rows[1:] {
		id, input, expect := r[0], r[1], r[2]
		switch {
		case id == "GS01":
			es, err := Parse(strings.TrimPrefix(input, "element string "))
			var got []string
			for _, e := range es {
				got = append(got, e.Code+"="+e.Value)
			}
			if err != nil || strings.Join(got, "; ") != expect {
				t.Errorf("%s: %v, %v; want %s", id, got, err, expect)
			}
		case slices.Contains([]string{"GS02", "GS03"}, id):
			es, err := ParseLink(input)
			if err != nil {
				t.Fatalf("%s: %v", id, err)
			}
			for _, want := range strings.Split(expect, "; ") {
				word, value, _ := strings.Cut(want, " ")
				got := es.Value(words[word])
				if word == "expiry" {
					day, err := Day(got, 2026)
					if err != nil {
						t.Errorf("%s: %v", id, err)
					}
					got = day.Format("2 Jan 2006")
				}
				if got != value {
					t.Errorf("%s: %s is %q, want %q", id, word, got, value)
				}
			}
		case slices.Contains([]string{"GS04", "GS05", "GS06", "GS07", "GS08", "GS09", "GS13"}, id):
			in := strings.TrimSuffix(input, " (normalise)")
			if got, err := Canonical(in); err != nil || got != expect {
				t.Errorf("%s: %q, %v; want %q", id, got, err, expect)
			}
		case id == "GS10":
			dates := strings.Split(strings.TrimSuffix(strings.TrimPrefix(input, "date "), " (YYMMDD)"), " / ")
			for i, want := range strings.Split(expect, " / ") {
				if err := verifyDate(dates[i], false); (err == nil) != (want == "valid") {
					t.Errorf("%s: %s: %v, want %s", id, dates[i], err, want)
				}
			}
		case id == "GS11", id == "GS14":
			es, grams := Elements{{"01", "99521234543216"}, {"3103", "000500"}}, int64(500)
			if id == "GS14" {
				es[1], grams = Element{"3102", "001250"}, 12500
			}
			if got, ok := es.Grams(); !ok || got != grams || es.Check() != nil {
				t.Errorf("%s: %d g, %v; want %d (%s); %v", id, got, ok, grams, expect, es.Check())
			}
		case id == "GS12":
			if es, err := ParseLink(input); err != nil || es.Value("00") != strings.TrimPrefix(expect, "SSCC ") {
				t.Errorf("%s: %v, %v", id, es, err)
			}
		case id == "GS15":
			if _, err := Parse("(01)09521234543213(10)" + strings.Repeat("A", 21)); err == nil || !strings.Contains(err.Error(), "21 characters, want 1 to 20") {
				t.Errorf("%s: %v", id, err)
			}
		case id == "GS16":
			if _, err := Parse("(01)09521234543213(02)09521234543213(37)5"); err == nil || !strings.Contains(err.Error(), "exclude each other") {
				t.Errorf("%s: %v", id, err)
			}
		default:
			t.Errorf("%s: a row that nothing checks", id)
		}
	}
}

// Each identifier of the syntax dictionary's extract is known, with the same form.
func TestIdentifiersAreTheDictionarys(t *testing.T) {
	f, err := os.Open("testdata/gs1_ai.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		code, _, _ := strings.Cut(r[0], "-")
		id, rest, err := identify(code)
		if err != nil || rest != "" {
			t.Errorf("%s: %v", r[0], err)
			continue
		}
		if needed := r[1] == "yes"; needed == id.fixed() {
			t.Errorf("%s: fixed length %v, FNC1 needed %v", code, id.fixed(), needed)
		}
		if inURI := r[2] == "yes"; inURI != id.inURI {
			t.Errorf("%s: in an address %v, want %v", code, id.inURI, inURI)
		}
		form, _, _ := strings.Cut(r[3], " ")
		if text := strings.HasPrefix(form, "X"); text != id.parts[0].text {
			t.Errorf("%s: text %v, want %s", code, id.parts[0].text, form)
		}
		for mark, want := range map[string]check{"csum": checksum, "yymmd0": dateOrEnd, "yymmdd": date, "iso3166": country} {
			if strings.Contains(form, mark) != (id.parts[0].check == want) {
				t.Errorf("%s: check %v, want %s", code, id.parts[0].check, form)
			}
		}
	}
}

func TestRefused(t *testing.T) {
	for in, says := range map[string]string{
		"":                               "the code is empty",
		"(01)09521234543214":             "should with 3",
		"0109521234":                     "ends too early",
		"(15)281301(01)09521234543213":   "no date of the calendar",
		"(15)281300(01)09521234543213":   "no date of the calendar",
		"(10)L7":                         "says nothing without 01 or 02",
		"(01)09521234543213(37)12":       "exclude each other",
		"(9999)1":                        "no identifier",
		"(3107)000500(01)09521234543213": "number of decimals",
		"(01)09521234543213(10)Miód":     "can't carry",
		"(01)09521234543213(10)A(10)B":   "stands twice",
		"(422)616":                       "says nothing without",
		"01095212345432133103":           "ends too early",
		strings.Repeat("0", 500):         "at most some 90",
	} {
		if es, err := Parse(in); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, %v; want %q", in, es, err, says)
		}
	}
	for _, in := range []string{"", "ftp://id.gs1.org/01/09521234543213", "https://id.gs1.org/01", "https://id.gs1.org/01/09521234543213/10",
		"https://id.gs1.org/01/09521234543213/21/5/10/A", "https://id.gs1.org/honey", "urn:epc:id:sgtin:1.2", "urn:epc:id:sgtin:..", "urn:epc:id:sscc:.", "urn:epc:id:nothing:1.2.3"} {
		if got, err := Canonical(in); err == nil {
			t.Errorf("%q gives %q", in, got)
		}
	}
}

// A century is near: GS1 General Specifications section 7.12 (memory).
func TestDays(t *testing.T) {
	for _, c := range []struct {
		in   string
		year int
		want string
	}{
		{"281130", 2026, "2028-11-30"}, {"280200", 2026, "2028-02-29"}, {"290200", 2026, "2029-02-28"}, {"261200", 2026, "2026-12-31"},
		{"760101", 2026, "2076-01-01"}, {"770101", 2026, "1977-01-01"}, {"000101", 2051, "2100-01-01"}, {"990101", 2026, "1999-01-01"},
	} {
		got, err := Day(c.in, c.year)
		if err != nil || got.Format(time.DateOnly) != c.want {
			t.Errorf("%s beside %d: %v, %v; want %s", c.in, c.year, got, err, c.want)
		}
	}
}

// Keys from memory of no table: the check digits are the algorithm's, which standard
// holds to GS1's published vectors.
func TestKeys(t *testing.T) {
	if e, err := Case("09521234543213", 1); err != nil || e.Value != "19521234543210" {
		t.Errorf("%v, %v", e, err)
	}
	if e, err := Pallet("4012345", 3, 111_111_111); err != nil || e.Value != "340123451111111111" {
		t.Errorf("%v, %v", e, err) // the SSCC of the CBV vectors
	}
	if _, err := Pallet("4012345", 3, 1_000_000_000); err == nil {
		t.Error("ten digits fit nine places")
	}
	if _, err := Item("9521234543214"); err == nil || !strings.Contains(err.Error(), "should with 3") {
		t.Errorf("%v", err)
	}
	for _, bad := range []string{"", "12", "952123454321a", "106141411234567897"} {
		if e, err := Item(bad); err == nil {
			t.Errorf("%q gives %v", bad, e)
		}
	}
}

// What is written is read back: as a code, as print and as an address.
func TestThereAndBack(t *testing.T) {
	lot := rapid.StringMatching(`[A-Za-z0-9!"%&'()*+,\-./:;<=>?_]{1,20}`)
	rapid.Check(t, func(t *rapid.T) {
		es := Elements{{"01", "09521234543213"}, {"10", lot.Draw(t, "lot")}, {"15", "281100"}}
		if rapid.Bool().Draw(t, "serial") {
			es = append(es, Element{"21", lot.Draw(t, "serial number")})
		}
		if got, err := Parse(es.String()); err != nil || !slices.Equal(got, es) {
			t.Fatalf("%q: %v, %v", es.String(), got, err)
		}
		address, err := es.Link(Home)
		if err != nil {
			t.Fatal(err)
		}
		got, err := ParseLink(address)
		if err != nil || got.Value("10") != es.Value("10") || got.Value("21") != es.Value("21") || got.Value("15") != "281100" {
			t.Fatalf("%q: %v, %v", address, got, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"(01)09521234543213(10)A(1)", "]d20109521234543213\x1d10A\x1d21B", "https://a.b/gtin/09521234543213?15=281100", "urn:epc:id:sgln:4012345.00005.0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if es, err := Parse(s); err == nil {
			if again, err := Parse(es.String()); err != nil || !slices.Equal(again, es) {
				t.Fatalf("%q is read as %v, and again as %v, %v", s, es, again, err)
			}
		}
		if c, err := Canonical(s); err == nil {
			if again, err := Canonical(c); err != nil || again != c {
				t.Fatalf("%q is %q, and again %q, %v", s, c, again, err)
			}
		}
	})
}
