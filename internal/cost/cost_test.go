package cost

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	q "combline/internal/quantity"
)

func fig(m int64, d uint8, u q.Unit) q.Figure { return q.Figure{Mantissa: m, Decimals: d, Unit: u} }

func cr(t *testing.T, m int64, d uint8) Money {
	t.Helper()
	p, err := Price(fig(m, d, q.Money))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The run of the house's own cost table: 6312 jars of 340 g from 2170 kg. Every figure is
// to the last digit printed there, so there is no tolerance. Source: the invented cost
// table of the demo house's season, added up again by hand with whole numbers:
// 10416 + 4179.1752 + 588.24 + 33.6 + 140 = 15357.0152.
func TestCostTableOfTheRun(t *testing.T) {
	const jars = 6312
	pieces := func(m int64, d uint8, breakage q.Figure) Money {
		p, err := Pieces(jars, cr(t, m, d), breakage)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	hours, err := Hours(4, fig(574, 2, q.Hour), fig(2, 0, q.Hour))
	if err != nil {
		t.Fatal(err)
	}
	warming, err := Warming(8, fig(9, 0, q.KWh), fig(60, 0, q.Pct), cr(t, 28, 2))
	if err != nil {
		t.Fatal(err)
	}
	twelfth, _ := cr(t, 84, 2).Over(12)
	s := Sheet{
		{Honey, "", cr(t, 480, 2).Kilograms(2_170_000), Set},
		{Material, "jar", pieces(42, 2, fig(5, 1, q.Pct)), Set},
		{Material, "lid", pieces(8, 2, q.Figure{}), Set},
		{Material, "labels", pieces(7, 2, q.Figure{}), Set},
		{Other, "tamper strip", pieces(2, 2, q.Figure{}), Set},
		{Material, "case", twelfth.Times(jars), Set},
		{Labour, "", Wages(hours, Crowns(19)), Set},
		{Energy, "", warming, Set},
		{Lab, "", Crowns(140), Set},
	}
	want := []string{"1.650", "0.422", "0.080", "0.070", "0.020", "0.070", "0.093", "0.005", "0.022"}
	for i, p := range s {
		each, _ := p.Amount.Over(jars)
		if got := each.Rounded(3).Digits(); got != want[i] {
			t.Errorf("%s %s is %s a jar, want %s", p.Kind, p.Of, got, want[i])
		}
	}
	sum, whole := s.Sum()
	each, _ := sum.Over(jars)
	left, _ := each.Printed(3).Times(jars).Over(jars - 22)
	over, err := Above(340_000, 2_154_300, jars, cr(t, 480, 2))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ what, got, want string }{
		{"run", sum.Rounded(2).Digits(), "15357.02"}, {"run, exactly", sum.Rounded(6).Digits(), "15357.015200"},
		{"jar", each.Rounded(3).Digits(), "2.433"}, {"jar left to sell", left.Rounded(3).Digits(), "2.442"},
		{"overfill a jar", over.Each.In(q.G, 1).Digits(), "1.3"}, {"overfill", over.Mass.In(q.KgUnit, 1).Digits(), "8.2"},
		{"overfill's worth", over.Worth.Rounded(2).Digits(), "39.39"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.what, c.got, c.want)
		}
	}
	if !whole {
		t.Error("every part is known, and the sum is not whole")
	}
}

// One gram on 100,000 jars is 100 kg: arithmetic.
func TestOneGram(t *testing.T) {
	g := OneGram(100_000, cr(t, 480, 2))
	if g.Mass.In(q.KgUnit, 0).Digits() != "100" || g.Worth.Rounded(2).Digits() != "480.00" {
		t.Errorf("%v", g)
	}
}

// What is not known is never nothing: the sum says that it is not whole.
func TestUnknownIsNotNothing(t *testing.T) {
	s := Sheet{{Honey, "", Crowns(10), Set}, {Lab, "", Crowns(99), NotKnown}, {Overhead, "", Money{}, NotSet}}
	sum, whole := s.Sum()
	if whole || sum.Cmp(Crowns(10)) != 0 || len(s.Missing()) != 1 {
		t.Errorf("sum %v, whole %v, missing %v", sum, whole, s.Missing())
	}
	if _, whole := (Sheet{}).Sum(); whole {
		t.Error("nothing known is whole")
	}
	if _, ok := Crowns(1).Over(0); ok {
		t.Error("a sum over no units")
	}
}

// A statement by hand: 62 supers, 1180.4 kg in, 372.9 out, so 807.5 removed. Wax 9.6,
// cooking 11.2, samples 1.2, clean 780: unaccounted 5.5, which is 0.68 % and carried up
// to 1 %. 780 × (4.20 − 0.15) = 3159.00; 11.2 × 2 = 22.40; wax 9.6 × 50 % × 7.5 = 36.00;
// fee (780 + 11.2 + 1.2) × 0.55 = 435.82. To pay 2781.58. (Arithmetic, worked by hand.)
func TestSettleByHand(t *testing.T) {
	b := Brought{Supers: 62, GrossIn: 1_180_400, WetOut: 372_900, Clean: 780_000, Cooking: 11_200, Wax: 9_600, Samples: 1_200}
	terms := Terms{Honey: Agreed(cr(t, 420, 2)), Cooking: Agreed(Crowns(2)), FeeKg: Agreed(cr(t, 55, 2)), Wax: Agreed(cr(t, 75, 1)),
		WaxKept: fig(50, 0, q.Pct), GapCarried: fig(1, 0, q.Pct)}
	var err error
	if terms.Moisture, err = Moisture([]Step{{fig(175, 1, q.Pct), cr(t, 10, 2)}, {fig(18, 0, q.Pct), Crowns(0)}, {fig(185, 1, q.Pct), cr(t, -15, 2)}}, fig(182, 1, q.Pct)); err != nil {
		t.Fatal(err)
	}
	s, err := Settle(b, terms)
	if err != nil {
		t.Fatal(err)
	}
	sum, whole := s.Sum()
	if got := sum.Rounded(2).Digits(); got != "2781.58" || !whole || s.Gap != 5_500 || s.Carry != 5_500 {
		t.Errorf("to pay %s (whole %v), gap %d carried %d", got, whole, s.Gap, s.Carry)
	}
	b.Clean -= 20_000 // 25.5 unaccounted, 1 % of 807.5 is 8.075, 8.1 carried: 17.4 kg × 4.05 = 70.47 are the house's
	s, _ = Settle(b, terms)
	if s.Carry != 8_100 || s.Lines[1].Kind != LineGap || s.Lines[1].Amount.Money.Rounded(2).Digits() != "70.47" {
		t.Errorf("%+v", s)
	}
	terms.Back = true
	s, _ = Settle(b, terms) // 772.4 kg × 0.55 = 424.82 owed by the supplier, less the 70.47
	if sum, _ := s.Sum(); sum.Rounded(2).Digits() != "-354.35" {
		t.Errorf("honey goes back: %s", sum.Rounded(2))
	}
	terms.Back = false
	b.NoGap = true // supers not weighed out: nothing is owed for what nobody weighed
	if s, _ = Settle(b, terms); s.Gap != 0 || s.Carry != 0 || len(s.Lines) != 4 {
		t.Errorf("without weights: %+v", s)
	}
	b.NoGap, terms.Honey.Known = false, false
	s, _ = Settle(b, terms)
	if _, whole := s.Sum(); whole {
		t.Error("no price of honey, and the sum is whole")
	}
}

// A table of moisture takes the first bound that the water does not pass, and has no
// price above its last.
func TestMoisture(t *testing.T) {
	table := []Step{{fig(20, 0, q.Pct), Crowns(-1)}, {fig(180, 1, q.Pct), Crowns(0)}, {fig(170, 1, q.Pct), Crowns(1)}}
	for _, c := range []struct {
		water int64
		want  string
	}{{165, "1"}, {170, "1"}, {171, "0"}, {180, "0"}, {181, "-1"}, {200, "-1"}, {201, ""}} {
		m, err := Moisture(table, fig(c.water, 1, q.Pct))
		got := ""
		if m.Known {
			got = m.Money.Rounded(0).Digits()
		}
		if err != nil || got != c.want {
			t.Errorf("%d: %q, %v; want %q", c.water, got, err, c.want)
		}
	}
}

// Bad input is refused, NaN can't be typed.
func TestRefused(t *testing.T) {
	_, noMoney := Price(fig(1, 0, q.KgUnit))
	_, noShare := Warming(1, fig(9, 0, q.KWh), fig(0, 0, q.Pct), Crowns(1))
	_, tooMuch := Warming(1, fig(9, 0, q.KWh), fig(101, 0, q.Pct), Crowns(1))
	_, fewer := Pieces(-1, Crowns(1), q.Figure{})
	_, label := Above(0, 1, 1, Crowns(1))
	_, below := Settle(Brought{GrossIn: -1}, Terms{})
	_, kept := Settle(Brought{GrossIn: 10, Wax: 5}, Terms{WaxKept: fig(120, 0, q.Pct)})
	_, hour := Hours(1, fig(3, 0, q.KgUnit), q.Figure{})
	for i, err := range []error{noMoney, noShare, tooMuch, fewer, label, below, kept, hour} {
		if !errors.Is(err, ErrNotUsable) {
			t.Errorf("case %d: %v", i, err)
		}
	}
}

// Laws: parts add up in any order; a sum shared and added up again is the sum; rounding
// is within half a step; a dearer price never makes a lower sum.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		money := func(name string) Money {
			p, _ := Price(fig(rapid.Int64Range(0, 1e9).Draw(t, name), uint8(rapid.IntRange(0, 6).Draw(t, name+" d")), q.Money))
			return p
		}
		n := rapid.Int64Range(1, 1e7).Draw(t, "n")
		a, b := money("a"), money("b")
		each, _ := a.Over(n)
		if each.Times(n).Cmp(a) != 0 || a.Plus(b).Cmp(b.Plus(a)) != 0 || a.Plus(b).Minus(b).Cmp(a) != 0 {
			t.Fatal("sums do not close")
		}
		for d := range uint8(5) {
			if off := math.Abs(a.Rounded(d).Float() - a.Float()); off > 0.5*math.Pow(10, -float64(d))*(1+1e-9)+a.Float()*1e-14 {
				t.Fatalf("%v rounded to %d decimals is %v off", a.Float(), d, off) // floats' own error: 14 digits
			}
		}
		brought := Brought{GrossIn: q.Gram(rapid.Int64Range(1000, 1e9).Draw(t, "in"))}
		brought.WetOut = brought.GrossIn / q.Gram(rapid.Int64Range(2, 5).Draw(t, "wet"))
		brought.Clean = brought.Removed() * q.Gram(rapid.Int64Range(80, 105).Draw(t, "clean")) / 100
		terms := Terms{Honey: Agreed(a), Moisture: Agreed(Money{}), FeeKg: Agreed(b), GapCarried: fig(rapid.Int64Range(0, 30).Draw(t, "carried"), 1, q.Pct)}
		s, err := Settle(brought, terms)
		if err != nil {
			t.Fatal(err)
		}
		if s.Carry < 0 || s.Carry > max(s.Gap, 0) {
			t.Fatalf("gap %d, carried %d", s.Gap, s.Carry)
		}
		terms.Honey = Agreed(a.Plus(Crowns(1)))
		dearer, _ := Settle(brought, terms)
		x, _ := s.Sum()
		y, _ := dearer.Sum()
		if y.Cmp(x) <= 0 {
			t.Fatal("a better price pays no more")
		}
	})
}

// Ten lots near 1.37 % of their honey: the house's own share is theirs; a lot of half
// the wax is outside. Fewer than five lots say common practice, 1 to 2 %.
func TestLearnWax(t *testing.T) {
	var lots []Cast
	for i := range 10 {
		lots = append(lots, Cast{q.Gram(1370 + 10*(i%3)), 100_000})
	}
	s := LearnWax(lots)
	if low, high := s.Of(100_000); !s.Own || low < 1200 || low > 1370 || high < 1390 || high > 1560 {
		t.Errorf("%+v: %d to %d g of 100 kg", s, low, high)
	}
	half := LearnWax(append([]Cast{{650, 100_000}}, lots[:5]...)) // one of six lots lost half: the others still say so
	if low, _ := half.Of(100_000); low < 1200 {
		t.Errorf("half the wax of one lot makes %+v", half)
	}
	if s := LearnWax(lots[:4]); s.Own || s.Low != WaxLow || s.High != WaxHigh {
		t.Errorf("%+v", s)
	}
}
