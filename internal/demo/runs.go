package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// A run is one packing as it went.
type run struct {
	code    record.Code
	product record.Code
	order   record.Code
	tanks   []record.Code // that fed it
	filler  record.Code
	scale   record.Code
	start   time.Time
	end     time.Time
	target  record.Weight // set weight of a unit
	temp    int64         // of the honey at the filler, °C; 0: not written down
	marks   []mark
	tipped  q.Gram   // honey in
	filled  q.Gram   // in all units
	rests   []q.Gram // weighed out of each tank at the end, into rest
	rest    record.Code
	used    []use
	caseN   int64 // cases or boxes packed
	caseOf  int64
	shares  []share // as printed on the lot sheet
	rejects int64
}

// A mark is the units that bear one lot mark, from one tank, ready at a moment.
type mark struct {
	code  record.Code
	tank  record.Code
	units int64
	at    time.Time
}

// use is pieces of one lot of packing material.
type use struct {
	lot record.Code
	n   int64
}

// share is an origin's share as printed, in tenths of a per cent.
type share struct {
	of     string
	tenths int64
}

// packRun writes a run from the sieve's check to its end; extra facts of single
// runs are written beside it.
func packRun(d *diary, r run) {
	sieve := func(m record.SieveMoment) record.Fact {
		return &record.Strained{Sieve: sieve02, Mesh: fig(2, 1, q.MM), Whole: record.Yes, Moment: m, Of: r.code}
	}
	d.at(r.start, packLead, &record.RunStarted{Run: r.code, Product: r.product, Orders: []record.Code{r.order}, From: r.tanks,
		Machines: []record.Code{sieve02, r.filler}, BestBefore: record.DayOf(r.start.AddDate(2, 0, 0)),
		LabelProof: "packing, office", Target: r.target}, sieve(record.SieveBefore), r.setting())
	d.at(minutes(r.start, 5), clerk, r.lotSheet())
	grams := r.grams()
	for i, m := range r.marks {
		facts := []record.Fact{&record.JarsFilled{Batch: m.code, Run: r.code, From: m.tank, Units: m.units,
			Mass: calculated(grams[i]), Via: []record.Code{sieve02, r.filler}, Place: packRoom}}
		if check := nozzleCheck(r, i); check != nil {
			facts = append(facts, check)
		}
		d.at(m.at, "packer-2", facts...)
	}
	d.at(minutes(r.end, 5), packLead, sieve(record.SieveAfter))
	d.at(minutes(r.end, 10), packLead, r.left(grams)...)
	d.at(minutes(r.end, 15), packLead, &record.Retained{Batch: r.marks[0].code, Units: 2, Mass: calculated((4*r.filled + r.units()) / (2 * r.units())), Place: packRoom})
	d.at(minutes(r.end, 20), packLead, r.counted()...)
	d.at(minutes(r.end, 25), packLead, &record.RunEnded{Run: r.code})
	d.at(minutes(r.end, 55), "packer-3", washed(record.CleanDown, append([]record.Code{r.filler, sieve02}, r.tanks...)...))
}

// units is how many units the run filled, as a divisor of grams.
func (r run) units() q.Gram {
	var n int64
	for _, m := range r.marks {
		n += m.units
	}
	return q.Gram(n)
}

// grams is what the units of each mark weigh: by the checks where there are any,
// else by their number.
func (r run) grams() []q.Gram {
	weights := make([]q.Gram, len(r.marks))
	for i, m := range r.marks {
		weights[i] = q.Gram(m.units)
		if r.code == "R3" {
			weights[i] *= q.Gram(sumOf(nozzleMeans(i)))
		}
	}
	all := make([]q.Gram, len(r.marks))
	for i, g := range part(int64(r.filled), weights) {
		all[i] = q.Gram(g)
	}
	return all
}

func (r run) setting() record.Fact {
	f := &record.FillerSet{Run: r.code, Filler: r.filler, Target: r.target}
	if r.filler == jarFiller {
		f.Checked = 80 // 20 of each nozzle
	}
	if r.temp > 0 {
		f.Temp = degrees(r.temp)
	}
	return f
}

func (r run) lotSheet() record.Fact {
	p := &record.Printed{Paper: "LS-" + r.code, What: record.LotSheet, About: r.code, Edition: "shares by mass, 1"}
	for _, s := range r.shares {
		p.Figures = append(p.Figures, record.PrintedFigure{Of: s.of, Value: pctTenths(s.tenths)})
	}
	return p
}

// left is what stayed in the tanks: weighed into a marked pail, and the rest lost
// in hoses, heels and first units.
func (r run) left(grams []q.Gram) []record.Fact {
	var facts []record.Fact
	if r.rest != "" {
		var pours []record.Pour
		for i, t := range r.tanks {
			pours = append(pours, record.Pour{From: t, Mass: weighed(r.rests[i])})
		}
		facts = append(facts, &record.HoneyMoved{Pours: pours, To: r.rest, Purpose: record.Heel})
	}
	for i, t := range r.tanks {
		lost := r.tipped / q.Gram(len(r.tanks))
		for j, m := range r.marks {
			if m.tank == t {
				lost -= grams[j]
			}
		}
		if r.rest != "" {
			lost -= r.rests[i]
		}
		facts = append(facts, &record.Lost{From: t, Mass: calculated(lost), Reason: "hoses, heel and first units", Of: r.code})
	}
	return facts
}

// counted is the material that a run used and what it packed.
func (r run) counted() []record.Fact {
	var facts []record.Fact
	rec := &record.RunReconciled{Run: r.code, Good: int64(r.units()) - r.rejects, Rejects: pieces(r.rejects)}
	for _, u := range r.used {
		facts = append(facts, &record.MaterialUsed{Lot: u.lot, For: r.code, Amount: count(u.n)})
		rec.Lines = append(rec.Lines, record.Reconciled{Material: u.lot, Taken: u.n})
	}
	return append(facts, rec)
}
