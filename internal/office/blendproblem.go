package office

import (
	"fmt"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// A BlendCase is an ask made ready to be solved: what is there, what is wanted, and
// where each limit comes from.
type BlendCase struct {
	Ask        BlendAsk
	Problem    blend.Problem
	There      []Candidate // of each content of the problem
	Out        []Candidate // kept out before any search
	Origin     []string    // of each limit of the batch: "law", "promise", "asked", "house"
	ShareFrom  []string
	Product    goods.Product
	HasProduct bool
	Order      goods.Order
	Units      int64 // that the order still needs
	Costed     bool  // the house said what a kilogram costs
	Notes      []answer.Line
	Today      record.Day
}

// softCrystals is how much of a soft-set honey is grains, in % (common practice; the
// grains leave the rest wetter).
const softCrystals = 12

// BlendCase makes an ask ready on what is known to a view. The error is a [*DemandError]
// or a [*house.Refusal]-like line that says what is wrong with the ask.
func (v *View) BlendCase(ask BlendAsk, today record.Day) (*BlendCase, error) {
	k := &BlendCase{Ask: ask, Today: today}
	if err := v.wanted(k); err != nil {
		return nil, err
	}
	if err := v.chosen(k); err != nil {
		return nil, err
	}
	b := blend.Batch{Name: k.name(), Grams: k.Ask.Wanted, Most: ask.Most, Parcel: ask.Parcel, Cooking: k.Ask.Cooking, Marks: nil}
	if err := v.tankOf(&b, ask); err != nil {
		return nil, err
	}
	v.limits(k, &b)
	v.shares(k, &b)
	v.due(k, &b)
	k.Problem = blend.Problem{Batches: []blend.Batch{b}, Aims: ask.Aims, Risk: v.risk(ask), Table: !k.Ask.Cooking,
		Prices: blend.Prices{Handling: v.State.Setting("blend.handling", blendHandling).Float()}}
	v.contents(k)
	if err := k.mustBeSound(); err != nil {
		return nil, err
	}
	v.forecasts(k)
	k.must()
	k.room(v.State.Setting("blend.over", blendOver).Float())
	return k, nil
}

// BlendCaseIf is [View.BlendCase] on the house as the ask supposes it.
func (v *View) BlendCaseIf(ask BlendAsk, today record.Day) (*BlendCase, error) {
	v, err := v.without(ask.Sold)
	if err != nil {
		return nil, err
	}
	return v.BlendCase(ask, today)
}

// A BlendWrong says why an ask can't be asked: a key of package words with its figures.
type BlendWrong struct {
	Key  string
	Args answer.Args
	Next string
}

func (e *BlendWrong) Error() string { return e.Key }

func (k *BlendCase) name() string {
	switch {
	case k.Ask.Order != "":
		return string(k.Ask.Order)
	case k.Ask.Product != "":
		return string(k.Ask.Product)
	}
	return "blend"
}

// wanted finds the order and product of an ask and how much honey they need.
func (v *View) wanted(k *BlendCase) error {
	ask := &k.Ask
	if ask.Order != "" {
		o, ok := v.State.Goods.Order(ask.Order)
		if !ok {
			return &BlendWrong{"blend.wrong.order", answer.Args{"order": ask.Order}, "next.type-again"}
		}
		k.Order, ask.Order = o, o.Code
		line, ok := v.lineOf(o, ask.Product)
		if !ok {
			return &BlendWrong{"blend.wrong.order-line", answer.Args{"order": o.Code}, "blend.next.name-product"}
		}
		ask.Product, k.Units = line.Product, line.Open()
		if ask.Due == 0 {
			ask.Due = o.Due
		}
	}
	if ask.Product != "" {
		p, ok := v.State.Goods.Product(ask.Product)
		if !ok {
			return &BlendWrong{"blend.wrong.product", answer.Args{"product": ask.Product}, "next.type-again"}
		}
		k.Product, k.HasProduct, ask.Product = p, true, p.ProductNamed.Product
		ask.Soft = ask.Soft || p.What == record.SoftSetJar
	}
	if ask.Wanted == 0 && k.Units > 0 {
		if ask.Wanted = v.honeyFor(k.Product, k.Units); ask.Wanted == 0 {
			return &BlendWrong{"blend.wrong.label", answer.Args{"product": ask.Product}, "blend.next.mass"}
		}
	}
	if ask.Wanted < 0 || ask.Wanted == 0 && len(ask.Only) == 0 {
		return &BlendWrong{"blend.wrong.mass", nil, "blend.next.mass"}
	}
	return nil
}

// lineOf is the line of an order that asks for honey to be blended: the named one, or
// the only one.
func (v *View) lineOf(o goods.Order, product record.Code) (found goods.OrderLine, ok bool) {
	for _, l := range v.BlendLines(o) {
		switch {
		case product != "" && l.Product.Fold() == product.Fold():
			return l, true
		case product == "" && ok:
			return found, false
		case product == "":
			found, ok = l, true
		}
	}
	return found, ok
}

// chosen finds what was named to go in, or to stay out, and what a mix in mind weighs.
func (v *View) chosen(k *BlendCase) error {
	k.Ask.Only, k.Ask.Must = v.runs(k.Ask.Only), v.runs(k.Ask.Must)
	not := v.runs(asParts(k.Ask.Not))
	k.Ask.Not = nil
	for _, p := range not {
		if _, ok := v.bulkOf(p.Code); !ok {
			return v.notHere(p.Code)
		}
		k.Ask.Not = append(k.Ask.Not, p.Code)
	}
	for _, list := range [][]AskedPart{k.Ask.Only, k.Ask.Must} {
		for i := range list {
			c, ok := v.bulkOf(list[i].Code)
			if !ok {
				return v.notHere(list[i].Code)
			}
			if list[i].Code = c.Code; list[i].Grams == 0 {
				list[i].Grams = c.Grams
			}
			if list[i].Grams > c.Grams {
				return &BlendWrong{"refused.plan-more", answer.Args{"what": c.Code, "want": list[i].Grams, "have": c.Grams}, "next.type-again"}
			}
		}
	}
	if len(k.Ask.Only) > 0 {
		k.Ask.Wanted = 0
		seen := map[record.Code]bool{}
		for _, p := range k.Ask.Only {
			if seen[p.Code] {
				return &BlendWrong{"refused.plan-twice", answer.Args{"what": p.Code}, "next.type-again"}
			}
			seen[p.Code] = true
			k.Ask.Wanted += p.Grams
		}
	}
	return nil
}

// bulkOf is honey in bulk that is here, by the code of its filling or vessel.
func (v *View) bulkOf(code record.Code) (house.Content, bool) {
	for _, c := range v.State.Contents() {
		if c.Code.Fold() == code.Fold() || c.Vessel != "" && c.Vessel.Fold() == code.Fold() {
			return c, true
		}
	}
	return house.Content{}, false
}

func (v *View) tankOf(b *blend.Batch, ask BlendAsk) error {
	if ask.Tank == "" {
		return nil
	}
	t, ok := v.State.Find(ask.Tank)
	f, is := v.State.Named(t).(*record.VesselNamed)
	if !ok || !is {
		return &BlendWrong{"blend.wrong.tank", answer.Args{"tank": ask.Tank}, "next.type-again"}
	}
	if f.Capacity.Given() {
		b.Tank = f.Capacity.Grams()
	}
	return nil
}

func (v *View) risk(ask BlendAsk) float64 {
	f := ask.Risk
	if !f.Given() {
		f = v.State.Setting("blend.risk", blendRisk)
	}
	return f.Float() / 100
}

// figureOf are the figures of package blend that stand for properties of the record.
var figureOf = map[record.Property]blend.Figure{record.Water: blend.Water, record.Colour: blend.Colour, record.HMF: blend.HMF, record.Diastase: blend.Diastase,
	record.Conductivity: blend.Conductivity, record.Fructose: blend.Fructose, record.Glucose: blend.Glucose, record.Sucrose: blend.Sucrose,
	record.FreeAcid: blend.FreeAcid, record.Insolubles: blend.Insolubles, record.Yeast: blend.Yeast}

// PropertyOf turns a measure back into the property that is read for it.
func PropertyOf(m blend.Measure) (record.Property, bool) {
	for p, f := range figureOf {
		if blend.Measure(f) == m {
			return p, true
		}
	}
	switch m {
	case blend.Measure(blend.HMFThen):
		return record.HMF, true
	case blend.Measure(blend.DiastaseThen):
		return record.Diastase, true
	}
	return 0, false
}

// limits puts together what law, product and whoever asks demand. What is asked stands
// instead of what the product promises on the same measure; the law always stands.
func (v *View) limits(k *BlendCase, b *blend.Batch) {
	add := func(from string, l blend.Limit) {
		b.Limits, k.Origin = append(b.Limits, l), append(k.Origin, from)
	}
	asked := func(m blend.Measure) bool {
		return slices.ContainsFunc(k.Ask.Demands, func(d Demand) bool { return !d.Share && d.Measure == m })
	}
	for _, d := range k.Ask.Demands {
		if d.Share {
			continue
		}
		if d.Least != nil {
			add("asked", blend.AtLeast(d.Measure, d.Least.Float()))
		}
		if d.Most != nil {
			add("asked", blend.AtMost(d.Measure, d.Most.Float()))
		}
	}
	if k.HasProduct {
		for _, p := range k.Product.Promises {
			f, known := figureOf[p.Property]
			value, err := p.Value.In(record.PropertyUnits[p.Property])
			switch {
			case !known || err != nil:
				k.Notes = append(k.Notes, answer.Line{Key: "blend.note.promise", Mark: answer.Care, Args: answer.Args{"property": answer.Key(p.Property.Key()), "value": p.Value}})
			case asked(blend.Measure(f)):
			case p.Bound == record.Above:
				add("promise", blend.AtLeast(blend.Measure(f), value))
			default:
				add("promise", blend.AtMost(blend.Measure(f), value))
			}
		}
	}
	if !k.Ask.Cooking {
		v.lawful(k, add)
		crystals := quantity.Percent(0)
		if k.Ask.Soft {
			crystals = softCrystals
		}
		if keeps, err := blend.Keeps(crystals); err == nil {
			add("house", keeps)
		}
	}
}

// lawful adds what the house's rule set asks of table honey: water, HMF and diastase.
func (v *View) lawful(k *BlendCase, add func(string, blend.Limit)) {
	rules, err := standard.ParseRules(v.State.House().Rules)
	if err != nil {
		return
	}
	for _, p := range []struct {
		is standard.Property
		m  blend.Measure
	}{{standard.Moisture, blend.Measure(blend.Water)}, {standard.HMF, blend.Measure(blend.HMF)}, {standard.Diastase, blend.Measure(blend.Diastase)}} {
		l, err := standard.LimitOf(rules, p.is, standard.Honey{})
		if err != nil || l.Bound == standard.Unbounded {
			continue
		}
		if property, _ := PropertyOf(p.m); !v.anyReads(property) { // nobody in this house has it read: said, not passed
			k.Notes = append(k.Notes, answer.Line{Key: "blend.note.unread", Mark: answer.Care, Args: answer.Args{"property": answer.Key(property.Key())}})
			continue
		}
		limit := blend.AtMost(p.m, l.Value)
		if l.Bound == standard.Min {
			limit = blend.AtLeast(p.m, l.Value)
		}
		limit.Fixed = true
		add("law", limit)
	}
}

// anyReads reports whether any honey in bulk has a reading of a property.
func (v *View) anyReads(p record.Property) bool {
	return once(v, fmt.Sprint("any reads ", p), func() bool {
		d := v.doubter()
		return slices.ContainsFunc(v.State.Contents(), func(c house.Content) bool { return d.of(c.Node, p).Value.Known() })
	})
}

// shares puts together the shares that are asked, that the label states, and the kind
// of honey of the recipe.
func (v *View) shares(k *BlendCase, b *blend.Batch) {
	for _, d := range k.Ask.Demands {
		if !d.Share || d.Stated {
			continue
		}
		s := blend.Share{By: d.By, Name: v.nameOf(d.By, d.Name), Most: 100}
		if d.Least != nil {
			s.Least = quantity.Percent(d.Least.Float())
		}
		if d.Most != nil {
			s.Most = quantity.Percent(d.Most.Float())
		}
		b.Shares, k.ShareFrom = append(b.Shares, s), append(k.ShareFrom, "asked")
	}
	b.Label = claims(k.Ask.Demands)
	if !k.HasProduct {
		return
	}
	if len(b.Label) == 0 && !slices.ContainsFunc(b.Shares, func(s blend.Share) bool { return s.By == blend.ByCountry }) {
		for _, o := range k.Product.Origin {
			b.Label = append(b.Label, standard.Claim{Country: o.Country, Percent: quantity.Percent(o.Percent.Float())})
		}
	}
	if slices.ContainsFunc(b.Shares, func(s blend.Share) bool { return s.By == blend.ByKind }) {
		return
	}
	r, ok := v.State.Goods.Recipe(k.Ask.Product, k.Today)
	if !ok {
		return
	}
	for _, l := range r.Lines {
		if l.Honey != "" {
			b.Shares, k.ShareFrom = append(b.Shares, blend.Share{By: blend.ByKind, Name: l.Honey, Least: 100, Most: 100}), append(k.ShareFrom, "recipe")
			return
		}
	}
}

// nameOf is a name as the record writes it, whatever case it was typed in.
func (v *View) nameOf(by blend.Dimension, typed string) string {
	if t, ok := v.State.Find(record.Code(typed)); ok && by == blend.BySite {
		return string(v.State.Code(t))
	}
	for _, c := range v.State.Contents() {
		for _, g := range v.State.GroupBy(c.Node, map[blend.Dimension]func(house.Origin) string{blend.ByCountry: v.State.Country, blend.BySite: v.State.Site, blend.ByKind: v.State.Honey}[by]) {
			if strings.EqualFold(g.Name, typed) {
				return g.Name
			}
		}
	}
	return typed
}

// due asks that everything can be tipped by the due day.
func (v *View) due(k *BlendCase, b *blend.Batch) {
	if k.Ask.Due > 0 && k.Ask.Due >= k.Today && len(k.Ask.Only) == 0 {
		b.Timed, b.Within = true, quantity.Days(k.Ask.Due-k.Today)
	}
}

// contents turns candidates into the contents of the problem; those that a rule keeps
// out of every blend stand apart. What was named to go in is looked at even where it
// is no table honey of its own, as seed: only a hold and its like keep it out.
func (v *View) contents(k *BlendCase) {
	all := v.Candidates(k.Today)
	k.Costed = len(all) > 0
	for i := range all {
		k.Costed = k.Costed && (all[i].Cost.Given() || len(all[i].Out) > 0)
	}
	for _, x := range all {
		named := k.named(x.Content.Code)
		switch {
		case len(k.Ask.Only) > 0 && !named:
			continue
		case slices.ContainsFunc(k.Ask.Not, func(c record.Code) bool { return sameThing(x.Content, c) }):
			x.Out = append(x.Out, Exclusion{"blend.out.not-asked", nil})
		}
		if named {
			x.Out = slices.DeleteFunc(x.Out, func(e Exclusion) bool {
				return e.Key == "blend.out.purpose" && x.Content.Purpose == record.SeedHoney || e.Key == "blend.out.promised" || e.Key == "blend.out.planned"
			})
			x.Free = max(x.Free, x.Content.Grams)
		}
		if k.Ask.Cooking {
			x.Out = slices.DeleteFunc(x.Out, func(e Exclusion) bool {
				return e.Key == "blend.out.heated" || e.Key == "blend.out.purpose" && x.Content.Purpose != record.SeedHoney
			})
		}
		if len(x.Out) > 0 || x.Free <= 0 {
			k.Out = append(k.Out, x)
			continue
		}
		k.There = append(k.There, x)
		k.Problem.Contents = append(k.Problem.Contents, v.content(k, &x))
	}
}

func sameThing(c house.Content, code record.Code) bool {
	return c.Code.Fold() == code.Fold() || c.Vessel != "" && c.Vessel.Fold() == code.Fold()
}

func (k *BlendCase) named(code record.Code) bool {
	for _, list := range [][]AskedPart{k.Ask.Only, k.Ask.Must} {
		if slices.ContainsFunc(list, func(p AskedPart) bool { return p.Code.Fold() == code.Fold() }) {
			return true
		}
	}
	return false
}

func (v *View) content(k *BlendCase, x *Candidate) blend.Content {
	c := blend.Content{Name: string(x.Content.Code), Grams: x.Free, Figures: map[blend.Figure]quantity.Uncertain{}, Cost: 1, AgeDays: 0,
		TipAfter: quantity.Days(max(0, x.Ready-k.Today)), Split: k.Ask.Parts}
	if k.Costed {
		c.Cost = x.Cost.Float()
	}
	if x.Since > 0 {
		c.AgeDays = float64(max(0, k.Today-x.Since))
	}
	least := v.State.Setting("blend.draw", blendDraw)
	if g, err := least.Grams(); err == nil {
		c.Least = min(g, x.Free)
	}
	if x.Whole() {
		c.Drum = x.Free
	}
	for p, d := range x.Known {
		f, known := figureOf[p]
		if !known || !d.Value.Known() {
			continue
		}
		u := d.Value
		if p == record.Yeast && d.Bound == record.Below {
			u = quantity.Exactly(0) // fewer than could be counted; said with the answer
		}
		c.Figures[f] = u
	}
	for by, groups := range [...][]house.Group{blend.ByCountry: x.Country, blend.BySite: x.Site, blend.ByKind: x.Kind} {
		c.Parts[by] = makeup(groups)
	}
	return c
}

func makeup(groups []house.Group) (m blend.Makeup) {
	for _, g := range groups {
		m.Of += g.Grams
		if g.Name != "" && g.Grams > 0 {
			m.Parts = append(m.Parts, blend.Part{Name: g.Name, Grams: g.Grams})
		}
	}
	return m
}

// mustBeSound refuses honey that must go in and may not.
func (k *BlendCase) mustBeSound() error {
	for _, p := range k.Ask.Must {
		for _, x := range k.Out {
			if x.Content.Code == p.Code && len(x.Out) > 0 {
				return &BlendWrong{"blend.fault.content", answer.Args{"of": p.Code, "why": answer.Line{Key: x.Out[0].Key, Args: x.Out[0].Args}}, "thin.next.other"}
			}
		}
	}
	return nil
}

// must puts what has to go in into the batch.
func (k *BlendCase) must() {
	b := &k.Problem.Batches[0]
	for _, p := range k.Ask.Must {
		b.Use = append(b.Use, blend.Use{Content: string(p.Code), Grams: p.Grams})
	}
}

// room lets a blend be more than what was asked by the house's rule, and by a drum at
// least: drums go whole.
func (k *BlendCase) room(percent float64) {
	b := &k.Problem.Batches[0]
	if len(k.Ask.Only) > 0 {
		return
	}
	b.Over = quantity.Gram(float64(b.Grams) * percent / 100)
	if k.Ask.Parts {
		return
	}
	var drum quantity.Gram
	for _, c := range k.Problem.Contents {
		drum = max(drum, c.Drum)
	}
	b.Over = max(b.Over, drum)
	if b.Tank > 0 {
		b.Over = min(b.Over, max(0, b.Tank-b.Grams))
	}
}
