package words

import (
	"fmt"
	"strings"
	"testing"

	"combline/internal/quantity"
)

// The counts and forms are the samples of Unicode CLDR's plural rules for each
// language (supplemental/plurals.xml, cardinal); the words are ours.
func TestPlurals(t *testing.T) {
	forms := map[Lang]map[string][]string{
		English: {"jar": {"1"}, "jars": {"0", "2", "11", "21", "1000000", "1.0", "1.5", "0.1"}},
		Spanish: {"tarro": {"1"}, "tarros": {"0", "2", "11", "21", "1000", "1.5", "0.1"}},
		Polish: {
			"słoik":   {"1"},
			"słoiki":  {"2", "3", "4", "22", "24", "102", "1002"},
			"słoików": {"0", "5", "11", "12", "13", "14", "19", "21", "25", "100", "112", "1000", "1000000", "10000001"},
			"słoika":  {"0.1", "1.5", "1.0", "2.0", "10.0"},
		},
	}
	for l, byWord := range forms {
		c := catalogue(t, l)
		for word, samples := range byWord {
			for _, sample := range samples {
				f, err := quantity.ParseFigure(sample, quantity.Want{Unit: quantity.Each, Style: quantity.DecimalPoint})
				if err != nil {
					t.Fatal(err)
				}
				if got := c.Say("count.jars", "n", f); !strings.HasSuffix(got, " "+word) {
					t.Errorf("%s: %s counts as %q, want %s", l, sample, got, word)
				}
			}
		}
	}
	if got := catalogue(t, Polish).Say("count.jars", "n", 22); got != "22 słoiki" {
		t.Errorf("got %q", got)
	}
	if got := catalogue(t, Polish).Say("count.jars", "n", int64(-5)); got != "−5 słoików" {
		t.Errorf("got %q", got)
	}
}

type drumID string

func TestSay(t *testing.T) {
	messages, err := parse(English, `plain = a text\nin two lines
full = {drum} holds {mass}; {known|yes:it is known|other:nobody knows}
kind = {k|drum:drum {id}|tank:tank|other:vessel}
`)
	if err != nil {
		t.Fatal(err)
	}
	c := &Catalogue{lang: English, messages: messages, style: StyleOf(English)}
	for _, s := range []struct{ got, want string }{
		{c.Say("plain"), "a text\nin two lines"},
		{c.Say("full", "drum", drumID("D041"), "mass", quantity.Gram(290400), "known", true), "D041 holds 290.4\u00a0kg; it is known"},
		{c.Say("full", map[string]any{"drum": "D041", "mass": 12, "known": false}), "D041 holds 12; nobody knows"},
		{c.Say("kind", "k", "drum", "id", Key("plain")), "drum a text\nin two lines"},
		{c.Say("kind", "k", drumID("tank")), "tank"},
		{c.Say("kind", "k", "pail"), "vessel"},
		{c.Say("lost"), "⟦lost⟧"},
		{c.Say("full", "drum", "D041"), "D041 holds ⟦mass⟧; ⟦known⟧"},
		{c.Say("full", "drum"), "⟦drum⟧ holds ⟦mass⟧; ⟦known⟧"},
	} {
		if s.got != s.want {
			t.Errorf("got %q, want %q", s.got, s.want)
		}
	}
}

func TestText(t *testing.T) {
	en, es, pl := catalogue(t, English), catalogue(t, Spanish), catalogue(t, Polish)
	for _, c := range []struct {
		v                  any
		english, esp, pols string
	}{
		{true, "yes", "sí", "tak"},
		{1440, "1 440", "1 440", "1 440"},
		{quantity.Gram(1234567), "1 234.6 kg", "1 234,6 kg", "1 234,6 kg"},
		{quantity.Milligram(340_870), "340.9 g", "340,9 g", "340,9 g"},
		{quantity.Figure{Mantissa: 1730, Decimals: 2, Unit: quantity.Pct}, "17.30 %", "17,30 %", "17,30 %"},
		{quantity.Figure{Mantissa: 3200, Unit: quantity.PerGram}, "3 200/g", "3 200/g", "3 200/g"},
		{quantity.Figure{Mantissa: 5, Unit: quantity.Litre}, "5 L", "5 L", "5 l"},
		{quantity.Figure{Mantissa: 15, Decimals: 1, Unit: quantity.Day}, "1.5 days", "1,5 días", "1,5 dnia"},
		{quantity.Figure{Mantissa: 14915, Decimals: 4, Unit: quantity.RefIndex}, "1.4915", "1,4915", "1,4915"},
		{quantity.Figure{}, "not given", "sin dato", "nie podano"},
		{quantity.Celsius(-0.04), "0.0 °C", "0,0 °C", "0,0 °C"},
		{quantity.Celsius(-3.5), "−3.5 °C", "−3,5 °C", "−3,5 °C"},
		{quantity.Kelvin(308.15), "35.0 °C", "35,0 °C", "35,0 °C"},
		{quantity.WaterPct(17.25), "17.3 %", "17,3 %", "17,3 %"},
		{quantity.MilliSCm(0.8), "0.80 mS/cm", "0,80 mS/cm", "0,80 mS/cm"},
		{quantity.Days(3), "3 days", "3 días", "3 dni"},
		{quantity.Days(0.5), "0.5 days", "0,5 días", "0,5 dnia"},
		{quantity.Days(12.4), "12 days", "12 días", "12 dni"},
		{quantity.Minutes(90), "1 h 30 min", "1 h 30 min", "1 h 30 min"},
		{quantity.Minutes(2*1440 + 4*60), "2 days 4 h", "2 días 4 h", "2 dni 4 h"},
		{quantity.Minutes(1439.6), "1 day", "1 día", "1 dzień"},
		{quantity.Minutes(-45), "−45 min", "−45 min", "−45 min"},
		{quantity.Weighed, "measured", "medido", "zmierzono"},
		{quantity.TooClose, "too close to call", "demasiado justo para decidir", "zbyt blisko granicy, by rozstrzygnąć"},
		{[]string{"D041", "D042", "D043"}, "D041, D042 and D043", "D041, D042 y D043", "D041, D042 i D043"},
		{quantity.MoneyCents(480), "4.80", "4,80", "4,80"},
	} {
		for _, p := range [][2]string{{en.Text(c.v), c.english}, {es.Text(c.v), c.esp}, {pl.Text(c.v), c.pols}} {
			if spaced(p[0]) != p[1] {
				t.Errorf("%v prints %q, want %q", c.v, p[0], p[1])
			}
		}
	}
}

// spaced writes no-break spaces as plain ones, for reading.
func spaced(s string) string { return strings.NewReplacer(thin, " ", noBreak, " ").Replace(s) }

func TestStyles(t *testing.T) {
	c := catalogue(t, Spanish)
	us := c.In(Style{Mass: quantity.Lb, Temp: quantity.DegF, Decimal: quantity.DecimalPoint, Currency: "$", Plain: true})
	for _, s := range []struct{ got, want string }{
		{us.Text(quantity.Gram(290_300)), "640.0 lb"}, // 290.3 / 0.45359237
		{us.Text(quantity.Gram(1_000_000)), "2 204.6 lb"},
		{us.Text(quantity.Gram(340)), "12.0 oz"},
		{us.Text(quantity.Milligram(340_194)), "12.00 oz"}, // 12 oz is 340.194 g
		{us.Text(quantity.Celsius(35)), "95.0 °F"},
		{us.TempStep(5, 0), "9 °F"},
		{us.Text(quantity.MoneyCents(-480)), "-4.80 $"},
		{us.Band(-1, 2.5, 1), "de -1.0 a 2.5"},
		{us.Band(17.1, 17.5, 1), "17.1-17.5"},
		{c.Text(quantity.Gram(290_300)), "290,3\u00a0kg"}, // c itself has not changed
	} {
		if s.got != s.want {
			t.Errorf("got %q, want %q", s.got, s.want)
		}
	}
}

func TestUnknownIsSaid(t *testing.T) {
	c := catalogue(t, English)
	u := quantity.Unknown()
	for _, got := range []string{c.Text(quantity.WaterPct(u.Value)), c.Number(u.Value, 1), c.Band(u.Value, 1, 1),
		c.Doubt(u, 1, quantity.Pct), c.Text(quantity.Days(u.Value)), c.Text(quantity.Minutes(u.Value)), c.Text(quantity.VerdictUnknown)} {
		if got != "not known" {
			t.Errorf("got %q", got)
		}
	}
}

// 17.3 ± 0.2 is a standard uncertainty of 0.1: 9 in 10 is ± 0.164 (JCGM 100:2008
// table G.1, k = 1.645).
func TestDoubt(t *testing.T) {
	got := catalogue(t, English).Doubt(quantity.FromPlusMinus(17.3, 0.2), 2, quantity.Pct)
	if spaced(got) != "17.30 % (17.14–17.46)" {
		t.Errorf("got %q", got)
	}
}

func TestSharesAddUp(t *testing.T) {
	c := catalogue(t, English)
	got, err := c.Shares([]quantity.Gram{1, 1, 1}, 0)
	if want := "[34 % 33 % 33 %]"; err != nil || spaced(fmt.Sprint(got)) != want {
		t.Errorf("got %v, %v; want %s", got, err, want)
	}
	got, err = c.Shares([]quantity.Gram{2_030_000, 1_450_000}, 1) // the trade's worked example: 58.3 and 41.7
	if want := "[58.3 % 41.7 %]"; err != nil || spaced(fmt.Sprint(got)) != want {
		t.Errorf("got %v, %v; want %s", got, err, want)
	}
}

func TestRefusal(t *testing.T) {
	want := quantity.Want{Dim: quantity.Mass, Unit: quantity.KgUnit}
	for _, c := range []struct {
		l          Lang
		typed, say string
	}{
		{English, "1,234", "“1,234” can be 1.234 kg or 1 234 kg. For thousands leave the sign out; for decimals add a 0 at the end."},
		{Spanish, "1,234", "«1,234» puede ser 1,234 kg o 1 234 kg. Para los miles, escriba sin signo; para los decimales, añada un 0 al final."},
		{Polish, "5 °C", "Jednostka w „5 °C” nie pasuje. Tu potrzebne: masa. Wpisz na przykład 12,5 kg."},
		{English, "five", "“five” is not a number. Type for example 12.5 kg."},
		{Polish, "", "Nic nie wpisano. To znaczy „nie podano”, a nie 0."},
	} {
		_, err := quantity.ParseFigure(c.typed, want)
		if got, ok := catalogue(t, c.l).Refusal(err); !ok || spaced(got) != c.say {
			t.Errorf("%q: %q, %v; want %q", c.typed, got, ok, c.say)
		}
	}
	if got, ok := catalogue(t, English).Refusal(fmt.Errorf("another")); ok {
		t.Errorf("got %q", got)
	}
}

func TestParseLang(t *testing.T) {
	for tag, want := range map[string]Lang{"en": English, "es-MX": Spanish, "pl_PL": Polish, "PL": Polish} {
		if got, err := ParseLang(tag); err != nil || got != want {
			t.Errorf("ParseLang(%q) = %q, %v; want %q", tag, got, err, want)
		}
	}
	for _, tag := range []string{"", "de", "??"} {
		if got, err := ParseLang(tag); err == nil {
			t.Errorf("ParseLang(%q) = %q, want an error", tag, got)
		}
	}
	if _, err := For("de"); err == nil {
		t.Error("For(de) gives a catalogue")
	}
}
