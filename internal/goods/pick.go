package goods

import (
	"cmp"
	"slices"

	"combline/internal/record"
)

// A Want is what a pick is to gather.
type Want struct {
	Order   record.Code // what is put by for it may be taken, and is taken first
	Product record.Code
	Units   int64
	Held    func(batch record.Code) bool // nil: nothing is on hold
}

// A Take is one thing to take from its place: a whole pallet, whole cases, or loose
// units. Units that are in no open case must come out of the closed case Open.
type Take struct {
	Pallet record.Code
	Cases  record.Cases
	Open   record.Code
	Of     []BatchUnits
}

// Units is how many units there are in it.
func (t Take) Units() (n int64) {
	for _, u := range t.Of {
		n += u.Units
	}
	return n
}

// Line is the take as a line of a dispatch.
func (t Take) Line() record.SentLine {
	switch {
	case t.Pallet != "":
		return record.SentLine{What: t.Pallet}
	case given(t.Cases):
		return record.SentLine{Cases: t.Cases}
	}
	return record.SentLine{What: t.Of[0].Batch, Units: t.Of[0].Units}
}

// BestBefore is the day that was printed on the units of a batch, where it is known.
func (g *Goods) BestBefore(batch record.Code) (record.Day, bool) {
	b, ok := g.batches[batch.Fold()]
	if !ok {
		return 0, false
	}
	day := g.runs[g.runOf(b).Fold()].BestBefore
	return day, day != 0
}

// FreeFor is how many units of a batch an order may have: on hand, and not put by for
// another order, itself or on a pallet.
func (g *Goods) FreeFor(batch, order record.Code) int64 {
	b, ok := g.batches[batch.Fold()]
	if !ok {
		return 0
	}
	free := b.onHand() - g.onPallets(b, func(p record.Code) bool { return p.Fold() != order.Fold() })
	for _, p := range g.promises[batch.Fold()] {
		if p.Order.Fold() == order.Fold() {
			continue
		}
		if p.Units == 0 {
			return 0
		}
		free -= p.Units
	}
	return max(0, free)
}

// PutBy is how many units of a batch are put by for an order, itself or on a pallet,
// as far as they are on hand.
func (g *Goods) PutBy(batch, order record.Code) int64 {
	b, ok := g.batches[batch.Fold()]
	if !ok || order == "" {
		return 0
	}
	n := g.onPallets(b, func(p record.Code) bool { return p.Fold() == order.Fold() })
	for _, p := range g.promises[batch.Fold()] {
		if p.Order.Fold() != order.Fold() {
			continue
		}
		if p.Units == 0 {
			n = b.onHand()
			break
		}
		n += p.Units
	}
	return min(n, g.FreeFor(batch, order))
}

// onPallets counts units of a batch on the pallets that are put by for orders of a kind.
func (g *Goods) onPallets(b *batch, of func(order record.Code) bool) (n int64) {
	if b.inCases == 0 {
		return 0
	}
	for k, list := range g.promises {
		if _, ok := g.pallets[k]; !ok || !slices.ContainsFunc(list, func(p Promise) bool { return of(p.Order) }) {
			continue
		}
		for _, r := range g.CasesOn(record.Code(k)) {
			for _, u := range r.Units {
				if !r.Gone && u.Batch.Fold() == b.code.Fold() {
					n += u.Units
				}
			}
		}
	}
	return n
}

// SetAside reports whether units bear a mark of their own because they were taken out
// of another batch: relabelled, of second quality, or come back. Such units go for an
// order only when they were put by for it by name.
func (g *Goods) SetAside(batch record.Code) bool {
	b, ok := g.batches[batch.Fold()]
	return ok && b.of != ""
}

// FirstOut lists the batches of a product that are on hand in the order in which they
// are to go: the best-before day that comes first, a day that is not known before all;
// then by the day on which they were made.
func (g *Goods) FirstOut(product record.Code) []Batch {
	var all []Batch
	for k, b := range g.batches {
		if b.onHand() > 0 && g.productOf(b).Fold() == product.Fold() && product != "" {
			v, _ := g.Batch(record.Code(k))
			all = append(all, v)
		}
	}
	slices.SortFunc(all, func(a, b Batch) int {
		x, _ := g.BestBefore(a.Code)
		y, _ := g.BestBefore(b.Code)
		return cmp.Or(cmp.Compare(x, y), cmp.Compare(a.At.Day(), b.At.Day()), cmp.Compare(a.Code.Fold(), b.Code.Fold()))
	})
	return all
}

// Pick says what to take for units of a product, first expired first out: what is put
// by for the order first, then what is free; of each batch whole cases, then loose
// units, then units out of a closed case. Units on hold, set aside, retained or put by
// for another order are never taken. Short is how many units are lacking.
func (g *Goods) Pick(w Want) (takes []Take, short int64) {
	p := &picker{g: g, w: w, left: max(0, min(w.Units, maxCount)), used: map[string]int64{}, opens: map[record.Code][]BatchUnits{}}
	lots := slices.DeleteFunc(g.FirstOut(w.Product), func(b Batch) bool { return w.Held != nil && w.Held(b.Code) })
	for _, own := range []bool{true, false} {
		p.may = map[string]int64{}
		for _, b := range lots {
			p.may[b.Code.Fold()] = p.most(b.Code, own)
		}
		for _, b := range lots {
			p.cases(b.Code)
			p.loose(b)
			p.open(b.Code)
		}
	}
	return p.onWholePallets(), p.left
}

type picker struct {
	g     *Goods
	w     Want
	left  int64
	may   map[string]int64 // units of each batch that may still go
	used  map[string]int64 // units taken so far, in whole cases and loose
	taken []record.Cases
	opens map[record.Code][]BatchUnits // closed cases that are opened, and what of them is taken
	takes []Take
}

// most is how many units of a batch may go in this round.
func (p *picker) most(c record.Code, own bool) int64 {
	n := p.g.FreeFor(c, p.w.Order)
	if put := p.g.PutBy(c, p.w.Order); own || p.g.SetAside(c) {
		n = put
	}
	return max(0, n-p.used[c.Fold()])
}

// closed lists the cases of a batch that are here and not taken, those on the order's
// own pallets first; one range for each story.
func (p *picker) closed(c record.Code) []CaseRange {
	all := slices.DeleteFunc(p.g.CasesOf(c), func(r CaseRange) bool { return r.Gone || p.barred(r.Pallet) })
	for _, t := range p.taken {
		var left []CaseRange
		for _, r := range all {
			left = append(left, without(r, t)...)
		}
		all = left
	}
	slices.SortStableFunc(all, func(a, b CaseRange) int { return cmp.Compare(p.rank(a.Pallet), p.rank(b.Pallet)) })
	return all
}

func (p *picker) rank(pallet record.Code) int {
	if pallet != "" && slices.ContainsFunc(p.g.promises[pallet.Fold()], func(x Promise) bool { return x.Order.Fold() == p.w.Order.Fold() }) {
		return 0
	}
	return 1
}

// barred reports whether a pallet is put by for another order.
func (p *picker) barred(pallet record.Code) bool {
	return pallet != "" && slices.ContainsFunc(p.g.promises[pallet.Fold()], func(x Promise) bool { return x.Order.Fold() != p.w.Order.Fold() })
}

// without is what of a range of cases is not in another.
func without(r CaseRange, t record.Cases) (left []CaseRange) {
	if prefixKey(r.Cases.Prefix) != prefixKey(t.Prefix) || t.Last < r.Cases.First || t.First > r.Cases.Last {
		return []CaseRange{r}
	}
	if r.Cases.First < t.First {
		x := r
		x.Cases.Last = t.First - 1
		left = append(left, x)
	}
	if r.Cases.Last > t.Last {
		x := r
		x.Cases.First = t.Last + 1
		left = append(left, x)
	}
	return left
}

// inCase is what is in one case.
func (g *Goods) inCase(prefix string, n int64) []BatchUnits {
	s := g.series[prefixKey(prefix)]
	if s == nil {
		return nil
	}
	i := s.from(n)
	if i >= len(s.pieces) || s.pieces[i].first > n {
		return nil
	}
	return s.pieces[i].view(n, n).Units
}

// cases takes whole cases of a batch while they fit: what else is in them must be free
// to go as well.
func (p *picker) cases(c record.Code) {
	for _, r := range p.closed(c) {
		for n := r.Cases.First; n <= r.Cases.Last; {
			in := p.g.inCase(r.Cases.Prefix, n)
			count := p.alike(r, n, in)
			if count == 0 {
				if n++; len(in) == 1 { // those after it are as full; only the last may not be
					n = max(n, r.Cases.Last)
				}
				continue
			}
			x := record.Cases{Prefix: r.Cases.Prefix, First: n, Last: n + count - 1}
			t := Take{Cases: x, Pallet: r.Pallet}
			for _, u := range in {
				t.Of = append(t.Of, BatchUnits{u.Batch, u.Units * count})
			}
			p.take(t)
			p.taken = append(p.taken, x)
			n += count
		}
	}
}

// alike is how many cases from n on, all with the same in them, may be taken whole.
func (p *picker) alike(r CaseRange, n int64, in []BatchUnits) int64 {
	var each int64
	most := r.Cases.Last - n + 1
	if len(in) != 1 {
		most = 1
	}
	for _, u := range in {
		each += u.Units
		if u.Units > 0 {
			most = min(most, p.may[u.Batch.Fold()]/u.Units)
		}
	}
	if each == 0 || p.opens[CaseCode(r.Cases.Prefix, n)] != nil {
		return 0
	}
	for at := int64(1); len(p.opens) > 0 && at < most; at++ {
		if p.opens[CaseCode(r.Cases.Prefix, n+at)] != nil {
			most = at
		}
	}
	most = min(most, p.left/each)
	if most > 1 && !slices.Equal(p.g.inCase(r.Cases.Prefix, n+most-1), in) { // the last of a packing is not full
		most--
	}
	return most
}

func (p *picker) take(t Take) {
	for _, u := range t.Of {
		p.may[u.Batch.Fold()] -= u.Units
		p.used[u.Batch.Fold()] += u.Units
		p.left -= u.Units
	}
	p.takes = append(p.takes, t)
}

func (p *picker) loose(b Batch) {
	k := b.Code.Fold()
	n := min(p.left, p.may[k], max(0, b.Loose-p.looseUsed(k)))
	if n > 0 {
		p.take(Take{Of: []BatchUnits{{b.Code, n}}})
	}
}

// looseUsed is how many loose units of a batch were taken.
func (p *picker) looseUsed(k string) (n int64) {
	for _, t := range p.takes {
		if !given(t.Cases) && t.Open == "" && t.Of[0].Batch.Fold() == k {
			n += t.Of[0].Units
		}
	}
	return n
}

// open takes units out of closed cases, one after the other, when nothing else of the
// batch is left.
func (p *picker) open(c record.Code) {
	for _, r := range p.closed(c) {
		for n := r.Cases.First; n <= r.Cases.Last && p.left > 0 && p.may[c.Fold()] > 0; n++ {
			p.fromCase(CaseCode(r.Cases.Prefix, n), c, p.g.inCase(r.Cases.Prefix, n))
		}
	}
}

// fromCase takes units of one batch out of a closed case.
func (p *picker) fromCase(box, batch record.Code, in []BatchUnits) {
	k := batch.Fold()
	var inside int64
	for _, u := range in {
		if u.Batch.Fold() == k {
			inside += u.Units
		}
	}
	for _, u := range p.opens[box] {
		if u.Batch.Fold() == k {
			inside -= u.Units
		}
	}
	if n := min(inside, p.left, p.may[k]); n > 0 {
		p.take(Take{Open: box, Of: []BatchUnits{{p.g.batch(batch).code, n}}})
		p.opens[box] = addUnits(p.opens[box], batch, n)
	}
}

// onWholePallets puts the cases of a pallet together where all that stand on it go.
func (p *picker) onWholePallets() (all []Take) {
	going := map[string]int64{}
	for _, t := range p.takes {
		if given(t.Cases) && t.Pallet != "" {
			going[t.Pallet.Fold()] += t.Cases.Count()
		}
	}
	at := map[string]int{}
	for _, t := range p.takes {
		k := t.Pallet.Fold()
		if t.Pallet == "" || going[k] != p.g.casesStanding(t.Pallet) {
			t.Pallet = ""
			all = append(all, t)
			continue
		}
		i, ok := at[k]
		if !ok {
			at[k], all = len(all), append(all, Take{Pallet: t.Pallet})
			i = at[k]
		}
		for _, u := range t.Of {
			all[i].Of = addUnits(all[i].Of, u.Batch, u.Units)
		}
	}
	return all
}

func (g *Goods) casesStanding(pallet record.Code) (n int64) {
	for _, r := range g.CasesOn(pallet) {
		if !r.Gone {
			n += r.Cases.Count()
		}
	}
	return n
}
