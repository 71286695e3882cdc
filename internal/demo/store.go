package demo

import (
	"time"

	"combline/internal/record"
)

func placed(at record.Code, what ...record.Code) record.Fact {
	return &record.Placed{What: what, Place: at}
}

// A move is drums brought from one place to another. Where each stood before is
// the lot's store, or the move before.
type move struct {
	when time.Time
	by   record.Code
	what []record.Code
	to   record.Code
	seen record.Truth // yes: they were only read there
}

var moves = []move{
	{at(time.September, 9, 11, 0), extracting, drums(55, 61), holdBay, 0},
	{at(time.September, 15, 14, 0), "packer-1", drums(1, 1, 8, 8, 15, 16), warmingRoom, 0},
	{at(time.September, 17, 14, 0), "packer-1", drums(20, 24, 36, 38), warmingRoom, 0},
	{at(time.October, 9, 15, 0), "packer-2", drums(40, 40), barnA, record.Yes},
	{at(time.October, 10, 8, 0), "packer-1", drums(39, 39), warmingRoom, 0},
	{at(time.October, 11, 18, 0), "packer-2", drums(41, 41), bath, 0},
	{at(time.October, 13, 8, 30), packLead, drums(41, 41), holdBay, 0},
	{at(time.October, 13, 15, 0), "packer-2", drums(40, 40), barnA, record.Yes},
	{at(time.October, 14, 8, 0), "packer-1", drums(40, 40), warmingRoom, 0},
	{at(time.October, 25, 10, 0), "packer-1", []record.Code{"B001"}, dock, 0},
	{at(time.October, 26, 7, 0), "packer-1", drums(41, 41), dock, 0},
	{at(time.October, 29, 14, 0), "packer-1", drums(65, 66, 68, 71), dock, 0},
	{at(time.October, 30, 14, 30), "packer-1", drums(28, 34, 101, 105), warmingRoom, 0},
	{at(time.November, 3, 8, 0), "packer-1", drums(62, 64), warmingRoom, 0},
}

func storeMoves(d *diary) {
	for _, m := range moves {
		d.at(m.when, m.by, &record.Placed{What: m.what, Place: m.to, Seen: m.seen})
	}
}

// warmings are the times at which the warming room was on, at 45 °C; its logger ran true.
var warmings = []struct{ from, to time.Time }{
	{at(time.September, 15, 14, 10), at(time.September, 21, 5, 20)},
	{at(time.October, 10, 8, 10), at(time.October, 16, 5, 50)},
	{at(time.October, 30, 14, 40), at(time.November, 5, 5, 50)},
}

func temperatures(d *diary) {
	for _, w := range warmings {
		d.at(w.from, packLead, &record.HeatSet{Of: warmingRoom, Temp: degrees(45), Note: "heater and fan on"})
		d.at(w.to, packLead, &record.TemperatureRead{Of: warmingRoom, Temp: tenthsOfDeg(450), Instrument: roomLogger, Depth: "air"},
			&record.HeatSet{Of: warmingRoom, Temp: degrees(15), Note: "heater off"})
	}
	d.at(at(time.June, 5, 9, 50), extracting, &record.TemperatureRead{Of: coldStore, Temp: tenthsOfDeg(145), Instrument: probe1, Depth: "air"})
	softSetTank(d)
	d.at(at(time.October, 11, 18, 0), "packer-2", &record.HeatSet{Of: bath, Temp: degrees(45)})
	d.at(at(time.October, 13, 8, 0), packLead,
		&record.TemperatureRead{Of: "D041", Temp: degrees(62), Instrument: probe1, Depth: "core"})
	d.at(at(time.October, 13, 8, 10), packLead,
		&record.TemperatureRead{Of: "D039", Temp: tenthsOfDeg(450), Instrument: drumLogger, Depth: "core"},
		&record.TemperatureRead{Of: warmingRoom, Temp: tenthsOfDeg(450), Instrument: roomLogger, Depth: "air"})
}

// softSetTank is the course of T4 from tipping to jarring.
func softSetTank(d *diary) {
	d.at(at(time.September, 19, 8, 45), packLead, &record.HeatSet{Of: "T4", Temp: degrees(24)})
	d.at(at(time.September, 20, 8, 50), packLead,
		&record.TemperatureRead{Of: "T4", Temp: tenthsOfDeg(240), Instrument: probe1, Depth: "core"})
	d.at(at(time.September, 20, 9, 0), packLead, &record.Seeded{Vessel: "T4", Seed: seed, All: record.Yes, Temp: degrees(24)})
	d.at(at(time.September, 20, 9, 45), packLead, &record.HeatSet{Of: "T4", Temp: degrees(13)},
		&record.Cooled{What: "T4", Temp: degrees(13), Stir: record.Yes})
	d.at(at(time.September, 28, 5, 40), packLead,
		&record.TemperatureRead{Of: "T4", Temp: tenthsOfDeg(135), Instrument: probe1, Depth: "core"},
		&record.HeatSet{Of: "T4", Temp: degrees(24)})
	d.at(at(time.September, 28, 9, 45), packLead,
		&record.TemperatureRead{Of: "T4", Temp: tenthsOfDeg(240), Instrument: probe1, Depth: "core"})
}
