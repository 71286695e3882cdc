package blend

import (
	"math/big"
	"slices"
	"strconv"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Draw is what goes from a content into a batch.
type Draw struct {
	Batch, Content int
	Grams          quantity.Gram
	Drums          int  // whole ones
	Part           bool // one more drum is opened and left in part
}

// A Fault is what is wrong with a plan.
type Fault struct {
	Demand  Demand // of the batch; meaningless if Content is 0 or more
	Content int    // that is overdrawn, or barred by Rule; −1 if the fault is a demand's
	Rule    Stop
}

// Check holds a plan in whole grams against everything that its problem asks, in
// whole numbers and fractions without rounding, and apart from the model that found
// it: a figure exactly at a limit keeps it. It returns what each batch becomes and
// all that is wrong; nothing wrong is a sound plan.
func Check(p *Problem, draws []Draw) ([]Blend, []Fault, error) {
	t, err := prepare(p)
	if err != nil {
		return nil, nil, err
	}
	blends, faults := t.check(draws)
	return blends, faults, nil
}

func (t *task) check(draws []Draw) ([]Blend, []Fault) {
	c := checker{t: t, p: t.p}
	c.stock(draws)
	for j := range t.p.Batches {
		var mine []Draw
		for _, d := range draws {
			if d.Batch == j {
				mine = append(mine, d)
			}
		}
		c.batch(j, mine)
	}
	return c.blends, c.faults
}

type checker struct {
	t      *task
	p      *Problem
	blends []Blend
	faults []Fault
}

func (c *checker) fault(d Demand) { c.faults = append(c.faults, Fault{Demand: d, Content: -1}) }

// stock checks that no more is drawn than is there, drums whole unless they may be
// drawn in part, and nothing under the smallest draw.
func (c *checker) stock(draws []Draw) {
	grams, drums := make([]quantity.Gram, len(c.p.Contents)), make([]int, len(c.p.Contents))
	for _, d := range draws {
		x := &c.p.Contents[d.Content]
		good := d.Grams > 0
		grams[d.Content] += d.Grams
		if drums[d.Content] += d.Drums; d.Part {
			drums[d.Content]++
		}
		if rest := d.Grams - quantity.Gram(d.Drums)*x.Drum; x.Drum == 0 {
			good = good && d.Drums == 0 && !d.Part && d.Grams >= x.Least
		} else if d.Part {
			good = good && x.Split && rest >= max(1, min(x.Least, x.Drum)) && rest <= x.Drum
		} else {
			good = good && rest == 0
		}
		if !good {
			c.faults = append(c.faults, Fault{Content: d.Content})
		}
	}
	for i := range c.p.Contents {
		x := &c.p.Contents[i]
		if grams[i] > x.Grams || x.Drum > 0 && quantity.Gram(drums[i])*x.Drum > x.Grams {
			c.faults = append(c.faults, Fault{Content: i})
		}
	}
}

func (c *checker) batch(j int, draws []Draw) {
	b := &c.p.Batches[j]
	out := Blend{Batch: j, Contents: len(draws)}
	for _, d := range draws {
		out.Grams += d.Grams
		if o := c.t.bar(&c.p.Contents[d.Content], j, nil); o != nil {
			c.faults = append(c.faults, Fault{Content: d.Content, Rule: o.Rule})
		}
		if d.Grams < b.Parcel {
			c.fault(Demand{j, AskParcel, 0})
		}
	}
	out.Short, out.Over = max(0, b.Grams-out.Grams), max(0, out.Grams-b.Grams)
	c.amounts(j, b, out, draws)
	if out.Grams > 0 {
		c.limits(j, b, &out, draws)
		c.shares(j, b, &out, draws)
	}
	c.blends = append(c.blends, out)
}

func (c *checker) amounts(j int, b *Batch, out Blend, draws []Draw) {
	if out.Short > b.Under && c.p.Prices.ShortKg == 0 || out.Over > b.Over {
		c.fault(Demand{j, AskGrams, 0})
	}
	if b.Tank > 0 && out.Grams > b.Tank {
		c.fault(Demand{j, AskTank, 0})
	}
	if b.Most > 0 && len(draws) > b.Most {
		c.fault(Demand{j, AskContents, 0})
	}
	drawn := func(names []string) (grams quantity.Gram) {
		for _, d := range draws {
			if slices.Contains(names, c.p.Contents[d.Content].Name) {
				grams += d.Grams
			}
		}
		return grams
	}
	for i, u := range b.Use {
		if drawn([]string{u.Content}) < u.Grams {
			c.fault(Demand{j, AskUse, i})
		}
	}
	for i, a := range b.Apart {
		if drawn(a.One) > 0 && drawn(a.Other) > 0 {
			c.fault(Demand{j, AskApart, i})
		}
	}
}

func (c *checker) limits(j int, b *Batch, out *Blend, draws []Draw) {
	for i, l := range b.Limits {
		met := -1
		for w, way := range l.Ways {
			if c.holds(way, draws) {
				met = w
				break
			}
		}
		if met < 0 {
			c.fault(Demand{j, AskLimit, i})
		}
		for k, term := range l.Ways[max(0, met)] {
			out.Figures = append(out.Figures, c.p.figure(draws, term, i, max(0, met), k))
		}
	}
}

func (c *checker) holds(way []Term, draws []Draw) bool {
	for _, term := range way {
		if !c.keeps(term, draws) {
			return false
		}
	}
	return true
}

// keeps decides a term without rounding: the sum s of grams × distance from the bound
// is not above 0, and s² is at least z² times the sum's variance.
func (c *checker) keeps(term Term, draws []Draw) bool {
	sum, variance, shared := new(big.Rat), new(big.Rat), map[string]*big.Rat{}
	for _, d := range draws {
		x := &c.p.Contents[d.Content]
		if c.t.lacks(x, []Term{term}) != nil {
			return false
		}
		o, err := c.t.against(x, term)
		if err != nil {
			return false
		}
		grams := new(big.Rat).Mul(rat(o.weight), new(big.Rat).SetInt64(int64(d.Grams)))
		sum.Add(sum, new(big.Rat).Mul(grams, c.distance(x, term, o)))
		own := new(big.Rat).Mul(grams, rat(o.off.Own))
		variance.Add(variance, own.Mul(own, own))
		for _, s := range o.off.Shared {
			if shared[s.Key] == nil {
				shared[s.Key] = new(big.Rat)
			}
			shared[s.Key].Add(shared[s.Key], new(big.Rat).Mul(grams, rat(s.Coef)))
		}
	}
	for _, s := range shared {
		variance.Add(variance, s.Mul(s, s))
	}
	if sum.Sign() > 0 {
		return false
	}
	z := rat(c.t.z)
	return sum.Mul(sum, sum).Cmp(variance.Mul(variance, z.Mul(z, z))) >= 0
}

// distance is how far a content's figure is over a bound, in the figures as they were
// typed; optical densities are taken as they were reckoned.
func (c *checker) distance(x *Content, term Term, o odds) *big.Rat {
	read := func(f Figure) *big.Rat { return rat(x.Figures[f].Value) }
	bound, d := rat(term.Bound), new(big.Rat)
	switch m := term.Measure; {
	case m == Measure(Colour) && c.p.Colour == ColourByDensity:
		return rat(o.off.Value) // turned already
	case m == Sugars:
		d.Sub(d.Add(read(Fructose), read(Glucose)), bound)
	case m == GlucosePerWater:
		d.Sub(read(Glucose), bound.Mul(bound, read(Water)))
	case m == FructosePerGlucose:
		d.Sub(read(Fructose), bound.Mul(bound, read(Glucose)))
	default:
		d.Sub(read(Figure(m)), bound)
	}
	if term.Least {
		d.Neg(d)
	}
	return d
}

// rat is the number that a float's shortest decimal says: 18.2 is 182/10.
func rat(x float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(x, 'g', -1, 64))
	if !ok {
		return new(big.Rat) // not a finite number; prepare has refused those
	}
	return r
}

// shares checks shares as fractions, and the label by the grams that the books will
// have for each country.
func (c *checker) shares(j int, b *Batch, out *Blend, draws []Draw) {
	for i, s := range b.Shares {
		part := new(big.Rat)
		for _, d := range draws {
			if m := c.p.Contents[d.Content].Parts[s.By]; m.Of > 0 {
				f := big.NewRat(int64(m.of(s.Name)), int64(m.Of))
				part.Add(part, f.Mul(f, new(big.Rat).SetInt64(int64(d.Grams))))
			}
		}
		part.Mul(part, big.NewRat(100, int64(out.Grams)))
		least, most := rat(float64(s.Least)), rat(float64(s.Most))
		if s.Least == s.Most && s.Least > 0 && s.Least < 100 {
			grams := big.NewRat(100*int64(len(draws)), int64(out.Grams))
			least.Sub(least, grams)
			most.Add(most, grams)
		}
		if part.Cmp(least) < 0 || part.Cmp(most) > 0 {
			c.fault(Demand{j, AskShare, i})
		}
		percent, _ := part.Float64()
		out.Shares = append(out.Shares, ShareFound{By: s.By, Name: s.Name, Percent: quantity.Percent(percent), Least: s.Least, Most: s.Most})
	}
	if len(b.Label) == 0 {
		return
	}
	checks, pass, err := standard.CheckOrigin(b.Label, countries(c.p, draws))
	if err == nil && !pass || err != nil {
		for i, claim := range b.Label {
			k := slices.IndexFunc(checks, func(x standard.ShareCheck) bool { return x.Country == claim.Country })
			if k < 0 || !checks[k].Pass() {
				c.fault(Demand{j, AskLabel, i})
			}
		}
	}
	out.Label = checks
}

// countries gives the grams of each country, each draw parted as the books part it.
func countries(p *Problem, draws []Draw) (out []standard.Share) {
	for _, d := range draws {
		m := p.Contents[d.Content].Parts[ByCountry]
		parts, rest := make([]quantity.Gram, 0, len(m.Parts)+1), m.Of
		for _, x := range m.Parts {
			parts, rest = append(parts, x.Grams), rest-x.Grams
		}
		grams, err := quantity.Apportion(int64(d.Grams), append(parts, rest))
		if err != nil {
			out = append(out, standard.Share{Mass: d.Grams})
			continue
		}
		for i, g := range grams {
			name := ""
			if i < len(m.Parts) {
				name = m.Parts[i].Name
			}
			out = append(out, standard.Share{Country: name, Mass: quantity.Gram(g)})
		}
	}
	return out
}
