package demo

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// A tally is a plain second book-keeping of the season's facts, in grams, for the
// tests only: what is in each vessel, lot and mark, and what went out on which
// account. It knows nothing of shares.
type tally struct {
	t     *testing.T
	steel map[record.Code]record.Code // filling to the vessel that it is in
	runs  map[record.Code]record.Code // tank to the lot that runs into it
	in    map[record.Code]q.Gram      // vessel, lot or mark: what is in it
	net   map[record.Code]q.Gram      // filling: what it was filled with
	units map[record.Code]int64       // mark
	run   map[record.Code]record.Code // mark to run
	sum   map[string]map[record.Code]q.Gram
	most  map[record.Code]q.Gram // vessel: the most that was booked in it
}

func tallied(t *testing.T) *tally {
	b := &tally{t: t, steel: map[record.Code]record.Code{}, runs: map[record.Code]record.Code{}, in: map[record.Code]q.Gram{},
		net: map[record.Code]q.Gram{}, units: map[record.Code]int64{}, run: map[record.Code]record.Code{},
		sum: map[string]map[record.Code]q.Gram{}, most: map[record.Code]q.Gram{}}
	steps := Season()
	slices.SortStableFunc(steps, func(a, b Step) int { return cmp.Compare(a.When.Minute, b.When.Minute) })
	for _, s := range steps {
		for _, f := range s.Facts {
			b.harvest(f)
			b.pack(f)
		}
	}
	return b
}

// vessel is where the honey of a code is: its steel, or itself.
func (b *tally) vessel(c record.Code) record.Code {
	if v, ok := b.steel[c]; ok {
		return v
	}
	return c
}

func (b *tally) book(account string, of record.Code, m q.Gram) {
	if b.sum[account] == nil {
		b.sum[account] = map[record.Code]q.Gram{}
	}
	b.sum[account][of] += m
}

// draw takes honey out of a vessel; out of a tank that a lot runs into, out of the lot.
func (b *tally) draw(from record.Code, m q.Gram) record.Code {
	v := b.vessel(from)
	if l, ok := b.runs[v]; ok {
		b.in[l] -= m
		return l
	}
	b.in[v] -= m
	return v
}

func (b *tally) fill(v record.Code, m q.Gram) {
	b.in[v] += m
	b.most[v] = max(b.most[v], b.in[v])
}

func (b *tally) total(account string) (sum q.Gram) {
	for _, m := range b.sum[account] {
		sum += m
	}
	return sum
}

func (b *tally) harvest(f record.Fact) {
	switch f := f.(type) {
	case *record.SupersReceived:
		for i := range f.Stacks {
			b.book("gross", f.Lot, f.Stacks[i].Net())
			b.book("boxes in", f.Lot, q.Gram(f.Stacks[i].Boxes))
			b.in[f.Lot] += f.Stacks[i].Net()
		}
	case *record.WetSupersWeighed:
		for i := range f.Stacks {
			b.book("wet", f.Lot, f.Stacks[i].Net())
			b.book("boxes wet", f.Lot, q.Gram(f.Stacks[i].Boxes))
			b.in[f.Lot] -= f.Stacks[i].Net()
		}
	case *record.LotRanInto:
		if was, busy := b.runs[f.Into]; busy && was != f.Lot {
			b.t.Errorf("%s runs into %s on top of %s", f.Lot, f.Into, was)
		}
		if b.in[f.Into] != 0 {
			b.t.Errorf("%s runs into %s on %d g of something else", f.Lot, f.Into, b.in[f.Into])
		}
		b.runs[f.Into] = f.Lot
	case *record.Cleaned:
		for _, c := range f.What {
			if b.in[c] != 0 {
				b.t.Errorf("%s is washed with %d g in it", c, b.in[c])
			}
			delete(b.runs, c)
		}
	case *record.WaxCast:
		b.book("wax", f.Lot, f.Mass.Grams())
		b.in[f.Lot] -= f.Mass.Grams()
	case *record.MelterHoneyDrawn:
		b.book("melter", f.Lot, f.Mass.Grams())
		b.in[f.Lot] -= f.Mass.Grams()
		b.fill(f.To, f.Mass.Grams())
	case *record.Skimmed:
		b.book("skim", b.draw(f.From, f.Mass.Grams()), f.Mass.Grams())
		b.fill(f.To, f.Mass.Grams())
	case *record.Sampled:
		b.book("samples", b.draw(f.From, f.Mass.Grams()), f.Mass.Grams())
	case *record.DrumFilled:
		m := f.Net.Grams()
		if !f.Net.Given() {
			m = f.Gross.Grams() - f.Tare.Grams()
		}
		from := b.draw(f.From, m)
		if strings.HasPrefix(string(from), "L") {
			b.book("clean", from, m)
		}
		b.filled(f.Filling, f.Steel, m)
	case *record.DrumReceived:
		b.filled(f.Filling, f.Steel, f.Gross.Grams()-f.Tare.Grams())
		b.book("bought", f.Delivery, f.Gross.Grams()-f.Tare.Grams())
	case *record.StockOpened:
		b.filled(f.Filling, f.Steel, f.Mass.Grams())
		b.book("seed", f.Filling, f.Mass.Grams())
	}
}

func (b *tally) filled(filling, steel record.Code, m q.Gram) {
	if b.in[steel] != 0 {
		b.t.Errorf("%s is filled on %d g", steel, b.in[steel])
	}
	b.fill(steel, m)
	if filling != "" {
		b.steel[filling], b.net[filling] = steel, m
	}
}

func (b *tally) pack(f record.Fact) {
	switch f := f.(type) {
	case *record.HoneyMoved:
		for _, p := range f.Pours {
			m := p.Mass.Grams()
			if p.All == record.Yes {
				m = b.in[b.vessel(p.From)]
			}
			b.draw(p.From, m)
			b.fill(f.To, m)
			if f.Purpose == record.Heel {
				b.book("remainder", f.To, m)
			} else {
				b.book("tipped", f.To, m)
			}
		}
	case *record.Seeded:
		m := b.in[b.vessel(f.Seed)]
		b.draw(f.Seed, m)
		b.fill(f.Vessel, m)
	case *record.JarsFilled:
		b.draw(f.From, f.Mass.Grams())
		b.in[f.Batch], b.units[f.Batch], b.run[f.Batch] = f.Mass.Grams(), f.Units, f.Run
		b.book("filled", f.Run, f.Mass.Grams())
		b.book("units", f.Run, q.Gram(f.Units))
	case *record.Lost:
		b.draw(f.From, f.Mass.Grams())
		b.book("lost", f.Of, f.Mass.Grams())
	case *record.Destroyed:
		b.out("destroyed", f.What, f.Units, f.Mass.Grams())
	case *record.Retained:
		b.out("retained", f.Batch, f.Units, f.Mass.Grams())
	case *record.TippedBack:
		b.out("tipped back", f.Batch, f.Units, f.Mass.Grams())
		b.fill(f.To, f.Mass.Grams())
	case *record.Regraded:
		b.in[f.Batch] -= f.Mass.Grams()
		b.units[f.Batch] -= f.Units
		b.in[f.To], b.units[f.To], b.run[f.To] = f.Mass.Grams(), f.Units, b.run[f.Batch]
	case *record.BatchMade:
		b.draw(f.Inputs[0].From, f.Inputs[0].Mass.Grams())
		b.book("products", f.Batch, f.Inputs[0].Mass.Grams())
		b.units[f.Batch] = f.Units
	case *record.Sent:
		for _, l := range f.Lines {
			if v, ok := b.steel[l.What]; ok {
				b.book("sold", l.What, b.in[v])
				b.in[v] = 0
			}
		}
	}
}

func (b *tally) out(account string, mark record.Code, units int64, m q.Gram) {
	b.in[mark] -= m
	b.units[mark] -= units
	b.book(account, b.run[mark], m)
}
