package blend

import (
	"fmt"
	"math"
	"testing"

	"combline/internal/linear"
	"combline/internal/quantity"
	"pgregory.net/rapid"
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func exact(f Figure, v float64) map[Figure]quantity.Uncertain {
	return map[Figure]quantity.Uncertain{f: quantity.Exactly(v)}
}

// anyProblem draws a few contents and one or two batches, small enough to try every
// blend.
func anyProblem(t *rapid.T) Problem {
	p := Problem{Colour: rapid.SampledFrom([]ColourRule{ColourByDensity, ColourByMM}).Draw(t, "colour"),
		Risk: rapid.SampledFrom([]float64{0.5, 0.05, 0.2}).Draw(t, "risk"), Aims: []Aim{Cheapest}}
	if rapid.Bool().Draw(t, "priced") {
		p.Prices = Prices{AgeKgDay: 0.001, Handling: 15, ShortKg: 20, OverKg: 1}
	}
	n := rapid.IntRange(0, 2).Draw(t, "batches") / 2 // two batches one time in three
	for i := range rapid.IntRange(1, 4-n).Draw(t, "contents") {
		p.Contents = append(p.Contents, anyContent(t, fmt.Sprint("D", i)))
	}
	for j := range n + 1 {
		p.Batches = append(p.Batches, anyBatch(t, fmt.Sprint("O", j)))
	}
	return p
}

func anyContent(t *rapid.T, name string) Content {
	c := Content{Name: name, Cost: float64(rapid.IntRange(10, 80).Draw(t, "cost")) / 10, AgeDays: float64(rapid.IntRange(0, 600).Draw(t, "age")),
		Figures: map[Figure]quantity.Uncertain{}}
	if rapid.IntRange(0, 3).Draw(t, "tank") == 0 {
		c.Grams, c.Least = quantity.Gram(rapid.IntRange(200, 900).Draw(t, "kg"))*1000, 100_000
	} else {
		c.Drum = 100_000 * quantity.Gram(rapid.IntRange(2, 3).Draw(t, "drum"))
		c.Grams = c.Drum * quantity.Gram(rapid.IntRange(1, 3).Draw(t, "drums"))
	}
	pm := rapid.SampledFrom([]float64{0, 0.1, 0.2}).Draw(t, "pm")
	read := func(f Figure, low, high, parts, doubt float64) {
		v := round(low+(high-low)*float64(rapid.IntRange(0, 20).Draw(t, f.String()))/20, parts)
		u := quantity.FromPlusMinus(v, doubt)
		if rapid.Bool().Draw(t, "shared") && doubt > 0 {
			u = u.WithShare("meter", doubt/2)
		}
		c.Figures[f] = u
	}
	read(Water, 16, 19, 10, pm)
	read(HMF, 2, 30, 10, pm*5)
	read(Colour, 15, 90, 1, pm*10)
	read(Diastase, 4, 24, 10, pm*5)
	if rapid.IntRange(0, 9).Draw(t, "counted") > 0 {
		c.Figures[Yeast] = quantity.Exactly(float64(rapid.SampledFrom([]int{0, 5, 400, 3200}).Draw(t, "yeast")))
	}
	own := quantity.Gram(rapid.IntRange(0, 4).Draw(t, "own"))
	c.Parts[ByCountry] = Makeup{4, []Part{{"VM", own}, {"OS", 4 - own}}}
	return c
}

func anyBatch(t *rapid.T, name string) Batch {
	b := Batch{Name: name, Grams: quantity.Gram(rapid.IntRange(2, 8).Draw(t, "wanted")) * 100_000, Under: 50_000, Over: 100_000}
	some := func(l Limit) {
		if rapid.Bool().Draw(t, l.Key) {
			b.Limits = append(b.Limits, l)
		}
	}
	some(AtMost(Measure(Water), rapid.SampledFrom([]float64{17, 17.5, 18}).Draw(t, "water")))
	some(AtMost(Measure(HMF), rapid.SampledFrom([]float64{10, 15, 20}).Draw(t, "hmf")))
	some(AtMost(Measure(Colour), rapid.SampledFrom([]float64{40, 60}).Draw(t, "mm")))
	some(must(Keeps(quantity.Percent(rapid.SampledFrom([]int{0, 12}).Draw(t, "set")))))
	some(EnoughDiastase(rapid.Bool().Draw(t, "low")))
	if rapid.Bool().Draw(t, "share") {
		b.Shares = []Share{{ByCountry, "VM", 50, 100}}
	}
	b.Most = rapid.IntRange(0, 3).Draw(t, "most")
	return b
}

// tries lists every blend of whole drums, and of tanks by the half hundredweight.
func tries(p *Problem, visit func([]Draw)) {
	var walk func(i int, left []quantity.Gram, draws []Draw)
	n := len(p.Batches)
	walk = func(k int, left []quantity.Gram, draws []Draw) {
		if k == n*len(p.Contents) {
			visit(draws)
			return
		}
		i, j := k/n, k%n
		c := &p.Contents[i]
		step := c.Drum
		if step == 0 {
			step = 50_000
		}
		for g := quantity.Gram(0); g <= left[i]; g += step {
			next := draws[:len(draws):len(draws)]
			if g > 0 {
				d := Draw{Batch: j, Content: i, Grams: g}
				if c.Drum > 0 {
					d.Drums = int(g / c.Drum)
				}
				next = append(next, d)
			}
			rest := append([]quantity.Gram(nil), left...)
			rest[i] -= g
			walk(k+1, rest, next)
		}
	}
	left := make([]quantity.Gram, len(p.Contents))
	for i := range left {
		left[i] = p.Contents[i].Grams
	}
	walk(0, left, nil)
}

// No blend that can be tried is better than the one found, by cost, and what is found
// passes the check; where none is found none passes.
func TestNoTriedBlendIsBetter(t *testing.T) {
	found, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		r, tk, err := find(p, solver{plain, linear.Options{}})
		if err != nil {
			t.Fatal(err)
		}
		best := math.Inf(1)
		count := 0
		tries(&p, func(draws []Draw) {
			var sum [2]quantity.Gram
			for _, d := range draws {
				sum[d.Batch] += d.Grams
			}
			for j, b := range p.Batches {
				if p.Prices.ShortKg == 0 && sum[j] < b.Grams-b.Under || sum[j] > b.Grams+b.Over {
					return // not the mass: spare the check
				}
			}
			if count++; count > 300 {
				return
			}
			blends, faults := tk.check(draws)
			if len(faults) == 0 {
				best = min(best, tk.score(Cheapest, &Plan{Draws: draws, Blends: blends}))
			}
		})
		if r.Plan == nil {
			if none++; !math.IsInf(best, 1) {
				t.Fatalf("none found (%s), but one of %g passes", r.Status, best)
			}
			return
		}
		found++
		got := r.Plan.Scores[0].Value
		// Grams rounded and a hair inside the limits cost less than a millionth.
		if got > best+2e-6*max(1, math.Abs(best)) {
			t.Fatalf("found %g, but %g passes", got, best)
		}
		if !r.Plan.Proven || r.Plan.Scores[0].Bound > got+2e-6*max(1, math.Abs(got)) {
			t.Fatalf("found %g, bound %g, proven %v", got, r.Plan.Scores[0].Bound, r.Plan.Proven)
		}
	})
	if found == 0 || none == 0 {
		t.Errorf("%d found and %d impossible: want some of both", found, none)
	}
}
