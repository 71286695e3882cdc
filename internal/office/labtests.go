package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// labMonths is how old a reading of HMF may be before stored honey is looked at again
// (common practice, no source; the house's own with lab.months).
var labMonths = quantity.Figure{Mantissa: 6, Unit: quantity.Each}

// A labWish is honey that goes to the laboratory, with what for and why.
type labWish struct {
	of    record.Code
	honey answer.Cell
	mass  quantity.Gram
	tests []record.Property
	whys  []answer.Key
	kept  bool
}

// LabTests answers which honey goes to the laboratory, for which tests, why, and what
// that costs: what was never read that nearly every buyer or an open order asks for; what
// was warmed since its last reading; what is on hold for a treatment without a result of
// residues; and HMF that was read long ago.
func (v *View) LabTests() answer.Answer {
	a := answer.Answer{Question: "lab-tests"}
	lab := v.Lab()
	waits := func(c record.Code) bool {
		return slices.ContainsFunc(lab.Awaited, func(x house.Awaited) bool { return x.Of.Fold() == c.Fold() })
	}
	all := once(v, "to the laboratory", func() []labWish { return v.labWishes(lab, waits) })
	p := v.pricesAt(v.State.Latest)
	t := a.Table("lab-tests", "of", "honey", "mass_g", "tests", "reason", "sample_kept", "cost")
	var sum cost.Money
	known := true
	for _, w := range all {
		money, ok := p.labCost(w.tests)
		var price answer.Cell
		if known = known && ok; ok {
			sum, price = sum.Plus(money), money.Rounded(2)
		}
		t.Row(answer.Plain, w.of, w.honey, w.mass, listed(propertyKeys(w.tests)), listed(w.whys), w.kept, price)
	}
	switch {
	case len(all) == 0:
		a.Lines = append(a.Lines, answer.Line{Key: "lab.nothing", Mark: answer.Good})
	case known:
		a.Say("lab.send", answer.Args{"n": int64(len(all)), "cost": sum.Rounded(2)})
	default:
		a.Say("lab.send-no-price", answer.Args{"n": int64(len(all)), "rule": priceLab})
	}
	away := a.Table("lab-away", "of", "tests", "sent_on", "due")
	for _, x := range lab.Awaited {
		var due answer.Cell
		if x.Due != 0 {
			due = x.Due
		}
		away.Row(answer.Plain, x.Of, x.Tests, x.Sent, due)
	}
	a.Follows("lab.follows", nil)
	v.restsOnRecord(&a)
	return a
}

func propertyKeys(all []record.Property) (keys []answer.Key) {
	for _, p := range all {
		keys = append(keys, answer.Key(p.Key()))
	}
	return keys
}

// labCost is what tests cost: each at its own price, or one sheet where that is cheaper.
func (p *prices) labCost(tests []record.Property) (sum cost.Money, ok bool) {
	ok = len(tests) > 0
	for _, t := range tests {
		m, known := p.money(p.codeNamed(priceTest, record.Code(t.String())))
		sum, ok = sum.Plus(m), ok && known
	}
	sheet, known := p.money(priceLab)
	if known && (!ok || sheet.Cmp(sum) < 0) {
		return sheet, true
	}
	return sum, ok
}

func (v *View) labWishes(lab Lab, waits func(record.Code) bool) (all []labWish) {
	want := func(of record.Code, honey answer.Cell, mass quantity.Gram, kept bool, why answer.Key, tests ...record.Property) {
		i := slices.IndexFunc(all, func(w labWish) bool { return w.of.Fold() == of.Fold() })
		if i < 0 {
			i = len(all)
			all = append(all, labWish{of: of, honey: honey, mass: mass, kept: kept})
		}
		w := &all[i]
		for _, t := range tests {
			if !slices.Contains(w.tests, t) {
				w.tests = append(w.tests, t)
			}
		}
		if !slices.Contains(w.whys, why) {
			w.whys = append(w.whys, why)
		}
	}
	for _, x := range lab.Send {
		want(x.Of, x.Honey, x.Grams, x.Sample, "lab.why.never", x.Missing...)
	}
	b, held := newWarmthBook(v), v.held()
	promised := v.promisedTests()
	oldest := v.State.Latest - int64(v.State.Setting("lab.months", labMonths).Float()*30.4*minutesADay)
	lots := map[string]quantity.Gram{}
	for _, c := range v.State.Contents() {
		if c.Grams > 0 {
			lots[cmp.Or(v.LotOf(c), c.Code).Fold()] += c.Grams
		}
	}
	for _, c := range v.State.Contents() {
		of := cmp.Or(v.LotOf(c), c.Code)
		if c.Grams <= 0 || c.Purpose == record.CookingGrade || len(c.InLots) > 0 || waits(c.Code) {
			continue
		}
		honey := honeyCell(v.honeyOf(c))
		read := v.lastLab(c, record.HMF)
		if v.warmedSince(b, c) {
			want(c.Code, honey, c.Grams, false, "lab.why.warmed", record.HMF, record.Diastase)
		} else if read > 0 && read < oldest && !waits(of) {
			want(of, honey, lots[of.Fold()], false, "lab.why.old", record.HMF)
		}
		if v.heldForResidue(held, c) && !waits(of) {
			if _, ok := v.reading(c.Node, record.Residue); !ok {
				want(of, honey, lots[of.Fold()], false, "lab.why.residue", record.Residue)
			}
		}
		for _, p := range promised[v.honeyOf(c)] {
			if _, ok := v.reading(c.Node, p); !ok && !waits(of) {
				want(of, honey, lots[of.Fold()], false, "lab.why.promised", p)
			}
		}
	}
	slices.SortStableFunc(all, func(x, y labWish) int { return cmp.Compare(natural(x.of), natural(y.of)) })
	return all
}

// promisedTests are the properties that products of open orders promise, by the honey
// that they are made of.
func (v *View) promisedTests() map[string][]record.Property {
	all := map[string][]record.Property{}
	for _, c := range v.Covers() {
		p, ok := v.State.Goods.Product(c.Product)
		r, has := v.State.Goods.Recipe(c.Product, DayOf(record.When{Minute: v.State.Latest}))
		if !ok || !has || c.Open <= 0 {
			continue
		}
		for _, l := range r.Lines {
			for _, x := range p.Promises {
				if l.Honey != "" && !slices.Contains(all[l.Honey], x.Property) {
					all[l.Honey] = append(all[l.Honey], x.Property)
				}
			}
		}
	}
	return all
}

// lastLab is when a property was last read by a laboratory of the content itself or of
// what it was drawn from; 0 for never.
func (v *View) lastLab(c house.Content, p record.Property) (minute int64) {
	for _, code := range []record.Code{c.Code, v.LotOf(c)} {
		for _, r := range v.State.ReadingsOf(v.contentNamed(code)) {
			for _, x := range r.Fact.Results {
				if x.Property == p && r.Fact.Lab != "" {
					minute = max(minute, r.When.Minute)
				}
			}
		}
	}
	return minute
}

// warmedSince reports whether a content stood in a heated place after it was last read
// itself.
func (v *View) warmedSince(b *warmthBook, c house.Content) bool {
	var read int64
	for _, r := range v.State.ReadingsOf(c.Node) {
		for _, x := range r.Fact.Results {
			if x.Property == record.HMF {
				read = max(read, r.When.Minute)
			}
		}
	}
	for _, s := range b.standings(cmp.Or(c.Vessel, c.Code), v.State.MadeAt(c.Node).Minute, v.State.Latest) {
		if b.place(s.place).heated() && s.to > read {
			return true
		}
	}
	return false
}

func (v *View) heldForResidue(held house.Held, c house.Content) bool {
	for _, on := range held[c.Node] {
		if h := v.State.Hold(on.Hold); h != nil && (h.Cause == record.CauseTreatment || h.Cause == record.CauseResidue) {
			return true
		}
	}
	return false
}
