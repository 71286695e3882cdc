package demo

import (
	"time"

	"combline/internal/record"
)

// dispatches: cases are packed, drums sealed, and goods sent.
func dispatches(d *diary) {
	caseUp(d, at(time.September, 21, 16, 0), "R2-C", 1, 500, 12, summerInCases()...)
	pallets(d, at(time.September, 21, 16, 30), "R2-C", "PAL-R2-%d", 5)
	send(d, at(time.September, 25, 9, 0), "O-01", larkspur, palletLines("PAL-R2-%d", 5))

	caseUp(d, at(time.September, 28, 15, 0), "R1-C", 1, 200, 12, record.CasedFrom{Batch: "R1-01", Units: 2400})
	send(d, at(time.October, 2, 9, 0), "O-02", saltmarsh, []record.SentLine{
		{Cases: record.Cases{Prefix: "R1-C", First: 1, Last: 90}, ShipTo: "shop 1"},
		{Cases: record.Cases{Prefix: "R1-C", First: 91, Last: 160}, ShipTo: "shop 2"},
		{Cases: record.Cases{Prefix: "R1-C", First: 161, Last: 200}, ShipTo: "shop 3"}})

	caseUp(d, at(time.October, 15, 16, 40), "R5-C", 1, 400, 100,
		record.CasedFrom{Batch: "R5-01", Units: 20198}, record.CasedFrom{Batch: "R5-02", Units: 19802})
	caseUp(d, at(time.October, 16, 16, 30), "R6-C", 1, 46, 500, record.CasedFrom{Batch: "R6-01", Units: 23000})
	send(d, at(time.October, 19, 8, 0), "O-03a", cormorant, []record.SentLine{{Cases: record.Cases{Prefix: "R5-C", First: 1, Last: 400}}})
	send(d, at(time.October, 19, 8, 10), "O-03b", cormorant, []record.SentLine{{Cases: record.Cases{Prefix: "R6-C", First: 1, Last: 46}}})

	blendInCases(d)
	send(d, at(time.November, 9, 9, 0), "O-06", harrow, palletLines("PAL-R3-%d", 8))

	caseUp(d, at(time.November, 5, 15, 30), "R4-C", 1, 250, 12, record.CasedFrom{Batch: "R4-01", Units: 3000})
	send(d, at(time.November, 10, 9, 0), "O-07", brindle, []record.SentLine{{Cases: record.Cases{Prefix: "R4-C", First: 1, Last: 250}}})

	send(d, at(time.November, 20, 8, 0), "O-08", ownShop, []record.SentLine{
		{What: "SP-01", Units: 600}, {What: "GB-01", Units: 800}, {What: "HC-01", Units: 200}})
	soldDrums(d)
	shopSales(d)
}

func caseUp(d *diary, t time.Time, prefix string, first, last, perCase int64, from ...record.CasedFrom) {
	d.at(t, "packer-2", &record.Cased{Batches: from, Cases: record.Cases{Prefix: prefix, First: first, Last: last}, PerCase: perCase})
}

// summerInCases are the first 6000 good jars of R2, two of them retained before.
func summerInCases() []record.CasedFrom {
	var all []record.CasedFrom
	left := int64(6000)
	for i, m := range summerRun().marks {
		n := m.units
		switch i {
		case 0:
			n -= 2 // retained
		case 7:
			n -= 20 // destroyed with the broken jar
		}
		if n = min(n, left); n > 0 {
			all = append(all, record.CasedFrom{Batch: m.code, Units: n})
		}
		left -= n
	}
	return all
}

// blendInCases: the half-hours that were never held on the day, the others after
// their release. Eight jars of half-hour 13 wait for the second turn.
func blendInCases(d *diary) {
	var first, second []record.CasedFrom
	for i, m := range blendRun().marks {
		n := m.units
		switch {
		case i == 0:
			n -= 2 // retained
		case i == 12:
			n -= 8
			second = append(second, record.CasedFrom{Batch: m.code, Units: 8})
		}
		for _, s := range sortings {
			if s.half == i+1 {
				n -= s.pulled + s.kept
			}
		}
		if i < 13 {
			first = append(first, record.CasedFrom{Batch: m.code, Units: n})
		} else {
			second = append(second, record.CasedFrom{Batch: m.code, Units: n})
		}
	}
	caseUp(d, at(time.November, 3, 17, 0), "R3-C", 1, 595, 12, first...)
	caseUp(d, at(time.November, 6, 10, 0), "R3-C", 596, 800, 12, second...)
	pallets(d, at(time.November, 6, 12, 0), "R3-C", "PAL-R3-%d", 8)
}

// pallets puts cases on pallets of a hundred.
func pallets(d *diary, t time.Time, prefix, form string, n int) {
	var facts []record.Fact
	for i := range n {
		first := int64(i)*100 + 1
		facts = append(facts, &record.Palletised{Pallet: number(form, i+1), Place: dock,
			Cases: []record.Cases{{Prefix: prefix, First: first, Last: first + 99}}})
	}
	d.at(t, "packer-1", facts...)
}

func palletLines(form string, n int) []record.SentLine {
	var all []record.SentLine
	for _, c := range numbers(form, 1, n) {
		all = append(all, record.SentLine{What: c})
	}
	return all
}

// send writes a dispatch; before holds what stands in the batch before it.
func send(d *diary, t time.Time, order, to record.Code, lines []record.SentLine, before ...record.Fact) {
	by := clerk
	if len(before) > 0 { // what overrides a hold is the owner's to write
		by = owner
	}
	d.at(t, by, append(before, &record.Sent{Dispatch: "DN-" + order, Order: order, Customer: to, Lines: lines})...)
}

// soldDrums: a drum is sealed at the dock and its steel goes with the honey.
func soldDrums(d *diary) {
	sold := func(sealed, gone time.Time, order, to record.Code, firstSeal int, what, steel []record.Code, before ...record.Fact) {
		var seals, left []record.Fact
		var lines []record.SentLine
		for i, c := range what {
			seal := string(number("26-%04d", firstSeal+i))
			seals = append(seals, &record.Sealed{What: c, Seal: seal})
			lines = append(lines, record.SentLine{What: c, Seal: seal})
			left = append(left, &record.VesselGone{Vessel: steel[i], Note: "sold with the honey"})
		}
		d.at(sealed, "packer-1", seals...)
		send(d, gone, order, to, lines, before...)
		d.at(minutes(gone, 5), clerk, left...)
	}
	sold(at(time.October, 26, 7, 30), at(time.October, 26, 9, 0), "O-04", bakery, 407, []record.Code{"D041", "B001"},
		[]record.Code{"S-041", "S-073"},
		overridden(holdTreatment, roleOwner, "cooking grade for baking, buyer told of the skim of L07 in it", "B001"),
		overridden(holdDisease, roleOwner, "cooking grade for baking; the enquiry is about bees, the buyer keeps none", "B001"))
	sold(at(time.October, 29, 15, 0), at(time.October, 30, 9, 0), "O-05", eastquay, 401, drums(65, 66, 68, 71),
		append(numbers("S-%03d", 65, 66), numbers("S-%03d", 68, 71)...))
}

// shopSales: soft-set jars that went over the counter, counted every Saturday.
func shopSales(d *diary) {
	saturday := at(time.October, 3, 17, 0)
	for i, n := range []int64{9, 9, 9, 9, 9, 8, 8} {
		_, m, day := saturday.AddDate(0, 0, 7*i).Date()
		d.at(at(m, day, 17, 0), clerk, &record.Sent{Dispatch: number("SHOP-%02d", i+1), Customer: callers,
			Lines: []record.SentLine{{What: "R1-01", Units: n}}})
	}
}
