package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

const hives = 60 // at each site

const (
	brackenlow  record.Code = "Brackenlow"
	wytheHollow record.Code = "Wythe Hollow"
	kestrelBank record.Code = "Kestrel Bank"
	sallowFen   record.Code = "Sallow Fen"
	ambryHill   record.Code = "Ambry Hill"
	tarnEdge    record.Code = "Tarn Edge"
	gannetWood  record.Code = "Gannet Wood"
	lowCutter   record.Code = "Low Cutter"
)

// A site is where hives stand, with the marks on its boxes and when the first went on.
type site struct {
	code   record.Code
	mark   string // what its boxes bear before their number
	boxes  int64
	supers time.Time // when the first were set on
	onDay  int64     // how many of them then
	fed    time.Time // spring feed; zero: none
}

var sites = []site{
	{brackenlow, "BL-", 160, at(time.April, 18, 0, 0), 150, time.Time{}},
	{wytheHollow, "WH-", 150, at(time.April, 18, 0, 0), 140, time.Time{}},
	{kestrelBank, "KB-", 120, at(time.April, 19, 0, 0), 120, time.Time{}},
	{sallowFen, "SF-", 180, at(time.May, 2, 0, 0), 180, at(time.March, 28, 0, 0)},
	{ambryHill, "AH-", 170, at(time.May, 2, 0, 0), 170, at(time.March, 30, 0, 0)},
	{tarnEdge, "TE-", 130, at(time.June, 6, 0, 0), 130, time.Time{}},
	{gannetWood, "GW-", 110, at(time.June, 6, 0, 0), 110, time.Time{}},
	{lowCutter, "LC-", 130, at(time.May, 9, 0, 0), 130, time.Time{}},
}

func siteOf(c record.Code) site {
	for _, s := range sites {
		if s.code == c {
			return s
		}
	}
	panic("no site " + c) // a mistake in the tables of this package
}

func (s site) marks(first, last int64) []record.Marks {
	return []record.Marks{{Prefix: s.mark, First: first, Last: last}}
}

func setUpSites(d *diary) {
	var facts []record.Fact
	for _, s := range sites {
		facts = append(facts, &record.SiteOpened{Site: s.code, Country: velmark, Hives: hives},
			&record.SupersMarked{Site: s.code, Boxes: s.boxes, Marks: s.marks(1, s.boxes)})
	}
	d.at(minutes(opening, 120), foreman, facts...)
}

// yardWork is the spring feed, the boxes set on, and the mite strips at Ambry Hill.
func yardWork(d *diary) {
	for _, s := range sites {
		if !s.fed.IsZero() {
			d.on(s.fed, foreman, &record.Fed{Site: s.code, Feed: "sugar syrup", Hives: hives,
				EachHive: kg(4*kilo, q.Typed), SupersOn: record.No})
		}
		d.on(s.supers, foreman, &record.SupersPlaced{Site: s.code, Boxes: s.onDay, Marks: s.marks(1, s.onDay)})
	}
	// Ten boxes more for the summer flow at each of the two sites that gave spring honey too.
	for _, c := range []record.Code{brackenlow, wytheHollow} {
		s := siteOf(c)
		d.on(at(time.June, 20, 0, 0), foreman, &record.SupersPlaced{Site: c, Boxes: s.boxes - s.onDay, Marks: s.marks(s.onDay+1, s.boxes)})
	}
	d.on(at(time.July, 20, 0, 0), foreman, &record.Treated{Treatment: "M-01", Site: ambryHill, Product: "mite strips",
		Against: "varroa mite", Hives: hives, SupersAllowed: record.No})
}

// feedWord is the period for which it is written down at a pull that a site got no
// feed: since the record of it began, its spring feed or its pull before.
func feedWord(l lot) record.Fact {
	from := dayOf(time.March, 1)
	if s := siteOf(l.site); !s.fed.IsZero() {
		from = record.DayOf(s.fed) + 1
	}
	for _, before := range lots {
		if before.site == l.site && before.pulled.Before(l.pulled) {
			from = record.DayOf(before.pulled) + 1
		}
	}
	return &record.NotFed{Site: l.site, From: from, To: record.DayOf(l.pulled)}
}
