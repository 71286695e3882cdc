package office

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A ThinAsk asks whether wet honey can be taken to a target with dry honey.
type ThinAsk struct {
	Wet  []AskedPart
	Dry  []AskedPart // in the order of tipping; none: what is here of the same kind, the driest first
	To   quantity.Figure
	Soft bool
	Risk quantity.Figure
}

// A Thin is how wet honey can be taken to a target: as the readings stand, surely, and
// so that it keeps.
type Thin struct {
	Ask     ThinAsk
	Wet     []Candidate
	Dry     []Candidate
	WetKg   quantity.Gram
	Known   map[record.Property]Doubted // of the wet honey together
	Rows    []ThinRow
	Facts   uint64
	Chosen  bool // the dry honey was chosen by the program
	Assumed bool
	risk    float64
}

// A ThinRow is one answer: what is aimed at, how much dry honey it takes and what
// becomes of it.
type ThinRow struct {
	Key    string // thin.at, thin.lower, thin.sure, thin.keeps, thin.spare
	Target quantity.Figure
	*blend.Mixture
	Liquid float64 // water of the liquid between grains if it is set, %
}

const (
	aimLower  = 0.2 // points under the promise that the trade aims at (common practice)
	yeastLess = 0.9 // of the limit, so that there is a margin
)

// Thin answers whether wet honey can be taken to a target, as of a day.
func (v *View) Thin(ask ThinAsk, today record.Day) (*Thin, error) {
	t := &Thin{Ask: ask, Facts: v.Facts(), risk: v.risk(BlendAsk{Risk: ask.Risk})}
	if !ask.To.Given() {
		ask.To = quantity.Figure{Mantissa: 180, Decimals: 1, Unit: quantity.Pct}
		t.Ask.To = ask.To
	}
	if low, high := blend.Measure(blend.Water).Range(); ask.To.Unit != quantity.Pct || !(low <= ask.To.Float() && ask.To.Float() <= high) {
		return nil, wrongDemand("range", ask.To.String(), "figure", ask.To, "low", bound(blend.Measure(blend.Water), low), "high", bound(blend.Measure(blend.Water), high))
	}
	all := v.Candidates(today)
	var err error
	if t.Wet, t.Ask.Wet, err = v.partsHere(all, ask.Wet); err != nil {
		return nil, err
	}
	if len(t.Wet) == 0 {
		return nil, &BlendWrong{"thin.wrong.wet", nil, "next.type-again"}
	}
	if t.Dry, t.Ask.Dry, err = v.partsHere(all, ask.Dry); err != nil {
		return nil, err
	}
	if len(t.Dry) == 0 {
		t.Chosen = true
		t.Dry, t.Ask.Dry = driest(all, t.Wet, ask.To.Float())
	}
	for _, x := range append(slices.Clone(t.Wet), t.Dry...) {
		if len(x.Out) > 0 {
			e := x.Out[0]
			return nil, &BlendWrong{"blend.fault.content", answer.Args{"of": x.Content.Code, "why": answer.Line{Key: e.Key, Args: e.Args}}, "thin.next.other"}
		}
		if !x.Known[record.Water].Value.Known() {
			return nil, &BlendWrong{"thin.wrong.unread", answer.Args{"of": x.Content.Code}, "thin.next.read"}
		}
		for _, d := range x.Known {
			t.Assumed = t.Assumed || d.Assumed
		}
	}
	for _, x := range t.Dry {
		if slices.ContainsFunc(t.Wet, func(w Candidate) bool { return w.Content.Node == x.Content.Node }) {
			return nil, &BlendWrong{"refused.plan-twice", answer.Args{"what": x.Content.Code}, "next.type-again"}
		}
	}
	if len(t.Dry) == 0 {
		return nil, &BlendWrong{"thin.wrong.no-dry", answer.Args{"to": ask.To}, "thin.next.bring"}
	}
	return t, t.work()
}

// partsHere finds what was named among what is here.
func (v *View) partsHere(all []Candidate, parts []AskedPart) (found []Candidate, named []AskedPart, err error) {
	for _, p := range v.runs(parts) {
		i := slices.IndexFunc(all, func(x Candidate) bool { return sameThing(x.Content, p.Code) })
		if i < 0 {
			return nil, nil, v.notHere(p.Code)
		}
		if p.Code = all[i].Content.Code; p.Grams == 0 {
			p.Grams = all[i].Content.Grams
		}
		if p.Grams > all[i].Content.Grams {
			return nil, nil, &BlendWrong{"refused.plan-more", answer.Args{"what": p.Code, "want": p.Grams, "have": all[i].Content.Grams}, "next.type-again"}
		}
		if slices.ContainsFunc(named, func(q AskedPart) bool { return q.Code == p.Code }) {
			return nil, nil, &BlendWrong{"refused.plan-twice", answer.Args{"what": p.Code}, "next.type-again"}
		}
		found, named = append(found, all[i]), append(named, p)
	}
	return found, named, nil
}

// driest chooses sound honey of the wet honey's kind that is under the target, the
// driest first.
func driest(all, wet []Candidate, target float64) (found []Candidate, parts []AskedPart) {
	kind := kindOf(wet[0])
	for _, x := range all {
		w := x.Known[record.Water]
		if len(x.Out) == 0 && x.Free > 0 && kindOf(x) == kind && w.Value.Known() && w.Value.Value < target &&
			!slices.ContainsFunc(wet, func(y Candidate) bool { return y.Content.Node == x.Content.Node }) {
			found = append(found, x)
		}
	}
	slices.SortStableFunc(found, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(a.Known[record.Water].Value.Value, b.Known[record.Water].Value.Value), cmp.Compare(a.Since, b.Since))
	})
	for _, x := range found {
		parts = append(parts, AskedPart{x.Content.Code, x.Free})
	}
	return found, parts
}

// kindOf is the kind of honey that a content is, when all of it is of one.
func kindOf(x Candidate) string {
	if len(x.Kind) == 1 {
		return x.Kind[0].Name
	}
	return mixed
}

// work reckons the rows.
func (t *Thin) work() error {
	x := blend.Thinning{Wet: t.wetTogether(), Target: quantity.WaterPct(t.Ask.To.Float()), Risk: t.risk}
	if t.Ask.Soft {
		x.Crystals = softCrystals
	}
	for i, c := range t.Dry {
		x.Dry = append(x.Dry, plainContent(c, t.Ask.Dry[i].Grams))
	}
	if len(x.Dry) == 1 && len(t.Wet) == 1 {
		x.Wet, x.Dry[0] = ownDoubt(x.Wet, x.Dry[0])
	}
	if w := x.Wet.Figures[blend.Water].Value; w <= t.Ask.To.Float() {
		return &BlendWrong{"thin.wrong.dry-already", answer.Args{"water": usualFigure(record.Water, w), "to": t.Ask.To}, "next.type-again"}
	}
	out, err := blend.Thin(x)
	if err != nil {
		return err
	}
	t.add("thin.at", t.Ask.To, &out.AtTarget)
	lower := x
	lower.Target -= aimLower
	if l, err := blend.Thin(lower); err == nil {
		t.add("thin.lower", usualWater(float64(lower.Target)), &l.AtTarget)
	}
	t.add("thin.sure", t.Ask.To, out.Sure)
	t.add("thin.keeps", t.Ask.To, out.Keeping)
	if out.Keeping != nil && out.Keeping.Keeping.Limit > 0 {
		spare := x
		spare.YeastMax = yeastLess * float64(out.Keeping.Keeping.Limit)
		if s, err := blend.Thin(spare); err == nil {
			t.add("thin.spare", t.Ask.To, s.Keeping)
		}
	}
	return nil
}

func usualWater(x float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(10 * x)), Decimals: 1, Unit: quantity.Pct}
}

func (t *Thin) add(key string, target quantity.Figure, m *blend.Mixture) {
	if m == nil || math.IsInf(float64(m.DryKg), 1) {
		t.Rows = append(t.Rows, ThinRow{Key: key, Target: target})
		return
	}
	m.Chance = m.Water.ChanceAbove(t.Ask.To.Float()) // whatever was aimed at
	t.Rows = append(t.Rows, ThinRow{Key: key, Target: target, Mixture: m, Liquid: liquidWater(m.Water.Value)})
}

// wetTogether is the wet honey as one content.
func (t *Thin) wetTogether() blend.Content {
	c := blend.Content{Name: "wet", Figures: map[blend.Figure]quantity.Uncertain{}}
	t.Known = map[record.Property]Doubted{}
	for _, p := range []record.Property{record.Water, record.Yeast} {
		x := Doubted{Value: quantity.Unknown(), Mixed: len(t.Wet) > 1}
		var parts []Doubted
		var grams []float64
		for i, w := range t.Wet {
			d := w.Known[p]
			if p == record.Yeast && d.Bound == record.Below {
				d.Value = quantity.Exactly(0)
			}
			x.Lacks, x.Reads = appendNew(x.Lacks, d.Lacks...), appendNew(x.Reads, d.Reads...)
			parts, grams = append(parts, d), append(grams, float64(t.Ask.Wet[i].Grams))
		}
		if len(x.Lacks) == 0 {
			x.Value = meanOf(p, parts, grams)
			c.Figures[figureOf[p]] = x.Value
		}
		t.Known[p] = x
	}
	for i := range t.Wet {
		c.Grams += t.Ask.Wet[i].Grams
	}
	t.WetKg = c.Grams
	return c
}

func plainContent(x Candidate, grams quantity.Gram) blend.Content {
	c := blend.Content{Name: string(x.Content.Code), Grams: grams, Figures: map[blend.Figure]quantity.Uncertain{blend.Water: x.Known[record.Water].Value}}
	if y := x.Known[record.Yeast]; y.Value.Known() {
		u := y.Value
		if y.Bound == record.Below {
			u = quantity.Exactly(0)
		}
		c.Figures[blend.Yeast] = u
	}
	return c
}

// ownDoubt gives two honeys whose readings share no error their doubt as their own, so
// that the band of the amount can be told.
func ownDoubt(a, b blend.Content) (blend.Content, blend.Content) {
	wa, wb := a.Figures[blend.Water], b.Figures[blend.Water]
	for _, s := range wa.Shared {
		if slices.ContainsFunc(wb.Shared, func(r quantity.Share) bool { return r.Key == s.Key }) {
			return a, b
		}
	}
	a.Figures[blend.Water] = quantity.Uncertain{Value: wa.Value, Own: wa.StdDev()}
	b.Figures[blend.Water] = quantity.Uncertain{Value: wb.Value, Own: wb.StdDev()}
	return a, b
}

// Keeps reports whether some amount of the dry honey meets the target and makes it
// keep, and whether so much is here.
func (t *Thin) Keeps() (keeps, here bool) {
	r := t.row("thin.keeps")
	if r == nil || r.Mixture == nil {
		return false, false
	}
	return true, r.There
}
