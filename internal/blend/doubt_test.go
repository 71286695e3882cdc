package blend

import (
	"math"
	"testing"

	"combline/internal/linear"
	"combline/internal/quantity"
	"pgregory.net/rapid"
)

// The check in fractions says the same as the chance that package quantity reckons
// for the blend: the limit is kept where the chance of a breach is at most the risk.
func TestKeepsAsTheChanceSays(t *testing.T) {
	kept, broken := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		tk := must(prepare(&p))
		c := checker{t: tk, p: &p}
		var draws []Draw
		for i := range p.Contents {
			if g := rapid.IntRange(0, 9).Draw(t, "g"); g > 0 {
				draws = append(draws, Draw{Content: i, Grams: quantity.Gram(g) * 10_000})
			}
		}
		if len(draws) == 0 {
			return
		}
		for _, term := range []Term{{Measure(Water), false, 17.5}, {Measure(HMF), false, 15}, {Measure(Colour), true, 45}, {Measure(Diastase), true, 12}} {
			chance := p.figure(draws, term, 0, 0, 0).Chance
			risk := p.Risk
			if math.Abs(chance-risk) < 1e-9 || risk == 0.5 && math.Abs(chance-0.5) < 0.6 && p.measure(draws, term.Measure).StdDev() == 0 {
				continue // on the line, or no doubt at all
			}
			got := c.keeps(term, draws)
			if got != (chance <= risk) {
				t.Fatalf("%v: kept %v, chance %g, risk %g", term, got, chance, risk)
			}
			if got {
				kept++
			} else {
				broken++
			}
		}
	})
	if kept == 0 || broken == 0 {
		t.Errorf("%d kept, %d broken", kept, broken)
	}
}

// Two drums that one refractometer read: its error moves both alike, so that the blend
// needs more room than with two refractometers. At 5 % the guard is 1.645 standard
// deviations (normal law): 0.1645 of 0.1 shared, and 0.1645/√2 of 0.1 each its own.
func TestSharedDoubtNeedsMoreRoom(t *testing.T) {
	const hair = 1e-3 * 0.1645 // of the guard, see reachPasses
	within1(t, "own doubt", promised(t, false), 17.5+0.16449/math.Sqrt2, hair)
	within1(t, "shared doubt", promised(t, true), 17.5+0.16449, hair)
}

// HMF at best-before is known to a factor that all lots of a kind share. The plan keeps
// the chance as quantity.SumPositive reckons it.
func TestForecastToAFactor(t *testing.T) {
	forecast := func(median float64) quantity.Uncertain {
		return quantity.FromTimesOver(median, 1.7).Named("rate of summer honey")
	}
	p := Problem{Batches: []Batch{{Name: "o", Grams: 1_000_000, Limits: []Limit{AtMost(Measure(HMFThen), 40)}}}}
	for i, median := range []float64{12, 20, 30, 38} {
		p.Contents = append(p.Contents, Content{Name: string(rune('a' + i)), Grams: 800_000, Cost: 5 - median/10,
			Figures: map[Figure]quantity.Uncertain{HMFThen: forecast(median)}})
	}
	r := must(Find(p, plain, linear.Options{}))
	if r.Plan == nil {
		t.Fatal(r.Status)
	}
	// All of it shares one factor of 1.7 at nine in ten: the mean of the medians may be
	// 40/1.7 = 23.53, and the dearest honey is the freshest, so it stands there.
	f := r.Plan.Blends[0].Figures[0]
	within1(t, "median", f.Value.Value, 40/1.7, 0.01)
	if f.Chance > 0.05+1e-6 {
		t.Errorf("chance %g", f.Chance)
	}
}

// Where batches may fall short, the model starts from a point that keeps it.
func TestStartKeepsTheModel(t *testing.T) {
	for seed := range 60 {
		p := rapid.Custom(anyProblem).Example(seed)
		p.Prices.ShortKg = 20
		tk := must(prepare(&p))
		b := tk.build(ask{batches: tk.all()})
		if b.model.Start == nil {
			t.Fatal("no start")
		}
		if err := b.model.Breaks(b.model.Start, 0); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
	}
}

// 1000 kg to the gram of drums of 290 kg: three whole ones and 130 kg of a fourth, and
// the fewest part drums. Two batches do not share an opened drum.
func TestPartDrums(t *testing.T) {
	var p Problem
	for _, name := range []string{"D1", "D2", "D3", "D4", "D5", "D6", "D7", "D8"} {
		p.Contents = append(p.Contents, Content{Name: name, Grams: 290_000, Drum: 290_000, Split: true, Least: 20_000, Cost: 4})
	}
	p.Batches = []Batch{{Name: "A", Grams: 1_000_000}}
	r := must(Find(p, plain, linear.Options{}))
	if r.Plan == nil || r.Plan.PartDrums != 1 || len(r.Plan.Draws) != 4 {
		t.Fatalf("%+v", r.Plan)
	}
	if last := r.Plan.Draws[3]; last.Content != 3 || last.Grams != 130_000 || !last.Part || last.Drums != 0 {
		t.Errorf("%+v", last)
	}
	p.Batches = append(p.Batches, Batch{Name: "B", Grams: 1_000_000})
	if r := must(Find(p, plain, linear.Options{})); r.Plan == nil || r.Plan.PartDrums != 2 || len(r.Plan.Draws) != 8 {
		t.Fatalf("%+v", r.Plan)
	}
	for i := range p.Contents {
		p.Contents[i].Split = false
	}
	p.Batches = p.Batches[:1]
	r = must(Find(p, plain, linear.Options{}))
	if r.Clash == nil || len(r.Clash.Set) != 2 || r.Clash.Set[1].Kind != AskWhole {
		t.Fatalf("whole drums: %+v", r.Clash)
	}
	amounts := map[float64]bool{}
	whole := false
	for _, x := range r.Clash.Changes {
		if x.Demand.Kind == AskGrams && x.Honey == nil {
			amounts[x.To] = true
		}
		whole = whole || x.Demand.Kind == AskWhole
	}
	if !amounts[870] || !amounts[1160] || !whole {
		t.Errorf("changes: %+v", r.Clash.Changes)
	}
}

// Equal by cost, the older honey goes first; and set honey goes when it can be tipped.
func TestLaterAims(t *testing.T) {
	old, young := Content{Name: "old", Grams: 600_000, Cost: 4, AgeDays: 400, TipAfter: 3}, Content{Name: "young", Grams: 600_000, Cost: 4, AgeDays: 10}
	p := Problem{Contents: []Content{young, old}, Batches: []Batch{{Name: "A", Grams: 700_000}}}
	r := must(Find(p, plain, linear.Options{}))
	if d := r.Plan.Draws; len(d) != 2 || d[1].Grams != 600_000 {
		t.Errorf("%+v", r.Plan.Draws)
	}
	p.Batches[0].Timed, p.Batches[0].Within = true, 2
	r = must(Find(p, plain, linear.Options{}))
	if r.Clash == nil {
		t.Fatalf("%+v", r.Plan)
	}
	later := false
	for _, x := range r.Clash.Changes {
		later = later || x.Demand.Kind == AskTime && x.To == 3
	}
	if !later {
		t.Errorf("waiting till day 3 would do: %+v", r.Clash.Changes)
	}
	p.Batches[0].Timed, p.Aims = false, []Aim{FewContents, Cheapest}
	p.Batches[0].Grams = 600_000
	if r := must(Find(p, plain, linear.Options{})); len(r.Plan.Draws) != 1 || r.Plan.Scores[0].Value != 1 {
		t.Errorf("%+v", r.Plan)
	}
}
