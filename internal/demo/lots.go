package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// A lot is the honey of one site and one pull day, as it was weighed.
type lot struct {
	code      record.Code
	site      record.Code
	honey     string
	pulled    time.Time // when the truck was back
	spun      time.Time // when the first stack left the hot room
	boxes     int64
	capped    int64   // per cent
	gross     q.Gram  // boxes full, on leaving the hot room
	wet       q.Gram  // boxes spun
	wax       q.Gram  // off the cappings
	melted    q.Gram  // honey that came out of the wax melter
	skim      q.Gram  // off the tanks before they were drawn
	first     int     // number of the first drum
	full      int     // drums of 290 kg
	rest      q.Gram  // in the drum after them
	tanks     []stand // where it settled, in the order of drawing
	house     int64   // house reading of its water, tenths of a per cent
	store     record.Code
	waxBlock  record.Code
	wetBackAt time.Time
}

// A stand is a tank in which a lot settled and how many drums were drawn from it.
type stand struct {
	tank  record.Code
	drums int
}

// fullNet is a full drum: 290 kg net, 308.6 gross.
const fullNet = 290 * kilo

// drumSample is the jar drawn at the gate as each drum fills.
const drumSample q.Gram = 400

// lots are the ten lots of the season. Both settling tanks together hold 2,400 kg
// and a lot stands in them until four days after its pull; where a lot is larger,
// or the one before still stands, the bulk tanks T1 and T2, idle in the harvest,
// take the rest.
var lots = []lot{
	{"L01", brackenlow, "spring", pull(time.May, 24), spin(time.May, 26), 150, 94,
		2815 * kilo, 951 * kilo, 25 * kilo, 17 * kilo, 10_200, 1, 6, 60 * kilo,
		[]stand{{"S1", 4}, {"S2", 3}}, 172, coldStore, "W01", at(time.May, 27, 0, 0)},
	{"L02", wytheHollow, "spring", pull(time.May, 26), at(time.May, 28, 11, 30), 140, 96,
		2740 * kilo, 891 * kilo, 24 * kilo, 17 * kilo, 10_200, 8, 6, 46 * kilo,
		[]stand{{"S1", 4}, {"S2", 3}}, 171, coldStore, "W02", at(time.May, 29, 0, 0)},
	{"L03", kestrelBank, "spring", pull(time.May, 29), spin(time.May, 31), 120, 72,
		2203 * kilo, 760 * kilo, 19 * kilo, 13 * kilo, 8_000, 15, 4, 234 * kilo,
		[]stand{{"S1", 3}, {"S2", 2}}, 189, coldStore, "W03", at(time.June, 1, 0, 0)},
	{"L04", brackenlow, "summer", pull(time.July, 19), spin(time.July, 21), 160, 95,
		3424 * kilo, 1026 * kilo, 32 * kilo, 22 * kilo, 13_800, 20, 7, 285 * kilo,
		[]stand{{"S1", 4}, {"T1", 4}}, 174, barnA, "W04", at(time.July, 22, 0, 0)},
	{"L05", wytheHollow, "summer", pull(time.July, 21), at(time.July, 22, 12, 30), 150, 93,
		3149 * kilo, 960 * kilo, 29 * kilo, 20 * kilo, 12_800, 28, 7, 30 * kilo,
		[]stand{{"S2", 4}, {"T2", 4}}, 173, barnA, "W05", at(time.July, 23, 0, 0)},
	{"L06", sallowFen, "summer", pull(time.July, 24), spin(time.July, 26), 180, 97,
		4016 * kilo, 1158 * kilo, 38 * kilo, 26 * kilo, 16_000, 36, 9, 150 * kilo,
		[]stand{{"S1", 4}, {"S2", 4}, {"T1", 2}}, 173, barnA, "W06", at(time.July, 27, 0, 0)},
	{"L07", ambryHill, "summer", pull(time.July, 27), spin(time.July, 29), 170, 95,
		3706 * kilo, 1092 * kilo, 34 * kilo, 24 * kilo, 15_400, 46, 8, 204 * kilo,
		[]stand{{"S1", 4}, {"S2", 4}, {"T1", 1}}, 170, holdBay, "W07", at(time.July, 30, 0, 0)},
	{"L08", lowCutter, "summer", pull(time.July, 30), spin(time.August, 1), 130, 94,
		2742 * kilo, 832 * kilo, 25 * kilo, 17 * kilo, 11_200, 55, 6, 104 * kilo,
		[]stand{{"S1", 4}, {"S2", 3}}, 174, barnA, "W08", at(time.August, 6, 0, 0)},
	{"L09", tarnEdge, "forest", pull(time.August, 14), spin(time.August, 16), 130, 92,
		2545 * kilo, 827 * kilo, 23 * kilo, 16 * kilo, 9_600, 62, 5, 208 * kilo,
		[]stand{{"S1", 4}, {"S2", 2}}, 167, barnA, "W09", at(time.August, 17, 0, 0)},
	{"L10", gannetWood, "forest", pull(time.August, 17), spin(time.August, 19), 110, 91,
		2109 * kilo, 699 * kilo, 19 * kilo, 13 * kilo, 8_000, 68, 4, 201 * kilo,
		[]stand{{"S1", 3}, {"S2", 2}}, 169, barnA, "W10", at(time.August, 20, 0, 0)},
}

// pull is when the truck of a pull is back, spin when the first stack leaves the hot room.
func pull(m time.Month, day int) time.Time { return at(m, day, 9, 30) }
func spin(m time.Month, day int) time.Time { return at(m, day, 6, 30) }

// drawn is when a lot's tanks are drawn into drums: four days after the pull.
func (l lot) drawn() time.Time {
	_, m, n := l.pulled.Date()
	return at(m, n, 7, 0).AddDate(0, 0, 4)
}

// drums are the codes of the lot's drums and the net weight of each.
func (l lot) drums() ([]record.Code, []q.Gram) {
	codes := drums(l.first, l.first+l.full)
	net := make([]q.Gram, len(codes))
	for i := range net {
		net[i] = fullNet
	}
	net[l.full] = l.rest
	return codes, net
}

// tankCodes are the tanks in which the lot settled.
func (l lot) tankCodes() []record.Code {
	var all []record.Code
	for _, s := range l.tanks {
		all = append(all, s.tank)
	}
	return all
}
