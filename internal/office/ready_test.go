package office_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

func asOf(t *testing.T, o *office.Office, text string) (*office.View, record.When) {
	t.Helper()
	at, err := time.ParseInLocation("2006-01-02 15:04", text, time.FixedZone("", 2*3600))
	if err != nil {
		t.Fatal(err)
	}
	v, err := o.AsOf(t.Context(), at)
	if err != nil {
		t.Fatal(err)
	}
	return v, record.At(at)
}

func hasAll(t *testing.T, text string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("%q is not in:\n%s", w, text)
		}
	}
}

// The questions of the extraction room, on the demo season.
func TestExtractionRoom(t *testing.T) {
	o := demoOffice(t)
	ready := func(v *office.View, now record.When, of record.Code) string {
		return said(t, v.Ready(office.ReadyAsk{Of: of, At: now}))
	}
	t.Run("stack", func(t *testing.T) {
		v, now := asOf(t, o, "2026-07-20 06:00") // L04 came in on the 19th with 18.3 % in its worst comb
		text := ready(v, now, "L04")
		// 18.3 at half past ten, a day at 48 %: about 17.8 by now, too close to the line of 18.0
		hasAll(t, text, "Too close to call: the worst comb of L04 has 17.8 %", "18.3 %", "humidity 48 %", "own 2 lots")
		v, now = asOf(t, o, "2026-07-19 12:00") // an hour and a half after, by air that was read in May
		hasAll(t, ready(v, now, "L04"), "has 18.2 %", "To reach 18.0 % it must stay about 6.0 h more", "read 50 days ago")
		v, now = asOf(t, o, "2026-05-31 06:00")
		hasAll(t, ready(v, now, "L03"), "no comb of L03 was read")
		// the same with three combs read now, on honey of 27 °C: 18.2 shown is 17.6 (question 6)
		typed := quantity.Figure{Mantissa: 182, Decimals: 1, Unit: quantity.Pct}
		ask := office.StackAsk{Lot: "L03", At: now, Typed: []office.TypedComb{{Water: typed, Temp: quantity.Figure{Mantissa: 27, Unit: quantity.DegC}, Corrects: record.No}}}
		s, ok := v.Stack(ask)
		if !ok || s.Now.Value < 17.5 || s.Now.Value > 17.65 {
			t.Errorf("%+v", s.Now)
		}
	})
	t.Run("line", func(t *testing.T) {
		v, now := asOf(t, o, "2026-07-21 09:00")
		text := said(t, v.Line(office.LineAsk{At: now}))
		hasAll(t, text, "You will finish by 17:00", "extractor A + extractor B", "uncapper")
		n := v.LineNow(office.LineAsk{At: now})
		// a stack of six every ten minutes is about 35 boxes an hour
		if n.Live < 34 || n.Live > 37 || n.Left+n.Done != 160 {
			t.Errorf("%g an hour, %d done, %d left", n.Live, n.Done, n.Left)
		}
		late := v.LineNow(office.LineAsk{At: now, Supers: 900})
		if late.Chance > 0.01 {
			t.Errorf("900 by five with chance %g", late.Chance)
		}
	})
	t.Run("line by what is said", func(t *testing.T) {
		v, now := asOf(t, o, "2026-07-28 09:00")
		for _, c := range []struct {
			text    string
			machine record.Code
			supers  float64
		}{
			{"uncapper 270", "uncapper", 30}, // frames: 9 to a super
			// L01 to L05 were closed: 1,864 + 1,849 + 1,443 + 2,398 + 2,189 kg of 720 supers, 13.53 kg each
			{"sump pump 300 kg", "sump pump", 22.17},
		} {
			rates, err := office.ParseLineRates(c.text)
			if err != nil {
				t.Fatal(err)
			}
			n := v.LineNow(office.LineAsk{At: now, Rates: rates})
			if s := n.Stations[n.Slowest]; s.Name != c.machine || math.Abs(s.Supers-c.supers) > 0.01 {
				t.Errorf("%s: %s does %g supers an hour, want about %g", c.text, s.Name, s.Supers, c.supers)
			}
		}
		hasAll(t, said(t, v.Line(office.LineAsk{At: now})), "whose rate is known", "sump pump")
		v, now = asOf(t, o, "2026-07-21 11:00") // 36 an hour went through what is said to do 24
		rates, _ := office.ParseLineRates("sump pump 300 kg")
		hasAll(t, said(t, v.Line(office.LineAsk{At: now, Rates: rates})), "that figure is too low")
	})
	t.Run("a figure that can't be", func(t *testing.T) {
		v, now := asOf(t, o, "2026-05-31 06:00")
		pct := func(n int64) quantity.Figure { return quantity.Figure{Mantissa: n, Unit: quantity.Pct} }
		hasAll(t, said(t, v.Ready(office.ReadyAsk{Of: "L03", At: now, Stack: office.StackAsk{Typed: []office.TypedComb{{Water: pct(182)}}}})), "182", "can't be the water of a comb")
		hasAll(t, said(t, v.Ready(office.ReadyAsk{Of: "L03", At: now, Stack: office.StackAsk{Humidity: pct(120)}})), "can't be the humidity")
		v, now = asOf(t, o, "2026-07-22 08:00")
		hasAll(t, said(t, v.Ready(office.ReadyAsk{Of: "S1", At: now, Draw: office.DrawAsk{Depth: quantity.Figure{Mantissa: 11, Unit: quantity.Metre}}})), "deeper than S1 is high")
		v, now = asOf(t, o, "2026-09-19 18:00")
		hasAll(t, said(t, v.Seed(office.SeedAsk{Tank: "T4", At: now, Water: pct(55)})), "can't be the water of honey")
		hasAll(t, said(t, v.Seed(office.SeedAsk{Tank: "T4", At: now, Seed: "D046"})), "D046 is on hold")
		hasAll(t, said(t, v.Seed(office.SeedAsk{Tank: "T4", At: now, Seed: "S99"})), "S99 is not in the house")
		if text := said(t, v.Seed(office.SeedAsk{Tank: "T4", At: now})); strings.Contains(text, "stir S25 in") {
			t.Errorf("wet honey is to be seeded all the same:\n%s", text)
		}
	})
	t.Run("draw", func(t *testing.T) {
		v, now := asOf(t, o, "2026-07-22 08:00")
		text := ready(v, now, "S1")
		hasAll(t, text, "S1", "0.20 mm", "Skim about")
		v, now = asOf(t, o, "2026-07-26 08:00")
		t.Log(said(t, v.ReadyAll(now)))
	})
	t.Run("top", func(t *testing.T) {
		v, _ := asOf(t, o, "2026-07-23 08:00")
		text := said(t, v.MayTop("S1", "L05"))
		hasAll(t, text, "costs what stands below", "Wythe Hollow", "Brackenlow", "no single place may be named")
		v, _ = asOf(t, o, "2026-07-30 18:00")
		hasAll(t, said(t, v.MayTop("S1", "L06")), "on hold") // L07 stands in S1, under the mite strips' hold
	})
	t.Run("top of nothing", func(t *testing.T) {
		v, _ := asOf(t, o, "2026-11-05 09:00") // 46.8 mg/kg of HMF: never thinned into good honey
		hasAll(t, said(t, v.MayTop("T1", "D041")), "D041 may not go on top in T1", "HMF breaks its limit")
		a := v.MayTop("S2", "D046") // residue hold; S2 is empty
		hasAll(t, said(t, a), "D046 is on hold")
		for _, l := range a.Lines {
			if l.Mark == answer.Good {
				t.Errorf("held honey into an empty tank is marked good: %s", l.Key)
			}
		}
	})
	t.Run("seed", func(t *testing.T) {
		v, now := asOf(t, o, "2026-09-19 18:00")
		text := said(t, v.Seed(office.SeedAsk{Tank: "T4", At: now}))
		// the scenario's fault: 18.2 %, 19.5 % between the crystals, 1,521 yeasts a gram
		hasAll(t, text, "Not for soft-set", "S25", "5 to 10 %")
		v, now = asOf(t, o, "2026-09-26 08:00")
		text = ready(v, now, "T4")
		hasAll(t, text, "do not jar it", "20 Sep")
	})
}
