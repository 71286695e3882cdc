package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A PickAsk asks what to take for an order.
type PickAsk struct {
	Order record.Code
	Only  []record.Code // just these lot marks and drums
}

// A Pick is what to take for an order, in the order of taking. It is a proposal:
// nothing left the house.
type Pick struct {
	Order goods.Order
	Lines []PickLine
	Lacks []Lack
	Left  []NotTaken // of the same products, here and not taken
}

// A PickLine is one thing to take from its place.
type PickLine struct {
	goods.Take
	Product record.Code
	Place   record.Code
	Best    record.Day // 0: not known
	Drum    bool
	Mass    quantity.Gram // of a drum, or by the labels; 0: not known
	Touched []record.Code // holds that may have touched it
	Line    record.SentLine
}

// A Lack is what a line of an order still lacks.
type Lack struct {
	Product record.Code
	Units   int64
	Drum    record.Code // a drum that the buyer chose and can't have
	Due     record.Day
	Why     answer.Line
}

// A NotTaken is goods that a pick leaves alone, and why.
type NotTaken struct {
	What  record.Code
	Units int64
	Why   string // key
	Hold  record.Code
	Order record.Code
}

// Pick says what to take for an order, first expired first out. A lot or drum that is
// asked for by name and is on hold is refused by its hold.
func (v *View) Pick(ask PickAsk) (p Pick, err error) {
	o, ok := v.State.Goods.Order(ask.Order)
	if !ok || o.Customer == "" {
		return p, notKnown("order", ask.Order)
	}
	held := v.held()
	for _, c := range ask.Only {
		if hold, ok := v.blockedBy(held, c); ok {
			return p, &house.Refusal{Key: "refused.on-hold", Args: answer.Args{"what": c, "hold": hold}, Next: "next.release-or-override"}
		}
		if len(v.State.RootsOf(c)) == 0 {
			return p, notKnown("what", c)
		}
	}
	p.Order = o
	w := &picking{v: v, p: &p, held: held, only: ask.Only, drums: map[string]bool{}}
	if o.Dropped != record.Yes {
		for _, l := range byProduct(o.Lines) {
			if l.Units > 0 {
				w.line(l)
			}
		}
	}
	return p, nil
}

// notKnown says that there is nothing under a code.
func notKnown(field string, code record.Code) error {
	return &house.Refusal{Key: "refused.not-known", Args: answer.Args{"code": code, "field": answer.Key(record.FieldKey(field)), "column": field}, Next: "next.type-again"}
}

// byProduct adds up the lines of one product: what one takes is not there for another.
func byProduct(lines []goods.OrderLine) (all []goods.OrderLine) {
	for _, l := range lines {
		i := slices.IndexFunc(all, func(x goods.OrderLine) bool { return x.Product.Fold() == l.Product.Fold() })
		if i < 0 {
			l.Units, l.Sent = l.Open(), 0
			all = append(all, l)
			continue
		}
		all[i].Units += l.Open()
		all[i].Drums = slices.Concat(all[i].Drums, l.Drums)
	}
	return all
}

type picking struct {
	v     *View
	p     *Pick
	held  house.Held
	only  []record.Code
	drums map[string]bool // taken
}

func (w *picking) asked(c record.Code) bool {
	return len(w.only) == 0 || slices.ContainsFunc(w.only, func(x record.Code) bool {
		if run, _ := w.v.State.RunOf(c); run != "" && run.Fold() == x.Fold() {
			return true
		}
		return x.Fold() == c.Fold()
	})
}

func (w *picking) line(l goods.OrderLine) {
	if product, ok := w.v.State.Goods.Product(l.Product); len(l.Drums) > 0 || ok && product.What == record.BulkDrum {
		w.drumLine(l)
		return
	}
	g := w.v.State.Goods
	takes, short := g.Pick(goods.Want{Order: w.p.Order.Code, Product: l.Product, Units: l.Open(), Held: func(c record.Code) bool {
		return !w.asked(c) || w.blocked(c)
	}})
	for _, t := range takes {
		w.p.Lines = append(w.p.Lines, w.take(t, l.Product))
	}
	if short > 0 {
		w.lack(Lack{Product: l.Product, Units: short, Why: answer.Line{Key: "pick.short", Args: answer.Args{"n": short, "product": l.Product, "due": dayOrNil(w.p.Order.Due)}}})
	}
	w.leftOut(l.Product)
}

func (w *picking) lack(l Lack) {
	l.Due, l.Why.Mark = w.p.Order.Due, answer.Bad
	w.p.Lacks = append(w.p.Lacks, l)
}

func (w *picking) blocked(batch record.Code) bool {
	_, on := w.v.blockedBy(w.held, batch)
	return on
}

func (w *picking) take(t goods.Take, product record.Code) PickLine {
	x := PickLine{Take: t, Product: product, Line: t.Line()}
	at := t.Of[0].Batch
	if t.Pallet != "" {
		at = t.Pallet
	}
	x.Place, _, _, _ = w.v.State.PlaceOf(at)
	for i, u := range t.Of {
		if d, ok := w.v.State.Goods.BestBefore(u.Batch); ok && (i == 0 || d < x.Best) {
			x.Best = d
		}
		for _, n := range w.v.State.RootsOf(u.Batch) {
			x.Touched = w.v.touching(w.held, n, x.Touched)
		}
		if x.Place == "" {
			x.Place, _, _, _ = w.v.State.PlaceOf(u.Batch)
		}
		_, mass := w.v.unitsOf(u)
		x.Mass += gramsOf(mass)
	}
	return x
}

// touching adds the holds that may have touched a content.
func (v *View) touching(held house.Held, n trace.Node, all []record.Code) []record.Code {
	for _, on := range held[n] {
		if c := v.State.Code(on.Hold); !on.Share && !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	return all
}

// leftOut lists what of a product is here and is not taken, and why.
func (w *picking) leftOut(product record.Code) {
	g := w.v.State.Goods
	for _, b := range g.FirstOut(product) {
		if slices.ContainsFunc(w.p.Left, func(x NotTaken) bool { return x.What.Fold() == b.Code.Fold() }) {
			continue
		}
		hold, on := w.v.blockedBy(w.held, b.Code)
		x := NotTaken{What: b.Code, Units: b.OnHand, Hold: hold}
		switch {
		case on:
			x.Why = "pick.left.held"
		case g.SetAside(b.Code) && g.PutBy(b.Code, w.p.Order.Code) == 0:
			x.Why = "pick.left.aside"
		case g.FreeFor(b.Code, w.p.Order.Code) < b.OnHand:
			x.Why, x.Units = "pick.left.promised", b.OnHand-g.FreeFor(b.Code, w.p.Order.Code)
			for _, p := range g.PromisesOf(b.Code) {
				if p.Order.Fold() != w.p.Order.Code.Fold() {
					x.Order = p.Order
				}
			}
		default:
			continue
		}
		w.p.Left = append(w.p.Left, x)
	}
}

// drumLine takes the drums that the buyer chose, or the oldest free ones of the kind.
func (w *picking) drumLine(l goods.OrderLine) {
	if len(l.Drums) > 0 {
		for _, c := range l.Drums {
			w.chosen(l, c)
		}
		return
	}
	product, _ := w.v.State.Goods.Product(l.Product)
	kind := w.v.kindFor(l.Product)
	left := l.Open()
	for _, c := range w.v.freeDrums(kind, product, w.held, w.p.Order.Code) {
		if left > 0 && w.asked(c.Code) && !w.drums[c.Code.Fold()] {
			w.drum(l, c)
			left--
		}
	}
	switch {
	case left > 0 && kind == "":
		w.lack(Lack{Product: l.Product, Units: left, Why: answer.Line{Key: "pick.no-kind", Args: answer.Args{"product": l.Product}}})
	case left > 0:
		w.lack(Lack{Product: l.Product, Units: left, Why: answer.Line{Key: "pick.short", Args: answer.Args{"n": left, "product": l.Product, "due": dayOrNil(w.p.Order.Due)}}})
	}
}

func (w *picking) chosen(l goods.OrderLine, drum record.Code) {
	for _, s := range w.v.State.Goods.SentOfFilling(drum) {
		if s.Order.Fold() == w.p.Order.Code.Fold() {
			return // it went
		}
	}
	no := func(key string, args answer.Args) {
		args["drum"] = drum
		w.lack(Lack{Product: l.Product, Units: 1, Drum: drum, Why: answer.Line{Key: key, Args: args}})
	}
	c, ok := w.v.bulkOf(drum)
	switch hold, on := w.v.blockedBy(w.held, drum); {
	case !ok:
		no("pick.drum-gone", answer.Args{})
	case on:
		no("pick.drum-held", answer.Args{"hold": hold})
		w.p.Left = append(w.p.Left, NotTaken{What: drum, Units: 1, Why: "pick.left.held", Hold: hold})
	default:
		if by, taken := w.v.putByOther(drum, w.p.Order.Code); taken {
			no("pick.drum-taken", answer.Args{"order": by})
			return
		}
		if w.asked(c.Code) {
			w.drum(l, c)
		}
	}
}

func (w *picking) drum(l goods.OrderLine, c house.Content) {
	w.drums[c.Code.Fold()] = true
	x := PickLine{Take: goods.Take{Of: []goods.BatchUnits{{Batch: c.Code, Units: 1}}}, Product: l.Product, Place: c.Place, Drum: true, Mass: c.Grams,
		Touched: w.v.touching(w.held, c.Node, nil), Line: record.SentLine{What: c.Code}}
	if seals := w.v.State.SealsOf(c.Node); len(seals) > 0 {
		x.Line.Seal = seals[len(seals)-1]
	}
	w.p.Lines = append(w.p.Lines, x)
}

// kindFor is the kind of honey that a product is made of, by its recipe; empty when
// nobody wrote it down.
func (v *View) kindFor(product record.Code) string {
	r, ok := v.State.Goods.Recipe(product, DayOf(record.When{Minute: v.State.Latest}))
	if !ok {
		return ""
	}
	for _, l := range r.Lines {
		if l.Honey != "" {
			return l.Honey
		}
	}
	return ""
}

// freeDrums lists full vessels of a kind of table honey that an order may have, the
// oldest first. Full is at least nine tenths of what the label says.
func (v *View) freeDrums(kind string, product goods.Product, held house.Held, order record.Code) (all []house.Content) {
	var least quantity.Gram
	if product.ProductNamed != nil {
		least = product.Label.Grams() * 9 / 10
	}
	for _, c := range v.State.Contents() {
		_, taken := v.contentPutBy(c, order)
		if kind != "" && v.honeyOf(c) == kind && c.Purpose == record.TableHoney && len(c.InLots) == 0 && c.Grams > 0 && c.Grams >= least &&
			!held.Blocked(c.Node) && !taken && v.shapeOf(c) != record.Tank {
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(a, b house.Content) int { return cmp.Compare(a.When.Minute, b.When.Minute) })
	return all
}

// Answer is a pick as it is read out in the store.
func (p Pick) Answer(v *View) answer.Answer {
	a := answer.Answer{Question: "pick", Of: p.Order.Code}
	a.Say("pick.for", answer.Args{"order": p.Order.Code, "customer": v.customerName(p.Order.Customer), "due": dayOrNil(p.Order.Due), "n": int64(len(p.Lines))})
	if !p.Order.Open() {
		a.Say("pick.nothing-open", answer.Args{"order": p.Order.Code})
	}
	for _, l := range p.Lacks {
		a.Lines = append(a.Lines, l.Why)
	}
	t := a.Table("pick", "place", "what", "units", "mass_g", "product", "of_lots", "best_before", "touched_by")
	for _, l := range p.Lines {
		mark := answer.Plain
		if len(l.Touched) > 0 || l.Open != "" {
			mark = answer.Care
		}
		t.Row(mark, orNil(l.Place), l.Says(), l.Units(), massOrNil(l.Mass), l.Product, l.Lots(), dayOrNil(l.Best), lots(l.Touched))
	}
	left := a.Table("pick-left", "what", "units", "why", "hold", "order")
	for _, x := range p.Left {
		left.Row(answer.Care, x.What, x.Units, answer.Key(x.Why), orNil(x.Hold), orNil(x.Order))
	}
	if len(p.Lines) > 0 {
		a.Then("pick.next.record", answer.Args{"order": p.Order.Code})
	}
	if len(p.Lacks) > 0 {
		a.Then("pick.next.lacks", answer.Args{"order": p.Order.Code})
	}
	a.Follows("pick.follows", nil)
	v.restsOnRecord(&a)
	return a
}

// Says is a line of a pick in words.
func (l PickLine) Says() answer.Line {
	switch {
	case l.Drum:
		return answer.Line{Key: "pick.take.drum", Args: answer.Args{"drum": l.Of[0].Batch}}
	case l.Pallet != "" && l.Line.What == l.Pallet:
		return answer.Line{Key: "pick.take.pallet", Args: answer.Args{"pallet": l.Pallet}}
	case l.Cases.First > 0:
		return answer.Line{Key: "pick.take.cases", Args: answer.Args{"n": l.Cases.Count(), "first": goods.CaseCode(l.Cases.Prefix, l.Cases.First), "last": goods.CaseCode(l.Cases.Prefix, l.Cases.Last)}}
	case l.Open != "":
		return answer.Line{Key: "pick.take.open", Args: answer.Args{"case": l.Open, "n": l.Units()}}
	}
	return answer.Line{Key: "pick.take.loose", Args: answer.Args{"n": l.Units()}}
}

// Lots are the lot marks of a line.
func (l PickLine) Lots() (all []record.Code) {
	for _, u := range l.Of {
		all = append(all, u.Batch)
	}
	return all
}

// customerName is a customer's name, else their code.
func (v *View) customerName(customer record.Code) string {
	if c, ok := v.State.Goods.Customer(customer); ok && c.Name != "" {
		return c.Name
	}
	return string(customer)
}
