package demo

import (
	"fmt"
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// What a large house has: hives at 250 sites, 600 drums that stand full.
const (
	largeSeasons = 5
	largeSites   = 250
	largeDrums   = 600
	largeADay    = 5 // lots
)

// Large is five seasons of a house that is large: the season five times over, and after
// each a pull from each of 250 sites that fills 600 drums, which stand full at the end.
// Each lot came in in so many stacks and was so often looked at for its temperature:
// with few it is some ten thousand facts, with 40 and 100 about 250,000. The last entry
// sets the house's clock to the evening after. yield gets the entries in the order of
// writing, until it says false.
func Large(stacks, looks int, yield func(record.Entry) bool) {
	seasons(largeSeasons, yield, func(w *years, year int) bool {
		d := &diary{}
		largeHouse(d, year, stacks, looks)
		for i, s := range d.steps {
			if !w.write(year, 100_000+i, s.When, s.Written, s.Facts) {
				return false
			}
		}
		if year < largeSeasons-1 {
			return true
		}
		clock := &record.SettingChanged{Setting: "clock.simulated", Text: LargeEnd().Format(time.RFC3339), Reason: "demo house"}
		evening := end.AddDate(0, 0, largeSites/largeADay+1)
		return w.write(year, 200_000, record.At(evening), evening, []record.Fact{clock})
	})
}

// LargeEnd is when the record of the large house is looked at.
func LargeEnd() time.Time { return end.AddDate(0, 0, (largeSeasons-1)*365+largeSites/largeADay+1) }

// largeHouse writes one year's pulls, five lots a day from the truck to the drums, from
// the first day of December on; in the first year the sites and the drums' steel before them,
// in the others that the drums were emptied.
func largeHouse(d *diary, year, stacks, looks int) {
	t := at(time.December, 1, 6, 0)
	var facts []record.Fact
	for n := 1; n <= largeSites && year == 0; n++ {
		facts = append(facts, &record.SiteOpened{Site: largeSite(n), Country: velmark, Hives: 10 + int64(n*7%50)})
	}
	for n := 1; n <= largeDrums; n++ {
		steel := number("SL-%03d", n)
		if year == 0 {
			facts = append(facts, drumSteel(steel, ""))
		} else {
			facts = append(facts, &record.Destroyed{What: steel, Reason: "emptied for the next season"})
		}
	}
	d.at(t, owner, facts...)
	drum := 0
	for n := 1; n <= largeSites; n++ {
		t = at(time.December, 1, 6, 0).AddDate(0, 0, n/largeADay).Add(time.Duration(n%largeADay) * 2 * time.Hour)
		until := largeDrums * n / largeSites
		l := largeLot{n: n, year: year, first: drum + 1, last: until}
		l.write(d, t, stacks, looks)
		drum = until
	}
}

// largeSite is a site's name: some short, some as long as names are.
func largeSite(n int) record.Code {
	first := []string{"Alder", "Bramble", "Cold Harbour", "Dunmoor", "Ely", "Fernhill", "Great Lower Withering", "Hob", "Ivel", "Juniper"}
	second := []string{"Bank", "Cross", "Edge", "Fen", "Lane End Orchard"}
	return record.Code(fmt.Sprintf("%s %s %d", first[n%10], second[n/10%5], n))
}

// A largeLot is one site's pull in a year and the numbers of its drums.
type largeLot struct{ n, year, first, last int }

func (l largeLot) code() record.Code { return l.marked(number("LL%03d", l.n)) }

func (l largeLot) marked(c record.Code) record.Code {
	if l.year == 0 {
		return c
	}
	return c + record.Code(fmt.Sprintf("-Y%d", l.year))
}

// write is received, run into a tank, drawn into drums, read and looked at.
func (l largeLot) write(d *diary, t time.Time, stacks, looks int) {
	const boxTare = 7 * kilo // of a box, common practice, no source
	lot, tank := l.code(), number("T%d", 1+l.n%4)
	net := q.Gram(l.last-l.first+1) * fullNet
	each := net / q.Gram(stacks) / 100 * 100 // by the platform scale's step
	facts := []record.Fact{
		&record.LotOpened{Lot: lot, Site: largeSite(l.n), Pulled: record.DayOf(t), Honey: []string{"spring", "summer", "forest"}[l.n%3]},
		&record.SupersPulled{Lot: lot, Site: largeSite(l.n), Boxes: int64(stacks) * 3, Capped: pct(90 + int64(l.n%9)), Vehicle: "truck", Clean: record.Yes},
		&record.LotRanInto{Lot: lot, Into: tank, Via: straining}}
	for i := range stacks {
		mass := each
		if i == 0 {
			mass = net - each*q.Gram(stacks-1)
		}
		facts = append(facts, &record.SupersReceived{Lot: lot, Side: record.AfterHotRoom, Scale: platformScale, Stacks: []record.Stack{{Boxes: 3, Gross: weighed(3*boxTare + mass), Tray: weighed(0)}}},
			&record.WetSupersWeighed{Lot: lot, Scale: platformScale, Stacks: []record.Stack{{Boxes: 3, Gross: weighed(3 * boxTare), Tray: weighed(0)}}})
	}
	facts = append(facts, &record.SupersSpun{Lot: lot, Boxes: int64(stacks) * 3, Loads: loads(int64(stacks) * 3), Machines: combLine})
	facts = append(facts, l.drums(tank)...)
	for i := range looks {
		facts = append(facts, &record.TemperatureRead{Of: tank, Temp: tenthsOfDeg(300 + int64(i%40)), Instrument: probe1})
	}
	if l.n%5 > 0 { // some are not read yet
		facts = append(facts, houseWater(lot, 165+int64(l.n%30)))
	}
	d.at(t, extracting, facts...)
}

func (l largeLot) drums(tank record.Code) (facts []record.Fact) {
	var codes []record.Code
	for i := l.first; i <= l.last; i++ {
		codes = append(codes, l.marked(number("DL%03d", i)))
		facts = append(facts, &record.DrumFilled{Filling: codes[len(codes)-1], Steel: number("SL-%03d", i), From: tank,
			Gross: weighed(fullNet + tare), Tare: weighed(tare), Purpose: record.TableHoney, Scale: platformScale})
	}
	facts = append(facts, &record.LotClosed{Lot: l.code()}, &record.Cleaned{What: []record.Code{tank}, Clean: record.Drained})
	if len(codes) > 0 {
		facts = append(facts, placed([]record.Code{barnA, coldStore, warmingRoom, holdBay}[l.n%4], codes...))
	}
	return facts
}
