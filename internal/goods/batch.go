package goods

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// A Batch is the units that bear one lot mark. Every unit is in one place:
//
//	Made + CameIn = OnHand + RegradedOut + Retained + Destroyed + TippedBack + Sent
//	OnHand = Loose + InCases
//
// Loose is below zero when units were taken out of closed cases, or more left than
// there were; a flag says so.
type Batch struct {
	Code    record.Code
	Product record.Code
	Run     record.Code
	Of      record.Code   // the batch that its units were taken out of, if any
	Label   record.Weight // their own label, when they were relabelled
	At      Stamp         // when the mark was first used

	Made        int64 // filled or made under this mark
	CameIn      int64 // regraded or returned to this mark
	OnHand      int64
	Loose       int64
	InCases     int64
	RegradedOut int64
	Retained    int64
	Destroyed   int64
	TippedBack  int64
	Sent        int64
	Returned    int64 // of those sent; they bear another mark now
}

type batch struct {
	code, product, run, of record.Code
	label                  record.Weight
	at                     Stamp

	made, cameIn, inCases                                int64
	regradedOut, retained, destroyed, tipped, sent, back int64

	casedEver int64
	outAt     Stamp // the last fact that took units
	casings   []*casing
	lines     []SentLine
}

func (b *batch) clone() *batch {
	c := *b
	c.casings, c.lines = slices.Clip(b.casings), slices.Clip(b.lines)
	return &c
}

func (b *batch) onHand() int64 {
	return b.made + b.cameIn - b.regradedOut - b.retained - b.destroyed - b.tipped - b.sent
}

func (g *Goods) batch(c record.Code) *batch {
	k := c.Fold()
	b := g.batches[k]
	if b == nil {
		b = &batch{code: c}
		if x, ok := g.early[k]; ok {
			b.destroyed, b.outAt = x.units, x.at
			delete(g.early, k)
		}
		put(&g.batches, k, b)
	}
	return b
}

// units passes on a count that can be; another is an oddity and counts nothing.
func (g *Goods) units(n int64, of record.Code, e *record.Entry) int64 {
	return g.count(n, of, stamp(e))
}

func (g *Goods) count(n int64, of record.Code, at Stamp) int64 {
	if n >= 0 && n < maxCount {
		return n
	}
	g.odd = append(g.odd, Flag{Key: FlagCountOdd, Batch: of, Units: n, Stamp: at})
	return 0
}

const maxCount = 1 << 40 // more than any house packs; keeps sums from running over

func (g *Goods) jarsFilled(f *record.JarsFilled, at Stamp) {
	b := g.batch(f.Batch)
	if b.at.Fact == 0 {
		b.at = at
	}
	b.run, b.made = f.Run, b.made+g.count(f.Units, f.Batch, at)
	r := g.runs[f.Run.Fold()]
	if r.Code == "" {
		r.Code = f.Run
	}
	r.addBatch(b.code)
	put(&g.runs, f.Run.Fold(), r)
}

func (g *Goods) batchMade(f *record.BatchMade, at Stamp) {
	b := g.batch(f.Batch)
	if b.at.Fact == 0 {
		b.at = at
	}
	b.run, b.product, b.made = f.Run, f.Product, b.made+g.count(f.Units, f.Batch, at)
	if f.Run != "" {
		r := g.runs[f.Run.Fold()]
		if r.Code == "" {
			r.Code = f.Run
		}
		r.addBatch(b.code)
		put(&g.runs, f.Run.Fold(), r)
	}
	for _, in := range f.Inputs {
		if _, ok := g.lots[in.From.Fold()]; ok {
			g.use(in.From, Use{For: b.code, Amount: record.Amount{Mass: in.Mass}, Input: true, Stamp: at})
		}
	}
}

func (g *Goods) regraded(f *record.Regraded, at Stamp) {
	for _, x := range f.From() {
		n := g.count(x.Units, x.Batch, at)
		from := g.batch(x.Batch)
		from.regradedOut, from.outAt = from.regradedOut+n, at
		g.comeIn(f.To, from, n, f.Label, at)
	}
}

// comeIn gives units of a batch a mark of their own.
func (g *Goods) comeIn(to record.Code, from *batch, n int64, label record.Weight, at Stamp) {
	b := g.batch(to)
	if b.at.Fact == 0 {
		b.at = at
	}
	if b.of == "" && b != from {
		b.of = from.code
	}
	if label.Given() {
		b.label = label
	}
	b.cameIn += n
}

func (g *Goods) destroyed(f *record.Destroyed, e *record.Entry) {
	b, ok := g.batches[f.What.Fold()]
	n := g.units(f.Units, f.What, e)
	if ok {
		b.destroyed, b.outAt = b.destroyed+n, stamp(e)
	} else if n > 0 { // units of a batch that is written down at the end of its run; or honey in bulk
		put(&g.early, f.What.Fold(), early{g.early[f.What.Fold()].units + n, stamp(e)})
	}
}

// early is units destroyed under a mark before it was written down.
type early struct {
	units int64
	at    Stamp
}

// Batch returns the units of one lot mark.
func (g *Goods) Batch(c record.Code) (Batch, bool) {
	b, ok := g.batches[c.Fold()]
	if !ok {
		return Batch{}, false
	}
	v := Batch{Code: b.code, Product: g.productOf(b), Run: g.runOf(b), Of: b.of, Label: b.label, At: b.at,
		Made: b.made, CameIn: b.cameIn, OnHand: b.onHand(), InCases: b.inCases, RegradedOut: b.regradedOut, Retained: b.retained,
		Destroyed: b.destroyed, TippedBack: b.tipped, Sent: b.sent, Returned: b.back}
	v.Loose = v.OnHand - v.InCases
	return v, true
}

// Batches lists every batch by code.
func (g *Goods) Batches() []Batch {
	var all []Batch
	for _, k := range slices.Sorted(maps.Keys(g.batches)) {
		b, _ := g.Batch(record.Code(k))
		all = append(all, b)
	}
	return all
}

// productOf is the batch's own product, its run's, or that of the batch that it
// was taken out of.
func (g *Goods) productOf(b *batch) record.Code {
	for range maxLine {
		if b.product != "" {
			return b.product
		}
		if p := g.runs[b.run.Fold()].Product; p != "" {
			return p
		}
		up, ok := g.batches[b.of.Fold()]
		if b.of == "" || !ok {
			return ""
		}
		b = up
	}
	return ""
}

func (g *Goods) runOf(b *batch) record.Code {
	for range maxLine {
		up, ok := g.batches[b.of.Fold()]
		if b.run != "" || b.of == "" || !ok {
			return b.run
		}
		b = up
	}
	return ""
}

const maxLine = 64 // batches taken out of batches: ends a circle that a slip made

// A Run is one packing of one product.
type Run struct {
	Code       record.Code
	Product    record.Code
	Orders     []record.Code
	BestBefore record.Day
	Batches    []record.Code // lot marks filled in it, in order
	At         Stamp         // its start; zero when that was not written down
}

func (r *Run) addBatch(c record.Code) {
	if !slices.Contains(r.Batches, c) {
		r.Batches = append(slices.Clip(r.Batches), c)
	}
}

func (g *Goods) runStarted(f *record.RunStarted, at Stamp) {
	r := g.runs[f.Run.Fold()]
	r.Code, r.Product, r.Orders, r.BestBefore, r.At = f.Run, f.Product, f.Orders, f.BestBefore, at
	put(&g.runs, f.Run.Fold(), r)
}

// Run returns a run as it bears on goods.
func (g *Goods) Run(c record.Code) (Run, bool) {
	r, ok := g.runs[c.Fold()]
	return r, ok
}
