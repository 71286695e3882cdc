package goods

import (
	"slices"
	"strconv"
	"strings"

	"combline/internal/record"
)

// BatchUnits is units of one batch.
type BatchUnits struct {
	Batch record.Code
	Units int64
}

// A casing is one packing of numbered cases; it never changes.
type casing struct {
	prefix      string // as written
	first, last int64
	perCase     int64
	batches     []record.CasedFrom
	at          Stamp
}

// A share is the units of one batch in a range of cases.
type share struct {
	batch       record.Code
	units       int64
	first, last int64 // the cases that hold them
}

// shares are the batches in the cases first to last: units were put in case after
// case in turn, so a case at the border holds units of two batches.
func (c *casing) shares(first, last int64) []share {
	var all []share
	from, to := c.unit(first), c.unit(last+1)
	var done int64
	for _, b := range c.batches {
		n := max(0, b.Units)
		lo, hi := max(from, done), min(to, done+n)
		if lo < hi {
			all = append(all, share{b.Batch, hi - lo, c.first + lo/c.perCase, c.first + (hi-1)/c.perCase})
		}
		done += n
	}
	return all
}

// unit is the number of the first unit in case n, from 0, at most all there are.
func (c *casing) unit(n int64) int64 {
	all := c.total()
	if k := n - c.first; k < (all+c.perCase-1)/c.perCase {
		return k * c.perCase
	}
	return all
}

func (c *casing) total() int64 {
	var n int64
	for _, b := range c.batches {
		n += max(0, b.Units)
	}
	return n
}

// A piece is a range of cases with one story: packed together, on one pallet, gone
// in one dispatch. Pieces of a series are sorted and never overlap.
type piece struct {
	first, last int64
	of          *casing
	pallet      record.Code
	sent        *sentCases // nil while in the house
}

// sentCases is where cases went; it never changes.
type sentCases struct {
	dispatch, order, customer record.Code
	shipTo                    string
	at                        Stamp
}

// A series is the cases of one prefix.
type series struct {
	prefix string
	pieces []piece
}

// from is the index of the first piece that ends at or after case n.
func (s *series) from(n int64) int {
	i, _ := slices.BinarySearchFunc(s.pieces, n, func(p piece, n int64) int {
		if p.last < n {
			return -1
		}
		return 1
	})
	return i
}

// split makes a piece begin at case n, if one has it inside.
func (s *series) split(n int64) {
	if i := s.from(n); i < len(s.pieces) && s.pieces[i].first < n {
		p := s.pieces[i]
		p.last, s.pieces[i].first = n-1, n
		s.pieces = slices.Insert(s.pieces, i, p)
	}
}

// in returns the pieces of exactly the cases first to last that are known; the
// caller may change their story.
func (s *series) in(first, last int64) []piece {
	s.split(first)
	s.split(last + 1)
	return s.pieces[s.from(first):s.from(last+1)]
}

func prefixKey(p string) string { return strings.ToUpper(strings.TrimSpace(p)) }

// given reports whether a range of cases names any.
func given(c record.Cases) bool {
	return c.Prefix != "" && c.First > 0 && c.Last >= c.First && c.Last < maxCount
}

func (g *Goods) cased(f *record.Cased, at Stamp) {
	c := &casing{prefix: f.Cases.Prefix, first: f.Cases.First, last: f.Cases.Last, perCase: f.PerCase, batches: f.Batches, at: at}
	for _, b := range f.Batches {
		if g.batch(b.Batch); g.count(b.Units, b.Batch, at) != b.Units {
			return
		}
	}
	if !given(f.Cases) || f.PerCase <= 0 || f.PerCase >= maxCount {
		g.odd = append(g.odd, Flag{Key: FlagCasesOdd, Cases: f.Cases, Units: f.PerCase, Stamp: at})
		return
	}
	s := g.series[prefixKey(c.prefix)]
	if s == nil {
		s = &series{prefix: c.prefix}
		put(&g.series, prefixKey(c.prefix), s)
	}
	if need := (c.total() + c.perCase - 1) / c.perCase; need != f.Cases.Count() {
		g.odd = append(g.odd, Flag{Key: FlagCasesDontFit, Cases: f.Cases, Units: c.total(), Most: f.Cases.Count() * c.perCase, Stamp: at})
	}
	for _, b := range f.Batches {
		own := g.batch(b.Batch)
		if !slices.Contains(own.casings, c) {
			own.casings = append(own.casings, c)
		}
	}
	g.place(s, c)
}

// place puts a casing in its series. A number that is in the house already was
// packed anew: what was in it is loose again. A number that has gone can't be.
func (g *Goods) place(s *series, c *casing) {
	old := s.in(c.first, c.last)
	at, next := s.from(c.first), c.first
	var fresh []piece
	for _, p := range old {
		g.odd = append(g.odd, Flag{Key: FlagCaseTwice, Cases: record.Cases{Prefix: c.prefix, First: p.first, Last: p.last}, Stamp: c.at})
		if p.sent == nil {
			g.countCased(p.of, p.first, p.last, -1)
			continue
		}
		if next < p.first {
			fresh = append(fresh, piece{first: next, last: p.first - 1, of: c})
		}
		fresh, next = append(fresh, p), p.last+1
	}
	if next <= c.last {
		fresh = append(fresh, piece{first: next, last: c.last, of: c})
	}
	s.pieces = slices.Replace(s.pieces, at, at+len(old), fresh...)
	for _, p := range fresh {
		if p.of == c {
			g.countCased(c, p.first, p.last, 1)
		}
	}
}

func (g *Goods) countCased(c *casing, first, last, sign int64) {
	for _, x := range c.shares(first, last) {
		b := g.batch(x.batch)
		b.inCases += sign * x.units
		b.casedEver += sign * x.units
		if sign > 0 {
			b.outAt = c.at
		}
	}
}

type pallet struct {
	code  record.Code
	place record.Code
	cases []record.Cases
	at    Stamp
}

func (g *Goods) palletised(f *record.Palletised, at Stamp) {
	p := g.pallets[f.Pallet.Fold()]
	p.code, p.place, p.at = f.Pallet, f.Place, at
	for _, c := range f.Cases {
		n := int64(0)
		if s := g.series[prefixKey(c.Prefix)]; s != nil && given(c) {
			pieces := s.in(c.First, c.Last)
			for i := range pieces {
				if pieces[i].sent == nil {
					pieces[i].pallet = f.Pallet
					n += pieces[i].last - pieces[i].first + 1
				}
			}
		}
		if n != c.Count() {
			g.odd = append(g.odd, Flag{Key: FlagCasesUnknown, Of: f.Pallet, Cases: c, Units: n, Most: c.Count(), Stamp: at})
		}
		p.cases = append(p.cases, c)
	}
	put(&g.pallets, f.Pallet.Fold(), p)
}

// A CaseRange is cases with one story.
type CaseRange struct {
	Cases    record.Cases
	Units    []BatchUnits
	Pallet   record.Code
	Packed   Stamp
	Gone     bool
	Dispatch record.Code
	Order    record.Code
	Customer record.Code
	ShipTo   string
	Sent     Stamp
}

func (p *piece) view(first, last int64) CaseRange {
	v := CaseRange{Cases: record.Cases{Prefix: p.of.prefix, First: first, Last: last}, Pallet: p.pallet, Packed: p.of.at}
	for _, x := range p.of.shares(first, last) {
		v.Units = append(v.Units, BatchUnits{x.batch, x.units})
	}
	if d := p.sent; d != nil {
		v.Gone, v.Dispatch, v.Order, v.Customer, v.ShipTo, v.Sent = true, d.dispatch, d.order, d.customer, d.shipTo, d.at
	}
	return v
}

// Case finds one case by what is printed on it, "R1-C045": the prefix and a number
// with any zeros before it. Where the prefix itself ends in digits, the shortest
// prefix that is known is right.
func (g *Goods) Case(code record.Code) (CaseRange, bool) {
	s := code.Fold()
	start := len(s)
	for start > 0 && s[start-1] >= '0' && s[start-1] <= '9' {
		start--
	}
	for i := start; i < len(s); i++ {
		n, err := strconv.ParseInt(s[i:], 10, 64)
		ser := g.series[prefixKey(s[:i])]
		if err != nil || ser == nil {
			continue
		}
		if j := ser.from(n); j < len(ser.pieces) && ser.pieces[j].first <= n {
			return ser.pieces[j].view(n, n), true
		}
	}
	return CaseRange{}, false
}

// CaseCode is what is printed on a case.
func CaseCode(prefix string, n int64) record.Code {
	return record.Code(prefix + strconv.FormatInt(n, 10))
}

// CasesOf lists the cases that hold units of a batch; Units are all that is in
// them, also of other batches.
func (g *Goods) CasesOf(c record.Code) []CaseRange {
	b, ok := g.batches[c.Fold()]
	if !ok {
		return nil
	}
	var all []CaseRange
	for _, of := range b.casings {
		for _, p := range g.series[prefixKey(of.prefix)].pieces {
			if p.of != of {
				continue
			}
			for _, x := range of.shares(p.first, p.last) {
				if x.batch.Fold() == b.code.Fold() {
					all = append(all, p.view(x.first, x.last))
				}
			}
		}
	}
	return all
}

// CasesOn lists the cases that stand on a pallet, or stood on it when they went.
func (g *Goods) CasesOn(c record.Code) []CaseRange {
	var all []CaseRange
	var seen []string
	for _, r := range g.pallets[c.Fold()].cases {
		k := prefixKey(r.Prefix)
		if s := g.series[k]; s != nil && !slices.Contains(seen, k) {
			seen = append(seen, k)
			for i := range s.pieces {
				if p := &s.pieces[i]; p.pallet != "" && p.pallet.Fold() == c.Fold() {
					all = append(all, p.view(p.first, p.last))
				}
			}
		}
	}
	return all
}

// Pallet returns where a pallet was put together, and whether there is one.
func (g *Goods) Pallet(c record.Code) (place record.Code, at Stamp, ok bool) {
	p, ok := g.pallets[c.Fold()]
	return p.place, p.at, ok
}

// BatchesIn lists the batches with units in a case, on a pallet, or in all the
// cases of a prefix, also where they have gone.
func (g *Goods) BatchesIn(c record.Code) []record.Code {
	ranges := g.CasesOn(c)
	if one, ok := g.Case(c); ok {
		ranges = append(ranges, one)
	} else if s := g.series[prefixKey(string(c))]; s != nil {
		for i := range s.pieces {
			ranges = append(ranges, s.pieces[i].view(s.pieces[i].first, s.pieces[i].last))
		}
	}
	var units []BatchUnits
	for _, r := range ranges {
		for _, u := range r.Units {
			units = addUnits(units, u.Batch, u.Units)
		}
	}
	var all []record.Code
	for _, u := range units {
		all = append(all, u.Batch)
	}
	return all
}
