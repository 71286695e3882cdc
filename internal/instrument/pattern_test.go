package instrument

import (
	"errors"
	"testing"
	"unicode/utf8"

	"combline/internal/quantity"
)

// What lines say under a pattern. The weights' conversions are those of the metre
// convention's prefixes and of the pound of 1959, 0.45359237 kg exactly.
func TestPatterns(t *testing.T) {
	for _, c := range []struct {
		pattern, line string
		want          Frame
		fault         Fault
	}{
		{Plain, "341.3", Frame{Weight: 341_300}, NoFault},
		{Plain, "  341,3 g ", Frame{Weight: 341_300}, NoFault},
		{Plain, "+ 0.3413 kg", Frame{Weight: 341_300}, NoFault},
		{Plain, "-0.5g", Frame{Weight: -500}, NoFault},
		{Plain, "0.75 lb", Frame{Weight: 340_194}, NoFault}, // 0.34019427750 kg
		{Plain, "12 oz", Frame{Weight: 340_194}, NoFault},   // the same
		{Plain, "0.3404994 g", Frame{Weight: 340}, NoFault}, // halves away from zero
		{Plain, "-0.0005 g", Frame{Weight: -1}, NoFault},    // on this side too
		{Plain, "341.3 C", Frame{}, BadUnit},                // a thermometer on the scale's line
		{Plain, "1,234.5", Frame{}, NoMatch},                // grouped: never a guess
		{Plain, "341.3 g 2", Frame{}, NoMatch},              // more than the pattern has
		{Plain, "99999999999999999999", Frame{}, BadNumber}, // more than any scale shows
		{Plain, "9999999999999", Frame{}, BadNumber},        // 10 million tonnes
		{Plain, "NaN", Frame{}, NoMatch},                    // no number
		{Plain, "", Frame{}, NoMatch},
		{Plain, "Tuer offen \xc3\xa4", Frame{}, NoMatch},
		{Plain, "\x00\x01\x02", Frame{}, NotText},
		{Plain, "341\xff3", Frame{}, NotText},
		{"{weight:kg}", "0.3413", Frame{Weight: 341_300}, NoFault},
		{"{weight:kg}[{unit}]", "341.3g", Frame{Weight: 341_300}, NoFault}, // the line's own unit goes first
		{"{stable:ST},{text},{weight}{unit}", "ST,GS,+000.3413kg", Frame{Weight: 341_300}, NoFault},
		{"{stable:ST},{text},{weight}{unit}", "US,GS,+000.3413kg", Frame{Weight: 341_300, Unstable: true}, NoFault},
		{"{stable:ST|OK} {weight}", "ok 341.3", Frame{Weight: 341_300}, NoFault},
		{"{stable:S} {weight}", "SX 341.3", Frame{Weight: 341_300, Unstable: true}, NoFault},
		{"{seq};{nozzle};{weight}", "17;3;341.3", Frame{Weight: 341_300, Seq: 17, HasSeq: true, Nozzle: 3}, NoFault},
		{"{seq},{nozzle},{weight}", "17,3,341.3", Frame{Weight: 341_300, Seq: 17, HasSeq: true, Nozzle: 3}, NoFault},
		{"{weight},{nozzle}", "341.3,3", Frame{Weight: 341_300, Nozzle: 3}, NoFault},
		{"{weight},{nozzle}", "341,3", Frame{Weight: 341_000, Nozzle: 3}, NoFault}, // the pattern's comma parts
		{"N{nozzle} {weight}", "n3 341.3", Frame{Weight: 341_300, Nozzle: 3}, NoFault},
		{"N{nozzle} {weight}", "n0 341.3", Frame{}, BadNumber}, // nozzles count from 1
		{"N{nozzle} {weight}", "n-3 341.3", Frame{}, NoMatch},
		{"[N{nozzle}] {weight}", "341.3", Frame{Weight: 341_300}, NoFault},
		{"{tare};{weight}", "210.5;551.8", Frame{Weight: 551_800, Tare: 210_500, HasTare: true}, NoFault},
		{"{time} {weight}", "14:05:09 341.3", Frame{Weight: 341_300, HasTime: true, OfDay: true, TimeMS: 50_709_000}, NoFault},
		{"{time} {weight}", "14:05:09.250 341.3", Frame{Weight: 341_300, HasTime: true, OfDay: true, TimeMS: 50_709_250}, NoFault},
		{"{time};{weight}", "2026-11-03T07:00:00Z;341.3", Frame{Weight: 341_300, HasTime: true, TimeMS: 1_793_689_200_000}, NoFault},
		{"{time};{weight}", "2026-11-03 07:00:00;341.3", Frame{Weight: 341_300, HasTime: true, NoZone: true, TimeMS: 1_793_689_200_000}, NoFault},
		{"{time};{weight}", "1793689200;341.3", Frame{Weight: 341_300, HasTime: true, TimeMS: 1_793_689_200_000}, NoFault},
		{"{time};{weight}", "1793689200000;341.3", Frame{Weight: 341_300, HasTime: true, TimeMS: 1_793_689_200_000}, NoFault},
		{"{time};{weight}", "25:99;341.3", Frame{}, BadTime},
		{"{{{weight}}", "{341.3}", Frame{Weight: 341_300}, NoFault},
		{"{text} {weight} g", "jar 17 of line 2: 341.3 g", Frame{Weight: 341_300}, NoMatch}, // the first number that text can end before is not the weight
		{"{text}: {weight} g", "jar 17 of line 2: 341.3 g", Frame{Weight: 341_300}, NoFault},
		{"{weight} {text}", "341.3 anything", Frame{Weight: 341_300}, NoFault},
	} {
		p, err := ParsePattern(c.pattern)
		if err != nil {
			t.Errorf("pattern %q: %v", c.pattern, err)
			continue
		}
		got, fault := p.Read([]byte(c.line))
		if c.fault != NoFault {
			c.want = Frame{}
		}
		if fault != c.fault || got != c.want {
			t.Errorf("%q of %q is %+v, %v; want %+v, %v", c.pattern, c.line, got, fault, c.want, c.fault)
		}
	}
}

func TestPatternsThatAreWrong(t *testing.T) {
	for text, key := range map[string]string{
		"": "no-weight", "{nozzle}": "no-weight", "{weight": "brace", "{wieght}": "field", "{weight}{weight}": "twice", "[{weight}": "bracket",
		"{weight}]": "bracket", "[[{weight}]": "bracket", "[{weight}[{unit}]]": "nested", "{nozzle}{weight}": "apart", "{nozzle}[{weight}]": "apart",
		"[{nozzle}]{weight}": "apart", "{stable} {weight}": "stable", "{weight:C}": "unit", "{seq:4} {weight}": "option", "{weight} \xff": "long",
	} {
		var wrong *PatternError
		if p, err := ParsePattern(text); !errors.As(err, &wrong) || wrong.Key != key {
			t.Errorf("pattern %q gave %v, %v; want it wrong for %q", text, p, err, key)
		}
	}
}

// Any bytes under any pattern: no panic, a weight only within bounds, and the same line
// twice reads the same.
func FuzzPattern(f *testing.F) {
	f.Add(Plain, []byte("341.3 g"))
	f.Add(SimulatedPattern, []byte("17;1793689200000;3;S;341.3 g"))
	f.Add("[{stable:ST|OK},]{text},{weight:kg}{unit} N{nozzle}", []byte("ST,GS,+ 0.341,3kg n4"))
	f.Add("{time} {tare}/{weight}", []byte("14:05:09.123 210/551,9"))
	f.Fuzz(func(t *testing.T, pattern string, line []byte) {
		p, err := ParsePattern(pattern)
		if err != nil {
			return
		}
		if !utf8.ValidString(pattern) || p.String() != pattern {
			t.Fatalf("pattern %q became %q", pattern, p)
		}
		a, fault := p.Read(line)
		b, again := p.Read(line)
		if a != b || fault != again {
			t.Errorf("%q of %q read twice: %+v %v, %+v %v", pattern, line, a, fault, b, again)
		}
		if fault != NoFault && a != (Frame{}) || a.Weight > heaviest || a.Weight < -heaviest || a.Nozzle < 0 || a.Seq < 0 {
			t.Errorf("%q of %q is %+v, %v", pattern, line, a, fault)
		}
		var s splitter
		var got []byte
		_ = s.feed(append(line, '\n'), func(l []byte) error { got = append(got, l...); return nil }, func(Fault) {})
		if len(got) > len(line) {
			t.Errorf("%q was cut into more than it is", line)
		}
	})
}

// A number's milligrams are those of exact arithmetic.
func TestMilligramsAreExact(t *testing.T) {
	for text, want := range map[string]quantity.Milligram{"0.0005": 1, "0.00049999": 0, "-0.0015": -2, "1000000000": 1_000_000_000_000, "340.0004999999999": 340_000} {
		d, n, ok := number([]byte(text), 0)
		got, in := d.milligrams(grams)
		if !ok || n != len(text) || !in || got != want {
			t.Errorf("%s g is %d mg (%v), want %d", text, got, in, want)
		}
	}
}
