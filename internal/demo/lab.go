package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

const outsideLab = "outside lab"

// A sheet is what the laboratory reported of one lot, drum or delivery.
type sheet struct {
	of           record.Code
	water        int64 // tenths of a per cent
	hmf          int64 // tenths of mg/kg
	diastase     int64 // tenths
	conductivity int64 // hundredths of mS/cm
	colour       int64 // mm
	yeast        int64 // per gram; 0: under 10
	back         time.Time
	number       string
}

var sheets = []sheet{
	{"L01", 173, 21, 210, 19, 18, 0, at(time.June, 12, 9, 30), "26-0441"},
	{"L02", 170, 18, 224, 18, 16, 0, at(time.June, 12, 9, 31), "26-0442"},
	{"L03", 194, 15, 201, 20, 21, 3200, at(time.June, 12, 9, 32), "26-0443"},
	{"L04", 175, 34, 189, 38, 44, 0, at(time.August, 14, 9, 30), "26-0718"},
	{"L05", 173, 30, 195, 35, 41, 0, at(time.August, 14, 9, 31), "26-0719"},
	{"L06", 172, 36, 181, 41, 47, 0, at(time.August, 14, 9, 32), "26-0720"},
	{"L07", 171, 31, 187, 37, 43, 0, at(time.August, 14, 9, 33), "26-0721"},
	{"L08", 174, 33, 182, 39, 45, 0, at(time.August, 14, 9, 34), "26-0722"},
	{delivery, 170, 85, 132, 44, 52, 0, at(time.August, 20, 9, 30), "26-0744"},
	{"L09", 166, 22, 240, 104, 92, 0, at(time.August, 31, 9, 30), "26-0790"},
	{"L10", 169, 24, 231, 98, 88, 0, at(time.August, 31, 9, 31), "26-0791"},
	{"D039", 172, 44, 179, 41, 47, 0, at(time.October, 13, 17, 0), "26-0955"},
	{"D041", 171, 468, 69, 41, 61, 0, at(time.October, 19, 9, 30), "26-0956"},
}

// sent is when samples went off, and what was asked for.
var sent = []struct {
	when  time.Time
	of    []record.Code
	tests string
}{
	{at(time.June, 3, 11, 0), []record.Code{"L01", "L02", "L03", seed}, table},
	{at(time.July, 31, 11, 0), []record.Code{"L07"}, "residues of the mite strips"},
	{at(time.August, 4, 11, 0), []record.Code{"L04", "L05", "L06", "L07", "L08"}, table},
	{at(time.August, 13, 11, 0), []record.Code{delivery}, table},
	{at(time.August, 22, 11, 0), []record.Code{"L09", "L10"}, table},
	{at(time.October, 13, 10, 0), []record.Code{"D039"}, table + ", express"},
	{at(time.October, 13, 10, 5), []record.Code{"D041"}, table},
}

const table = "water, HMF, diastase, conductivity, colour, yeast"

func laboratory(d *diary) {
	for _, s := range sent {
		d.at(s.when, clerk, &record.SampleSent{Of: s.of, Lab: outsideLab, Tests: s.tests})
	}
	for _, s := range sheets {
		d.at(s.back, clerk, s.fact())
	}
	seedResults(d)
	supplierSheet(d)
	houseReadings(d)
}

func (s sheet) fact() record.Fact {
	r := &record.ResultRead{Of: s.of, Lab: outsideLab, Sheet: s.number, Results: []record.Result{
		{Property: record.Water, Value: pctTenths(s.water)},
		{Property: record.HMF, Value: fig(s.hmf, 1, q.MgPerKg)},
		{Property: record.Diastase, Value: fig(s.diastase, 1, q.Schade)},
		{Property: record.Conductivity, Value: fig(s.conductivity, 2, q.MSPerCM)},
		{Property: record.Colour, Value: fig(s.colour, 0, q.MM)},
	}}
	switch {
	case s.of == "D039" || s.of == "D041": // yeast was not asked for again
		r.Drawn = dayOf(time.October, 13)
	case s.yeast == 0:
		r.Results = append(r.Results, underTen())
	default:
		r.Results = append(r.Results, record.Result{Property: record.Yeast, Value: fig(s.yeast, 0, q.PerGram)})
	}
	return r
}

func underTen() record.Result {
	return record.Result{Property: record.Yeast, Value: fig(10, 0, q.PerGram), Bound: record.Below}
}

// seedResults: last season's seed, read when the record began and again with the spring lots.
func seedResults(d *diary) {
	d.at(minutes(opening, 180), extracting, &record.ResultRead{Of: seed,
		Results: []record.Result{{Property: record.Water, Value: pctTenths(172)}}})
	d.at(at(time.June, 12, 9, 33), clerk, &record.ResultRead{Of: seed, Lab: outsideLab, Sheet: "26-0444",
		Results: []record.Result{underTen()}})
}

// supplierSheet is the laboratory sheet that came with the bought honey.
func supplierSheet(d *diary) {
	d.at(at(time.August, 12, 10, 5), clerk, &record.ResultRead{Of: delivery, Lab: "supplier's laboratory", Sheet: "OT-26-07 of 5 August",
		Results: []record.Result{{Property: record.Water, Value: pctTenths(170)},
			{Property: record.HMF, Value: fig(79, 1, q.MgPerKg)},
			{Property: record.Residue, Verdict: record.Clear, What: "residues"}}})
}

// houseReadings are the house's own readings of water: of most lots at the tank as
// it is drawn, of L03 in the cold store, on a drum of 14.5 °C and without a
// correction, so that it reads too dry.
func houseReadings(d *diary) {
	for _, l := range lots {
		t := minutes(l.drawn(), 8)
		r := houseWater(l.code, l.house)
		if l.code == "L03" {
			t = at(time.June, 5, 10, 0)
			r.HoneyTemp, r.SelfRights, r.Method = tenthsOfDeg(145), record.No, "no correction, read on a cold drum"
		}
		d.at(t, extracting, r)
	}
	d.at(at(time.August, 12, 12, 30), extracting, houseWater(delivery, 170))
	d.at(at(time.October, 13, 9, 15), packLead, houseWater("D039", 172))
	d.at(at(time.October, 13, 9, 30), packLead, houseWater("D041", 172))
}

func houseWater(of record.Code, tenths int64) *record.ResultRead {
	return &record.ResultRead{Of: of, Instrument: refractometer,
		Results: []record.Result{{Property: record.Water, Value: pctTenths(tenths)}}}
}
