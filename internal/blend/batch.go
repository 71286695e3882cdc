package blend

import (
	"fmt"
	"math"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Batch is one blend that is wanted. Zero means that nothing is asked.
type Batch struct {
	Name        string
	Grams       quantity.Gram // what is wanted
	Under, Over quantity.Gram // how far off it may be
	Tank        quantity.Gram // what the tank takes
	Most        int           // contents in the blend
	Parcel      quantity.Gram // least of any content that is in it
	Limits      []Limit
	Shares      []Share
	Label       []standard.Claim // the countries that the label names, with their shares
	Use         []Use
	Apart       []Apart
	Marks       []string // that every content must carry
	Timed       bool     // contents must be ready to tip Within so many days
	Within      quantity.Days
	Cooking     bool // cooking grade: overheated honey may go in
}

// A Limit holds if all terms of one of its ways hold. Most limits have one way with
// one term.
type Limit struct {
	Key   string
	Ways  [][]Term
	Fixed bool // by law or nature: not the buyer's to change
}

// A Term is a bound on the blend's measure; the bound itself keeps it.
type Term struct {
	Measure Measure
	Least   bool // at least Bound; otherwise at most
	Bound   float64
}

// AtMost is a limit on a measure from above.
func AtMost(m Measure, bound float64) Limit {
	return Limit{Key: m.String() + "_most", Ways: [][]Term{{{m, false, bound}}}}
}

// AtLeast is a limit on a measure from below.
func AtLeast(m Measure, bound float64) Limit {
	return Limit{Key: m.String() + "_least", Ways: [][]Term{{{m, true, bound}}}}
}

// Keeps is the ferment rule of package honey (Lochhead's table) on the blend's own
// water and yeast: to 17.1 % any count, to 18.0 % at most 1000 a gram, to 19.0 % at
// most 10, to 20.0 % at most 1. With crystals, in % of the honey, it is judged by
// the water of the liquid between them,
//
//	W' = 100·(W − c/11) / (100 − c)
//
// Range 0 to 40 % of crystals. Source: Lochhead 1933, as [honey.Ferment] has it.
func Keeps(crystals quantity.Percent) (Limit, error) {
	c := float64(crystals)
	if !within(c, 0, 40) {
		return Limit{}, fmt.Errorf("%g %% of crystals, want 0 to 40", c)
	}
	l := Limit{Key: "ferment", Fixed: true}
	for _, class := range [...]struct{ liquid, yeast float64 }{{17.1, math.Inf(1)}, {18, 1000}, {19, 10}, {20, 1}} {
		way := []Term{{Measure(Water), false, round(class.liquid*(100-c)/100+c/11, 1e9)}}
		if !math.IsInf(class.yeast, 1) {
			way = append(way, Term{Measure(Yeast), false, class.yeast})
		}
		l.Ways = append(l.Ways, way)
	}
	return l, nil
}

// EnoughDiastase is the Union's rule for table honey: at least 8, or, for honey of
// low natural enzyme content, at least 3 with HMF of at most 15 mg/kg. Source:
// Directive 2001/110/EC Annex II, as package standard has it.
func EnoughDiastase(lowEnzyme bool) Limit {
	l := Limit{Key: "diastase_law", Fixed: true, Ways: [][]Term{{{Measure(Diastase), true, 8}}}}
	if lowEnzyme {
		l.Ways = append(l.Ways, []Term{{Measure(Diastase), true, 3}, {Measure(HMF), false, 15}})
	}
	return l
}

// A Share bounds the honey of one name in the blend, in % of its mass. One that is asked
// exactly (Least is Most) is kept to the gram of each content: no mixed honey can be
// weighed nearer.
type Share struct {
	By          Dimension
	Name        string
	Least, Most quantity.Percent
}

// A Use is honey that must go in.
type Use struct {
	Content string
	Grams   quantity.Gram
}

// An Apart forbids that any content of one list meets one of the other.
type Apart struct{ One, Other []string }

// claimBand gives the shares that both readings of the law's 5 % allow a declared
// share: points, and 5 % of the share itself.
func claimBand(declared quantity.Percent) (least, most quantity.Percent) {
	tolerance := min(5, declared/20)
	return max(0, declared-tolerance), min(100, declared+tolerance)
}

func (b *Batch) check() error {
	switch {
	case b.Name == "":
		return fmt.Errorf("a batch without a name")
	case b.Grams <= 0 || b.Grams > mostGrams:
		return fmt.Errorf("%d g wanted, want above 0 g to %d g", b.Grams, int64(mostGrams))
	case b.Under < 0 || b.Under > b.Grams || b.Over < 0 || b.Over > mostGrams:
		return fmt.Errorf("%d g under and %d g over allowed of %d g", b.Under, b.Over, b.Grams)
	case b.Tank < 0 || b.Most < 0 || b.Parcel < 0:
		return fmt.Errorf("tank of %d g, at most %d contents, parcels of %d g", b.Tank, b.Most, b.Parcel)
	case !within(float64(b.Within), 0, 1e6):
		return fmt.Errorf("ready within %g days", float64(b.Within))
	}
	if err := b.checkLimits(); err != nil {
		return err
	}
	return b.checkShares()
}

func (b *Batch) checkLimits() error {
	for i, l := range b.Limits {
		if len(l.Ways) == 0 {
			return fmt.Errorf("limit %d (%s) has no way to be met", i+1, l.Key)
		}
		for _, way := range l.Ways {
			for _, t := range way {
				if err := t.Measure.checkLimit(t.Bound); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// contradiction refuses a least above a most of the same measure.
func (b *Batch) contradiction() error {
	for _, l := range b.Limits {
		for _, m := range b.Limits {
			if len(l.Ways) != 1 || len(m.Ways) != 1 {
				continue
			}
			for _, s := range l.Ways[0] {
				for _, t := range m.Ways[0] {
					if s.Measure == t.Measure && s.Least && !t.Least && s.Bound > t.Bound {
						return fmt.Errorf("%s at least %g and at most %g: no honey is both; change one of them", s.Measure, s.Bound, t.Bound)
					}
				}
			}
		}
	}
	return nil
}

func (b *Batch) checkShares() error {
	type name struct {
		by   Dimension
		name string
	}
	seen := map[name]bool{}
	for _, s := range b.Shares {
		if s.By >= dimensionCount || s.Name == "" || seen[name{s.By, s.Name}] {
			return fmt.Errorf("share of %s %q: want each name once", s.By, s.Name)
		}
		seen[name{s.By, s.Name}] = true
		if !(0 <= s.Least && s.Least <= s.Most && s.Most <= 100) {
			return fmt.Errorf("share of %s %q from %g %% to %g %%, want 0 to 100", s.By, s.Name, float64(s.Least), float64(s.Most))
		}
	}
	return b.checkLabel()
}

// overfull refuses shares that come to more than all.
func (b *Batch) overfull() error {
	var least [dimensionCount]float64
	for _, s := range b.Shares {
		least[s.By] += float64(s.Least)
	}
	for d, sum := range least {
		if sum > 100+1e-9 {
			return fmt.Errorf("shares by %s come to at least %g %%; together they can't be over 100", Dimension(d), sum)
		}
	}
	return nil
}

func (b *Batch) checkLabel() error {
	if len(b.Label) == 0 {
		return nil
	}
	var sum float64
	seen := map[string]bool{}
	for _, c := range b.Label {
		if c.Country == "" || seen[c.Country] || !within(float64(c.Percent), 0, 100) {
			return fmt.Errorf("label: %q with %g %%, want each country once with 0 to 100 %%", c.Country, float64(c.Percent))
		}
		seen[c.Country] = true
		sum += float64(c.Percent)
	}
	if math.Abs(sum-100) > 1 { // whole percentages may add up to 99 or 101
		return fmt.Errorf("the label's shares come to %g %%, want 100", sum)
	}
	return nil
}

// round rounds to so many parts of 1, which a decimal can say.
func round(x, parts float64) float64 { return math.Round(x*parts) / parts }
