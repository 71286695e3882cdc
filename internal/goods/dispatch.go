package goods

import (
	"slices"

	"combline/internal/record"
)

// A Dispatch is goods that left the house together.
type Dispatch struct {
	*record.Sent
	Stamp
	Units []BatchUnits // units of batches, over all lines
}

// A SentLine is what of one batch, or which drum, went in one line of a dispatch.
type SentLine struct {
	Dispatch record.Code
	Order    record.Code
	Customer record.Code
	ShipTo   string
	What     record.Code // as the line named it: batch, pallet, drum; none when it named cases
	Batch    record.Code // none for a drum
	Units    int64       // 0 for a drum
	Cases    []record.Cases
	Seal     string
	Stamp
}

// A Return is units of a batch that came back.
type Return struct {
	Dispatch record.Code
	Batch    record.Code
	Units    int64
	To       record.Code // the mark that they bear now
	Reason   string
	Stamp
}

// Resolve says which batches a line takes units from, as things stand: cases by
// what is in them, a pallet by its cases that are still here, a batch by its units.
// It is empty for a drum, and for cases that nobody packed.
func (g *Goods) Resolve(l record.SentLine) []BatchUnits {
	var all []BatchUnits
	for _, p := range g.parts(l) {
		all = addUnits(all, p.batch, p.units)
	}
	return all
}

func addUnits(all []BatchUnits, b record.Code, n int64) []BatchUnits {
	for i := range all {
		if all[i].Batch.Fold() == b.Fold() {
			all[i].Units += n
			return all
		}
	}
	return append(all, BatchUnits{b, n})
}

// A part is what a line takes of one batch: from cases, or loose when it has none.
type part struct {
	batch record.Code
	units int64
	cases record.Cases
}

func (g *Goods) parts(l record.SentLine) []part {
	var all []part
	var sum int64
	for _, r := range g.ranges(l) {
		s := g.series[prefixKey(r.Prefix)]
		if s == nil {
			continue
		}
		for i := s.from(r.First); i < len(s.pieces) && s.pieces[i].first <= r.Last; i++ {
			p := &s.pieces[i]
			if p.sent != nil {
				continue
			}
			for _, x := range p.of.shares(max(p.first, r.First), min(p.last, r.Last)) {
				all = append(all, part{x.batch, x.units, record.Cases{Prefix: p.of.prefix, First: x.first, Last: x.last}})
				sum += x.units
			}
		}
	}
	if b, ok := g.batches[l.What.Fold()]; ok && l.Units > sum && l.Units < maxCount {
		all = append(all, part{batch: b.code, units: l.Units - sum})
	}
	return all
}

// ranges are the cases that a line names, itself or by a pallet.
func (g *Goods) ranges(l record.SentLine) []record.Cases {
	if given(l.Cases) {
		return []record.Cases{l.Cases}
	}
	if _, ok := g.pallets[l.What.Fold()]; !ok {
		return nil
	}
	var all []record.Cases
	for _, v := range g.CasesOn(l.What) {
		if !v.Gone {
			all = append(all, v.Cases)
		}
	}
	return all
}

func (g *Goods) sent(f *record.Sent, at Stamp) {
	d := Dispatch{Sent: f, Stamp: at}
	for i := range f.Lines {
		d.Units = g.sentLine(f, &f.Lines[i], at, d.Units)
	}
	put(&g.byDispatch, f.Dispatch.Fold(), int32(len(g.dispatches)))
	g.dispatches = append(g.dispatches, d)
}

func (g *Goods) sentLine(f *record.Sent, l *record.SentLine, at Stamp, sum []BatchUnits) []BatchUnits {
	line := SentLine{Dispatch: f.Dispatch, Order: f.Order, Customer: f.Customer, ShipTo: l.ShipTo, What: l.What, Seal: l.Seal, Stamp: at}
	parts, ranges := g.parts(*l), g.ranges(*l)
	g.lineFlags(l, parts, ranges, line)
	_, isBatch := g.batches[l.What.Fold()]
	_, isPallet := g.pallets[l.What.Fold()]
	if l.What != "" && !isBatch && !isPallet && len(parts) == 0 {
		g.sentDrum(line)
		return sum
	}
	for i, p := range parts {
		if slices.ContainsFunc(parts[:i], func(o part) bool { return o.batch.Fold() == p.batch.Fold() }) {
			continue // with the first of its batch
		}
		own := line
		own.Batch = g.batch(p.batch).code
		for _, o := range parts[i:] {
			if o.batch.Fold() == p.batch.Fold() {
				own.Units += o.units
				if o.cases.Prefix != "" {
					own.Cases = append(own.Cases, o.cases)
				}
			}
		}
		g.sentBatch(own, parts)
		sum = addUnits(sum, own.Batch, own.Units)
	}
	for _, p := range g.markSent(ranges, &sentCases{f.Dispatch, f.Order, f.Customer, l.ShipTo, at}) {
		if !slices.ContainsFunc(g.CasesOn(p), func(r CaseRange) bool { return !r.Gone }) {
			g.fulfil(line, p)
		}
	}
	return sum
}

func (g *Goods) sentBatch(line SentLine, parts []part) {
	b := g.batch(line.Batch)
	for _, p := range parts {
		if p.cases.Prefix != "" && p.batch.Fold() == b.code.Fold() {
			b.inCases -= p.units
		}
	}
	b.sent, b.outAt = b.sent+line.Units, line.Stamp
	b.lines = append(b.lines, line)
	if line.Order != "" {
		o := g.order(line.Order)
		o.sent = append(o.sent, line)
	}
	g.fulfil(line, line.Batch)
}

func (g *Goods) sentDrum(line SentLine) {
	k := line.What.Fold()
	put(&g.drums, k, append(g.drums[k], line))
	if line.Order != "" {
		o := g.order(line.Order)
		o.sent = append(o.sent, line)
	}
	for _, p := range g.promises[k] {
		if p.Order.Fold() != line.Order.Fold() {
			g.odd = append(g.odd, Flag{Key: FlagSentPromised, Of: line.What, Dispatch: line.Dispatch, Order: p.Order, Stamp: line.Stamp})
		}
	}
	g.fulfil(line, line.What)
}

// markSent marks cases as gone and returns the pallets that they stood on.
func (g *Goods) markSent(ranges []record.Cases, to *sentCases) (pallets []record.Code) {
	for _, r := range ranges {
		s := g.series[prefixKey(r.Prefix)]
		if s == nil {
			continue
		}
		pieces := s.in(r.First, r.Last)
		for i := range pieces {
			if pieces[i].sent != nil {
				continue
			}
			pieces[i].sent = to
			if p := pieces[i].pallet; p != "" && !slices.Contains(pallets, p) {
				pallets = append(pallets, p)
			}
		}
	}
	return pallets
}

// lineFlags notes a line that names cases that are not here, or whose count is
// not what is in them.
func (g *Goods) lineFlags(l *record.SentLine, parts []part, ranges []record.Cases, line SentLine) {
	f := Flag{Dispatch: line.Dispatch, Of: l.What, Cases: l.Cases, Stamp: line.Stamp}
	var here, units, loose int64
	for _, p := range parts {
		units += p.units
		if p.cases.Prefix == "" {
			loose += p.units
		}
	}
	for _, r := range ranges {
		here += g.here(r)
	}
	_, isPallet := g.pallets[l.What.Fold()]
	switch {
	case given(l.Cases) && here != l.Cases.Count():
		f.Key, f.Units, f.Most = FlagCasesNotHere, l.Cases.Count(), here
	case isPallet && !given(l.Cases) && here == 0:
		f.Key = FlagPalletEmpty
	case here > 0 && l.Units != 0 && l.Units != units-loose:
		f.Key, f.Units, f.Most = FlagUnitsDiffer, l.Units, units-loose
	case l.Units < 0 || l.Units >= maxCount:
		f.Key, f.Units = FlagCountOdd, l.Units
	default:
		return
	}
	g.odd = append(g.odd, f)
}

// here is how many cases of a range are in the house.
func (g *Goods) here(r record.Cases) int64 {
	var n int64
	if s := g.series[prefixKey(r.Prefix)]; s != nil {
		for i := s.from(r.First); i < len(s.pieces) && s.pieces[i].first <= r.Last; i++ {
			if p := &s.pieces[i]; p.sent == nil {
				n += min(p.last, r.Last) - max(p.first, r.First) + 1
			}
		}
	}
	return n
}

func (g *Goods) returned(f *record.Returned, e *record.Entry) {
	n := g.units(f.Units, f.Batch, e)
	from := g.batch(f.Batch)
	from.back += n
	g.comeIn(f.To, from, n, record.Weight{}, stamp(e))
	g.returns = append(g.returns, Return{f.Dispatch, from.code, n, f.To, f.Reason, stamp(e)})
}

// SentOf lists where units of a batch went, in order.
func (g *Goods) SentOf(batch record.Code) []SentLine {
	if b, ok := g.batches[batch.Fold()]; ok {
		return slices.Clone(b.lines)
	}
	return nil
}

// SentOfFilling lists where a drum went whole, by the code that the line named.
func (g *Goods) SentOfFilling(code record.Code) []SentLine { return slices.Clone(g.drums[code.Fold()]) }

// ReturnsOf lists what came back of a batch.
func (g *Goods) ReturnsOf(batch record.Code) []Return {
	var all []Return
	for _, r := range g.returns {
		if r.Batch.Fold() == batch.Fold() {
			all = append(all, r)
		}
	}
	return all
}

// Dispatch returns what left under a number.
func (g *Goods) Dispatch(c record.Code) (Dispatch, bool) {
	i, ok := g.byDispatch[c.Fold()]
	if !ok {
		return Dispatch{}, false
	}
	return g.dispatches[i], true
}

// Dispatches lists every dispatch in order.
func (g *Goods) Dispatches() []Dispatch { return slices.Clone(g.dispatches) }
