package demo

import (
	"fmt"
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// What a large house has: hives at 250 sites, 600 drums that stand full.
const (
	largeSites = 250
	largeDrums = 600
)

// Large is five seasons of a house that is large: the season five times over and, at
// the day after the last, a pull from each of 250 sites of which 600 drums stand full. Its
// last entry sets the house's clock to the evening after. yield gets the entries in the
// order of writing, until it says false.
func Large(yield func(record.Entry) bool) {
	const seasons = 5
	more, last := true, uint64(0)
	Years(seasons, func(e record.Entry) bool {
		last = e.Seq
		more = yield(e)
		return more
	})
	if !more {
		return
	}
	w := years{yield: yield, seq: last}
	d := &diary{}
	largeHouse(d)
	for i, s := range d.steps {
		if !w.write(seasons-1, 100_000+i, s.When, s.Written, s.Facts) {
			return
		}
	}
	evening := LargeEnd()
	clock := &record.SettingChanged{Setting: "clock.simulated", Text: evening.Format(time.RFC3339), Reason: "demo house"}
	w.write(seasons-1, 200_000, record.At(minutes(end, 24*60)), minutes(end, 24*60), []record.Fact{clock})
}

// LargeEnd is when the record of the large house is looked at.
func LargeEnd() time.Time { return end.AddDate(0, 0, 4*365+1) }

// largeHouse writes the sites, the drums' steel, and lot after lot from the truck to
// the drums, on the first day of December.
func largeHouse(d *diary) {
	t := at(time.December, 1, 6, 0)
	var named []record.Fact
	for n := 1; n <= largeSites; n++ {
		named = append(named, &record.SiteOpened{Site: largeSite(n), Country: velmark, Hives: 10 + int64(n*7%50)})
	}
	for n := 1; n <= largeDrums; n++ {
		named = append(named, drumSteel(number("SL-%03d", n), ""))
	}
	d.at(t, owner, named...)
	drum := 0
	for n := 1; n <= largeSites; n++ {
		t = minutes(t, 2)
		until := largeDrums * n / largeSites
		largeLot(d, t, n, drum+1, until)
		drum = until
	}
}

// largeSite is a site's name: some short, some as long as names are.
func largeSite(n int) record.Code {
	first := []string{"Alder", "Bramble", "Cold Harbour", "Dunmoor", "Ely", "Fernhill", "Great Lower Withering", "Hob", "Ivel", "Juniper"}
	second := []string{"Bank", "Cross", "Edge", "Fen", "Lane End Orchard"}
	return record.Code(fmt.Sprintf("%s %s %d", first[n%10], second[n/10%5], n))
}

// largeLot writes one site's pull: received, run into a tank, drawn into drums, read.
func largeLot(d *diary, t time.Time, n, first, last int) {
	const boxHoney, boxTare = 16 * kilo, 7 * kilo // of a box, common practice, no source
	lot, tank := number("LL%03d", n), number("T%d", 1+n%4)
	honey := []string{"spring", "summer", "forest"}[n%3]
	net := q.Gram(last-first+1) * fullNet
	boxes := int64(net/boxHoney) + 1
	facts := []record.Fact{
		&record.LotOpened{Lot: lot, Site: largeSite(n), Pulled: record.DayOf(t), Honey: honey},
		&record.SupersPulled{Lot: lot, Site: largeSite(n), Boxes: boxes, Capped: pct(90 + int64(n%9)), Vehicle: "truck", Clean: record.Yes},
		&record.SupersReceived{Lot: lot, Side: record.AfterHotRoom, Scale: platformScale,
			Stacks: []record.Stack{{Boxes: boxes, Gross: weighed(q.Gram(boxes)*boxTare + net), Tray: weighed(0)}}},
		&record.LotRanInto{Lot: lot, Into: tank, Via: straining},
		&record.SupersSpun{Lot: lot, Boxes: boxes, Loads: loads(boxes), Machines: combLine},
		&record.WetSupersWeighed{Lot: lot, Scale: platformScale, Stacks: []record.Stack{{Boxes: boxes, Gross: weighed(q.Gram(boxes) * boxTare), Tray: weighed(0)}}},
	}
	var codes []record.Code
	for i := first; i <= last; i++ {
		codes = append(codes, number("DL%03d", i))
		facts = append(facts, &record.DrumFilled{Filling: number("DL%03d", i), Steel: number("SL-%03d", i), From: tank,
			Gross: weighed(fullNet + tare), Tare: weighed(tare), Purpose: record.TableHoney, Scale: platformScale})
	}
	facts = append(facts, &record.LotClosed{Lot: lot}, &record.Cleaned{What: []record.Code{tank}, Clean: record.Drained})
	if len(codes) > 0 {
		facts = append(facts, placed([]record.Code{barnA, coldStore, warmingRoom, holdBay}[n%4], codes...))
	}
	if n%5 > 0 { // some are not read yet
		facts = append(facts, houseWater(lot, 165+int64(n%30)))
	}
	d.at(t, extracting, facts...)
}
