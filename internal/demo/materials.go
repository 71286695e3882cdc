package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// Packing material. A lot's code is the material's with the lot's number.
const (
	jar340     record.Code = "JAR340"
	jar454     record.Code = "JAR454"
	jar250     record.Code = "JAR250"
	lid        record.Code = "LID"
	labelOurs  record.Code = "LABEL-VM"
	labelBlend record.Code = "LABEL-6040"
	caseOf12   record.Code = "CASE12"
)

// A stuff is one packing material: how long it takes to come, how many spare ones a
// run needs (per cent), what was here on 1 September and what was ordered for the
// runs of November.
type stuff struct {
	code   record.Code
	what   string
	wait   int64
	spare  int64
	onHand int64
	more   int64
	order  time.Time // zero: none
	came   time.Time
}

var stuffs = []stuff{
	{jar340, "jar 340 g", 21, 1, 9600, 6612, at(time.October, 12, 9, 0), at(time.November, 2, 9, 0)},
	{jar454, "jar 454 g", 21, 1, 3000, 0, time.Time{}, time.Time{}},
	{jar250, "jar 250 g", 28, 1, 2000, 1420, at(time.October, 7, 9, 0), at(time.November, 4, 9, 0)},
	{lid, "lid, fits all three jars", 14, 1, 18000, 4272, at(time.October, 19, 9, 0), at(time.November, 2, 9, 10)},
	{labelOurs, "label set 340 g, Velmark only", 10, 2, 7000, 0, time.Time{}, time.Time{}},
	{labelBlend, "label set 340 g, blend 60/40", 10, 2, 0, 9900, at(time.October, 23, 9, 0), at(time.November, 2, 9, 20)},
	{caseOf12, "case of 12, all jars", 7, 0, 1200, 550, at(time.October, 26, 9, 0), at(time.November, 2, 9, 30)},
}

// lotOfStuff is the first or second lot of a material.
func lotOfStuff(material record.Code, n int) record.Code { return material + number("-%d", n) }

func count(n int64) record.Amount { return record.Amount{Pieces: pieces(n)} }
func mass(m q.Gram) record.Amount { return record.Amount{Mass: weighed(m)} }
func boughtIn(l, m record.Code, a record.Amount) record.Fact {
	return &record.MaterialReceived{Lot: l, Material: m, Amount: a}
}

func setUpMaterials(d *diary) {
	var facts []record.Fact
	for _, s := range stuffs {
		m := &record.MaterialNamed{Material: s.code, What: s.what, Unit: "pieces", WaitDays: s.wait}
		if s.spare > 0 {
			m.Spare = pct(s.spare)
		}
		facts = append(facts, m)
	}
	for _, i := range ingredients {
		facts = append(facts, &record.MaterialNamed{Material: i.code, What: i.what, Unit: "kg"})
	}
	d.at(minutes(opening, 220), clerk, facts...)
	d.at(minutes(opening, 240), clerk, recipes()...)
}

// recipes are what a unit is made of and packed in; a case holds twelve jars.
func recipes() []record.Fact {
	packed := func(p record.Code, honey string, pieces ...record.Code) record.Fact {
		r := &record.RecipeSet{Product: p, Lines: []record.RecipeLine{{Honey: honey}}}
		for _, m := range pieces {
			line := record.RecipeLine{Material: m, Each: 1, ForUnits: 1}
			if m == caseOf12 {
				line.ForUnits = 12
			}
			r.Lines = append(r.Lines, line)
		}
		return r
	}
	facts := []record.Fact{packed(summerJar, "summer", jar340, lid, labelOurs, caseOf12),
		packed(blendJar, "summer", jar340, lid, labelBlend, caseOf12),
		packed(softSet, "spring", jar454, lid, caseOf12), packed(forestJar, "forest", jar250, lid, caseOf12),
		packed(spoon, "summer"), packed(sachet, "summer"), packed(forestDrum, "forest")}
	for _, b := range bakes {
		r := &record.RecipeSet{Product: b.product, Yield: kg(b.out, q.Typed), Lines: []record.RecipeLine{
			{Honey: "summer", Mass: kg(b.honey, q.Typed)}}}
		for _, i := range b.parts {
			r.Lines = append(r.Lines, record.RecipeLine{Material: i.of, Mass: kg(i.mass, q.Typed)})
		}
		facts = append(facts, r)
	}
	return facts
}

// materials: what was here, the count of 1 September, and what was ordered and came for November.
func materials(d *diary) {
	t := at(time.August, 17, 9, 0)
	for i, s := range stuffs {
		first, second := lotOfStuff(s.code, 1), lotOfStuff(s.code, 2)
		if s.onHand > 0 {
			d.at(minutes(t, i), clerk, boughtIn(first, s.code, count(s.onHand)))
			d.at(minutes(at(time.September, 1, 6, 0), i), packLead, &record.MaterialCounted{Lot: first, Amount: count(s.onHand)})
		} else {
			second = first
		}
		if s.more > 0 {
			d.at(s.order, clerk, &record.MaterialOrdered{Material: s.code, Amount: count(s.more), Due: record.DayOf(s.came)})
			d.at(s.came, "packer-1", boughtIn(second, s.code, count(s.more)))
		}
	}
}
