package standard

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCheckDigitExamples(t *testing.T) {
	eachRow(t, "examples_gs1_checkdigit", func(t *testing.T, r row) {
		code := r["number"]
		d, cite, err := CheckDigit(code[:len(code)-1])
		valid, _, err2 := CodeValid(code)
		if err != nil || err2 != nil || string(d) != r["correct_check_digit"] || valid != (r["expect"] == "valid") {
			t.Errorf("%s: %c %v, %v %v; want %s (%s)", code, d, valid, err, err2, r["correct_check_digit"], r["source"])
		}
		r.got(t, cite)
	})
}

func TestCheckDigitRefuses(t *testing.T) {
	for _, bad := range []string{"", "1", "123456", "12345678", "1234567890", "12345678901234", "123456789012345678", "12345a7", "123 567", "１２３４５６７"} {
		if d, _, err := CheckDigit(bad); err == nil {
			t.Errorf("%q: %c, want it refused", bad, d)
		}
	}
	for _, bad := range []string{"", "1234567", "1234567x", "x2345670"} {
		if ok, _, err := CodeValid(bad); err == nil || ok {
			t.Errorf("%q: %v, want it refused", bad, ok)
		}
	}
}

// Laws: the completed code is valid, and any one wrong digit makes it invalid
// (weights 3 and 1 have no common factor with 10).
func TestCheckDigitFindsOneWrongDigit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{7, 11, 12, 13, 17}).Draw(t, "digits")
		body := rapid.StringOfN(rapid.RuneFrom([]rune("0123456789")), n, n, -1).Draw(t, "body")
		d, _, err := CheckDigit(body)
		if err != nil {
			t.Fatal(err)
		}
		code := []byte(body + string(d))
		if ok, _, err := CodeValid(string(code)); err != nil || !ok {
			t.Fatalf("%s: %v, %v", code, ok, err)
		}
		at := rapid.IntRange(0, n).Draw(t, "at")
		code[at] = '0' + (code[at]-'0'+byte(rapid.IntRange(1, 9).Draw(t, "by")))%10
		if ok, _, err := CodeValid(string(code)); err != nil || ok {
			t.Fatalf("%s: %v, %v", code, ok, err)
		}
	})
}

func TestSetsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Sets() {
		if s.ID == "" || s.Title == "" || s.Subject == NoSubject || s.Products == 0 || s.Got == GotUnknown || s.Ask == "" || seen[s.ID] {
			t.Errorf("%+v: want an id of its own, title, subject, products, how it was got, and whom to ask", s)
		}
		if s.From != 0 && s.To != 0 && s.From > s.To {
			t.Errorf("%s: from %v to %v", s.ID, s.From, s.To)
		}
		seen[s.ID] = true
	}
	if len(seen) != int(setCount)-1 {
		t.Errorf("%d sets listed of %d", len(seen), setCount-1)
	}
	Sets()[0].ID = "changed" // a copy: no caller changes a rule set
	if EUHoney.Set().ID != "eu-honey-2014" {
		t.Error("a caller changed a rule set")
	}
	if s := SetID(200).Set(); s.ID != "" {
		t.Errorf("unknown set: %+v", s)
	}
}

func TestChoose(t *testing.T) {
	day := DateOf(2026, 11, 1)
	for _, c := range []struct {
		market  Rules
		product Product
		subject Subject
		on      Date
		want    []SetID
	}{
		{EU, TableHoney, HoneyLimits, day, []SetID{EUHoney}}, {DE, CookingHoney, HoneyLimits, day, []SetID{EUHoney}},
		{US, TableHoney, HoneyLimits, day, []SetID{USGrades}}, {Codex, TableHoney, HoneyLimits, day, []SetID{CodexHoney}},
		{Codex, CookingHoney, HoneyLimits, day, nil}, {UK, TableHoney, HoneyLimits, day, nil}, {EU, HoneyGoods, HoneyLimits, day, nil},
		{DE, HoneyGoods, NetContents, day, []SetID{DEContents}}, {OIML, TableHoney, NetContents, day, []SetID{OIMLContents}},
		{EU, TableHoney, FillTarget, day, []SetID{UKGuidance}}, {DE, TableHoney, FillTarget, day, []SetID{DETarget}},
		{UK, TableHoney, ScaleErrors, day, []SetID{OIMLScales}}, {US, TableHoney, ScaleErrors, day, nil},
		{EU, TableHoney, LabelSizes, day, []SetID{EULabels, EUFigures}}, {EU, TableHoney, OriginStatement, 0, []SetID{EUOrigin2024}},
		{DE, TableHoney, OriginStatement, DateOf(2026, 1, 1), []SetID{EUOrigin2001}}, {US, TableHoney, OriginStatement, day, nil},
		{NoRules, TableHoney, NetContents, day, nil},
	} {
		got, err := Choose(c.market, c.product, c.subject, c.on)
		if c.want == nil && !errors.Is(err, ErrNoRule) || c.want != nil && err != nil || len(got) != len(c.want) {
			t.Errorf("%+v: %v, %v", c, got, err)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%+v: %v", c, got)
			}
		}
	}
}

func TestCiteCarriesItsSet(t *testing.T) {
	a, err := ToleranceOf(EU, 340*g)
	if err != nil || a.Cite.ID() != "eu-contents-1978" || a.Cite.Edition() != "78/891/EEC" || a.Cite.Dated().String() != "1978" {
		t.Errorf("%v %v %v, %v", a.Cite.ID(), a.Cite.Edition(), a.Cite.Dated(), err)
	}
	if s := a.Cite.String(); s != "eu-contents-1978: Directive 76/211/EEC as amended by 78/891/EEC, Annex I 2.4, 2.5 (read)" {
		t.Error(s)
	}
}

func TestRulesAndDates(t *testing.T) {
	for _, s := range []string{"eu", "uk", "de", "us", "oiml", "codex"} {
		if r, err := ParseRules(s); err != nil || r.String() != s {
			t.Errorf("%s: %v, %v", s, r, err)
		}
	}
	for _, s := range []string{"", "EU", "none", "fr"} {
		if r, err := ParseRules(s); !errors.Is(err, ErrNoRule) || r != NoRules {
			t.Errorf("%q: %v, %v", s, r, err)
		}
	}
	for d, want := range map[Date]string{0: "undated", 19780000: "1978", 20121200: "2012-12", originChange: "2026-06-14"} {
		if d.String() != want {
			t.Errorf("%d is %s, want %s", int32(d), d, want)
		}
	}
	for _, s := range []string{"", "2026-02-30", "14.6.2026", "2026-6-1"} {
		if d, err := ParseDate(s); err == nil {
			t.Errorf("%q: %v, want it refused", s, d)
		}
	}
}

// The rules in words come whole, and where they state a figure that this
// package answers, both agree.
func TestNotes(t *testing.T) {
	byID := map[string]Note{}
	for name, c := range map[string]struct {
		of     func() ([]Note, error)
		prefix string
		want   int
	}{"labels": {LabelNotes, "L", 35}, "trace": {TraceNotes, "T", 9}, "safety": {SafetyNotes, "H", 13}, "control": {ControlNotes, "R", 14}} {
		notes, err := c.of()
		if err != nil || len(notes) != c.want {
			t.Errorf("%s: %d notes, %v; want %d", name, len(notes), err, c.want)
		}
		for _, n := range notes {
			if n.Rule == "" || n.Source == "" || n.Got == GotUnknown || !strings.HasPrefix(n.ID, c.prefix) {
				t.Errorf("%s: %+v", name, n)
			}
			byID[n.ID] = n
		}
	}
	x80, _, _ := XHeightMM(80)
	x79, _, _ := XHeightMM(79)
	e, _, _ := EMarkHeightMM(340 * g)
	for id, part := range map[string]string{"L02": ">= 1.2 mm", "L03": ">= 0.9 mm", "L09": "at least 3 mm high", "L19": "14 June 2026",
		"L35": "18 % / 9 g / 9 % / 18 g / 6 % / 30 g / 3 %", "R2": "1.96*s", "R3": "3.72*s", "R8": "z = 2.0537", "R10": "MAV/6", "R9": "TNE/5"} {
		if !strings.Contains(byID[id].Rule, part) {
			t.Errorf("%s: %q without %q", id, byID[id].Rule, part)
		}
	}
	if x80 != 1.2 || x79 != 0.9 || e != 3 || originChange.String() != "2026-06-14" || z25in1000 != 1.96 || z1in10000 != 3.72 || z20in1000 != 2.0537 {
		t.Error("a figure differs from its rule in words")
	}
	for _, bad := range []string{"", "id,x\n1,2\n", "id,subject,rule,source,got\na,b,c,d,guess\n", "id,subject,rule,source,got\na,b\n"} {
		if _, err := notes(bad, "id,subject,rule,source,got", func(f []string) Note { return Note{} }); err == nil {
			t.Errorf("table %q: want it refused", bad)
		}
	}
}

// Look-ups do not allocate: a million rows of a table ask for each.
func TestLookUpsDoNotAllocate(t *testing.T) {
	for name, f := range map[string]func() error{
		"tolerance": func() error { _, err := ToleranceOf(DE, 340*g); return err },
		"variation": func() error { _, err := ToleranceOf(US, 340*g); return err },
		"target":    func() error { _, err := TargetFor(EU, 340*g, 1.7, 20); return err },
		"mean":      func() error { _, err := MeanTest(EU, 340*g, 30, 340, 1.7); return err },
		"mean of 7": func() error { _, err := MeanTest(EU, 340*g, 7, 340, 1.7); return err },
		"plan":      func() error { _, err := PlanFor(UK, Single, 700); return err },
		"digit":     func() error { _, _, err := CheckDigit("629104150021"); return err },
		"limit":     func() error { _, err := LimitOf(EU, HMF, Honey{Kind: Blossom}); return err },
		"grade":     func() error { _, err := LimitOf(US, Moisture, Honey{Grade: GradeA}); return err },
		"scale":     func() error { _, err := ScaleErrorOf(ClassIII, gm, 500*gm); return err },
		"height":    func() error { _, _, err := FigureHeightMM(EU, 340*g); return err },
		"declare":   func() error { _, err := Declare(Salt, 0.0126); return err },
		"share":     func() error { _, err := CheckShare(60, 583, 1000); return err },
		"filler":    func() error { _, err := FillerErrorOf(340*g, 1); return err },
		"mass":      func() error { _, _, err := MassError(gm); return err },
	} {
		if err := f(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if n := testing.AllocsPerRun(100, func() { _ = f() }); n != 0 {
			t.Errorf("%s: %g allocations a call", name, n)
		}
	}
	if k, err := MeanFactor(0.995, math.MaxInt); err == nil {
		t.Errorf("MaxInt jars: %v", k)
	}
}

func BenchmarkTolerance(b *testing.B) {
	for b.Loop() {
		_, _ = ToleranceOf(EU, 340*g)
	}
}

func BenchmarkTarget(b *testing.B) {
	for b.Loop() {
		_, _ = TargetFor(EU, 340*g, 1.7, 20)
	}
}

func BenchmarkMeanPrinted(b *testing.B) {
	for b.Loop() {
		_, _ = MeanTest(EU, 340*g, 30, 340, 1.7)
	}
}

func BenchmarkMeanComputed(b *testing.B) {
	for b.Loop() {
		_, _ = MeanTest(EU, 340*g, 33, 340, 1.7)
	}
}

func BenchmarkCheckDigit(b *testing.B) {
	for b.Loop() {
		_, _, _ = CheckDigit("629104150021")
	}
}
