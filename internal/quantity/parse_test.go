package quantity

import (
	"errors"
	"testing"

	"pgregory.net/rapid"
)

func TestParseFigure(t *testing.T) {
	kg, anyUnit := Want{Unit: KgUnit}, Want{}
	comma, point := Want{Unit: KgUnit, Style: DecimalComma}, Want{Unit: KgUnit, Style: DecimalPoint}
	for _, c := range []struct {
		text string
		want Want
		fig  Figure
	}{
		{"290", kg, Figure{290, 0, KgUnit}},
		{" 290.40 ", kg, Figure{29040, 2, KgUnit}}, // trailing zeros are kept
		{"290,4", kg, Figure{2904, 1, KgUnit}},
		{"290,4kg", anyUnit, Figure{2904, 1, KgUnit}},
		{"290 KG", anyUnit, Figure{290, 0, KgUnit}},
		{"640.2 lbs", kg, Figure{6402, 1, Lb}},
		{"1.234,5", kg, Figure{12345, 1, KgUnit}},
		{"1,234.5", kg, Figure{12345, 1, KgUnit}},
		{"1,234.5", comma, Figure{12345, 1, KgUnit}}, // clear in itself
		{"1,234,567", kg, Figure{1234567, 0, KgUnit}},
		{"1,234", point, Figure{1234, 0, KgUnit}},
		{"1,234", comma, Figure{1234, 3, KgUnit}},
		{"1.234", point, Figure{1234, 3, KgUnit}},
		{"1.234", comma, Figure{1234, 0, KgUnit}},
		{"0,234", kg, Figure{234, 3, KgUnit}},        // thousands never start with 0
		{"1234,567", kg, Figure{1234567, 3, KgUnit}}, // nor have four digits
		{"12 345", kg, Figure{12345, 0, KgUnit}},
		{"12 345,678", kg, Figure{12345678, 3, KgUnit}}, // the space is the thousands sign
		{"12\u202f345 kg", kg, Figure{12345, 0, KgUnit}},
		{"12'345.6", kg, Figure{123456, 1, KgUnit}},
		{"12’345", kg, Figure{12345, 0, KgUnit}},
		{".5", kg, Figure{5, 1, KgUnit}},
		{"-3.5 °C", anyUnit, Figure{-35, 1, DegC}},
		{"−3,5ºC", anyUnit, Figure{-35, 1, DegC}},
		{"95 f", Want{Dim: Temperature, Unit: DegC}, Figure{95, 0, DegF}},
		{"35 °", Want{Unit: DegC}, Figure{35, 0, DegC}},
		{"300 K", anyUnit, Figure{300, 0, KelvinUnit}},
		{"17,30%", anyUnit, Figure{1730, 2, Pct}},
		{"0.1 g/100 g", anyUnit, Figure{1, 1, Pct}},
		{"3.4 mg / kg", anyUnit, Figure{34, 1, MgPerKg}},
		{"0,52 ms/cm", anyUnit, Figure{52, 2, MSPerCM}},
		{"520 uS/cm", anyUnit, Figure{520, 0, MicroSPerCM}},
		{"1,491", Want{Unit: RefIndex}, Figure{1491, 3, RefIndex}}, // can't be thousands
		{"3 200 /g", anyUnit, Figure{3200, 0, PerGram}},
		{"5 L", anyUnit, Figure{5, 0, Litre}},
		{"5 l", anyUnit, Figure{5, 0, Litre}},
		{"2 gal", anyUnit, Figure{2, 0, GallonUS}},
		{"90 m", Want{Dim: Duration}, Figure{90, 0, Minute}},
		{"1.1 m", Want{Dim: Length}, Figure{11, 1, Metre}},
		{"5 min.", anyUnit, Figure{5, 0, Minute}},
		{"12 lb 5 oz", kg, Figure{197, 0, Oz}},
		{"12lb5.5oz", kg, Figure{1975, 1, Oz}},
		{"-1 lb 1 oz", kg, Figure{-17, 0, Oz}},
		{"1 h 30 min", anyUnit, Figure{90, 0, Minute}},
		{"290 kg 400 g", anyUnit, Figure{290400, 0, G}},
		{"€4.80", Want{Unit: Money, Currency: "€"}, Figure{480, 2, Money}},
		{"4,80 €", Want{Unit: Money, Currency: "€"}, Figure{480, 2, Money}},
		{"0", kg, Figure{0, 0, KgUnit}},
		{"9223372036854775807 g", anyUnit, Figure{9223372036854775807, 0, G}},
	} {
		got, err := ParseFigure(c.text, c.want)
		if err != nil || got != c.fig {
			t.Errorf("ParseFigure(%q, %+v) = %+v, %v; want %+v", c.text, c.want, got, err, c.fig)
		}
	}
}

func TestParseFigureRefuses(t *testing.T) {
	kg := Want{Dim: Mass, Unit: KgUnit}
	for _, c := range []struct {
		text, key string
		want      Want
	}{
		{"NaN", KeyJunk, kg}, {"Inf", KeyJunk, kg}, {"-inf", KeyJunk, kg}, {"kg", KeyJunk, kg}, {"-", KeyJunk, kg},
		{"--5", KeyJunk, kg}, {"five", KeyJunk, kg}, {"\xff5", KeyJunk, kg}, {"٢٩٠", KeyJunk, kg}, {"290\n5", KeySeveral, kg},
		{"1,234", KeyAmbiguous, kg}, {"1.234 kg", KeyAmbiguous, kg}, {"-12.345", KeyAmbiguous, kg},
		{"1,23,456", KeyGrouping, kg}, {"12 34", KeyGrouping, kg}, {"1.2.3", KeyGrouping, kg}, {"0,234,567", KeyGrouping, kg},
		{"5.", KeyGrouping, kg}, {"1,234.567,8", KeyGrouping, kg}, {"1 234,567.8", KeyGrouping, kg}, {"1'234 567", KeyGrouping, kg},
		{"0.1234567891", KeyDecimals, kg}, {"9223372036854775808", KeySize, kg},
		{"1e3", KeyExponent, kg}, {"1.5E-3", KeyExponent, kg},
		{"290 kg 291 kg", KeySeveral, kg}, {"290/291", KeySeveral, kg}, {"0x1F", KeySeveral, kg},
		{"290 stone", KeyUnitUnknown, kg}, {"290 k", KeyUnitUnknown, kg}, {"5 kg lb", KeyUnitUnknown, kg},
		{"0xF", KeyUnitUnknown, kg}, {"5 °C", KeyUnitWrong, kg}, {"1 h 5 min", KeyUnitWrong, kg},
		{"290", KeyUnitMissing, Want{Dim: Mass}}, {"290", KeyUnitMissing, Want{}},
		{"12 lb 16 oz", KeyParts, kg}, {"12.5 lb 3 oz", KeyParts, kg}, {"9223372036854775807 lb 3 oz", KeySize, kg},
	} {
		f, err := ParseFigure(c.text, c.want)
		var refused *ParseError
		if !errors.As(err, &refused) || refused.Key != c.key {
			t.Errorf("ParseFigure(%q) = %v, %v; want the key %s", c.text, f, err, c.key)
		}
	}
}

func TestParseFigureEmptyIsNotZero(t *testing.T) {
	for _, text := range []string{"", "  ", "\t\u00a0"} {
		if f, err := ParseFigure(text, Want{Unit: KgUnit}); err != ErrEmpty || f.Given() {
			t.Errorf("ParseFigure(%q) = %v, %v; want ErrEmpty", text, f, err)
		}
	}
}

func TestAmbiguousNamesBothReadings(t *testing.T) {
	_, err := ParseFigure("-1,234 lb", Want{Unit: KgUnit})
	var refused *ParseError
	if !errors.As(err, &refused) || refused.Readings != [2]Figure{{-1234, 3, Lb}, {-1234, 0, Lb}} {
		t.Fatalf("got %v with %+v", err, refused)
	}
	const text = `"-1,234 lb": could be decimals or thousands: -1.234 lb or -1234 lb; type for example 12.5 kg`
	if err.Error() != text {
		t.Errorf("got %s\nwant %s", err, text)
	}
}

// What is printed is read back as the same figure, for every unit.
func TestPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Figure{
			Mantissa: rapid.Int64Range(-maxMantissa, maxMantissa).Draw(t, "mantissa"),
			Decimals: rapid.Uint8Range(0, MaxDecimals).Draw(t, "decimals"),
			Unit:     Unit(rapid.Uint8Range(uint8(NoUnit)+1, uint8(unitCount)-1).Draw(t, "unit")),
		}
		got, err := ParseFigure(f.String(), Want{Dim: f.Unit.Dimension(), Style: DecimalPoint})
		if err != nil || got != f {
			t.Fatalf("%v (%+v) read back as %+v, %v", f, f, got, err)
		}
	})
}

func TestEveryKeyHasAReason(t *testing.T) {
	for _, k := range ParseErrorKeys() {
		if reasons[k] == "" {
			t.Errorf("%s has no reason", k)
		}
	}
	if len(reasons) != len(ParseErrorKeys()) {
		t.Errorf("%d reasons for %d keys", len(reasons), len(ParseErrorKeys()))
	}
}

// A field's example must be one that the field takes.
func TestExampleIsTaken(t *testing.T) {
	for u := NoUnit; u < unitCount; u++ {
		for _, w := range []Want{{Unit: u}, {Dim: u.Dimension()}} {
			e := example(w)
			w.Style = DecimalPoint
			if got, err := ParseFigure(e.String(), w); err != nil || got != e {
				t.Errorf("example %v for %+v gives %v, %v", e, w, got, err)
			}
		}
	}
}

func FuzzParseFigure(f *testing.F) {
	for _, s := range []string{"290", "1,234", "1.234,50 kg", "12 lb 5 oz", "−3,5 °C", "0.1 g/100 g", "12'345", ".5", "5 K", "1e9", "NaN", "× 5", "5 ×"} {
		f.Add(s, uint8(0), uint8(2))
	}
	f.Fuzz(func(t *testing.T, s string, style, unit uint8) {
		w := Want{Unit: Unit(unit % uint8(unitCount)), Style: NumberStyle(style % 3)}
		got, err := ParseFigure(s, w)
		if err != nil {
			return
		}
		if err := got.Check(); err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		again, err := ParseFigure(got.String(), Want{Dim: got.Unit.Dimension(), Style: DecimalPoint})
		if err != nil || again != got {
			t.Errorf("%q is %+v, printed %q, read back %+v, %v", s, got, got, again, err)
		}
	})
}

func TestParseReading(t *testing.T) {
	for _, c := range []struct {
		text string
		want Want
		r    Reading
	}{
		{"17.3 ± 0.2 %", Want{Unit: Pct}, Reading{Figure{173, 1, Pct}, Figure{2, 1, Pct}, Figure{}}},
		{"17,3 % +/- 0,20", Want{}, Reading{Figure{173, 1, Pct}, Figure{20, 2, Pct}, Figure{}}},
		{"17.3 ± 0.2 %", Want{}, Reading{Figure{173, 1, Pct}, Figure{2, 1, Pct}, Figure{}}},
		{"17.3+-0.2", Want{Unit: Pct}, Reading{Figure{173, 1, Pct}, Figure{2, 1, Pct}, Figure{}}},
		{"0.52 mS/cm ± 3 %", Want{}, Reading{Figure{52, 2, MSPerCM}, Figure{3, 0, Pct}, Figure{}}},
		{"0.52 ± 3 %", Want{Unit: MSPerCM}, Reading{Figure{52, 2, MSPerCM}, Figure{3, 0, Pct}, Figure{}}},
		{"290 kg ± 200 g", Want{}, Reading{Figure{290, 0, KgUnit}, Figure{200, 0, G}, Figure{}}},
		{"5.2 ± 0.6 mg/kg (k = 1)", Want{}, Reading{Figure{52, 1, MgPerKg}, Figure{6, 1, MgPerKg}, Figure{1, 0, Each}}},
		{"17.3 %", Want{}, Reading{Figure: Figure{173, 1, Pct}}},
	} {
		if got, err := ParseReading(c.text, c.want); err != nil || got != c.r {
			t.Errorf("ParseReading(%q) = %+v, %v; want %+v", c.text, got, err, c.r)
		}
	}
	for text, key := range map[string]string{"17 ± 0 %": KeyDoubt, "17 ± -1 %": KeyDoubt, "17 ± %": KeyJunk, "17 ±": KeyDoubt,
		"17 ± 1 kg": KeyUnitWrong, "17 % ± 1 (k=9)": KeyDoubt, "17 ± 1 % ± 1": KeySeveral, "17 % ± 1 (hm)": KeyJunk} {
		_, err := ParseReading(text, Want{Unit: Pct})
		var refused *ParseError
		if !errors.As(err, &refused) || refused.Key != key {
			t.Errorf("ParseReading(%q): %v; want the key %s", text, err, key)
		}
	}
}
