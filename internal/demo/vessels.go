package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// Vessels beside the drums. Skim and melter honey of all lots is collected in one
// tote; the remainders of runs stand in pails that bear the run's mark (some of
// them a set of pails under one mark). The portion filler is fed from its hopper.
const (
	collecting record.Code = "C1"
	hopper     record.Code = "H1"
	skimPail   record.Code = "PAIL-C1"
	seedPail   record.Code = "PAIL-S25"
	pailR2     record.Code = "PAIL-R2"
	pailR3     record.Code = "PAIL-R3"
	pailTipped record.Code = "PAIL-R3T"
)

const steels = 73 // S-001 to S-073

func setUpVessels(d *diary) {
	tanks := []record.VesselNamed{
		{Vessel: "S1", Shape: record.Tank, Capacity: kg(1200*kilo, q.Typed), Height: fig(11, 1, q.Metre)},
		{Vessel: "S2", Shape: record.Tank, Capacity: kg(1200*kilo, q.Typed), Height: fig(11, 1, q.Metre)},
		{Vessel: collecting, Shape: record.Tote, Capacity: kg(400*kilo, q.Typed)},
		{Vessel: hopper, Shape: record.Tank, Capacity: kg(300*kilo, q.Typed)},
	}
	for _, c := range numbers("T%d", 1, 4) {
		tanks = append(tanks, record.VesselNamed{Vessel: c, Shape: record.Tank, Capacity: kg(1500*kilo, q.Typed)})
	}
	for _, c := range []record.Code{skimPail, seedPail, pailR2, pailR3, pailTipped} {
		tanks = append(tanks, record.VesselNamed{Vessel: c, Shape: record.Pail, Place: packRoom})
	}
	var facts []record.Fact
	for i := range tanks {
		facts = append(facts, &tanks[i])
	}
	for n := 1; n <= steels; n++ {
		facts = append(facts, drumSteel(number("S-%03d", n), ""))
	}
	d.at(minutes(opening, 60), owner, facts...)
	d.at(minutes(opening, 90), extracting, &record.StockOpened{Filling: seed, Steel: seedPail, Honey: "spring",
		Country: velmark, Mass: weighed(60 * kilo), Purpose: record.SeedHoney, Note: "soft-set seed from last season"},
		placed(coldStore, seedPail))
}

const seed record.Code = "S25"

// drumSteel names a lined steel drum of the usual size: common practice, no source.
func drumSteel(c record.Code, owner string) record.Fact {
	return &record.VesselNamed{Vessel: c, Shape: record.Drum, Tare: weighed(tare),
		Diameter: fig(57, 2, q.Metre), Height: fig(85, 2, q.Metre), Owner: owner}
}

// Cooking-grade honey of the season: one drum on 22 August, the rest in a pail.
func cookingGrade(d *diary) {
	t := at(time.August, 22, 9, 0)
	d.at(t, extracting,
		&record.DrumFilled{Filling: "B001", Steel: number("S-%03d", steels), From: collecting,
			Gross: weighed(290*kilo + tare), Tare: weighed(tare), Purpose: record.CookingGrade, Scale: platformScale})
	d.at(minutes(t, 15), extracting,
		&record.DrumFilled{Steel: skimPail, From: collecting, Net: weighed(10_200), Purpose: record.CookingGrade, Scale: platformScale})
	d.at(minutes(t, 30), extracting, placed(barnA, "B001", skimPail),
		&record.Cleaned{What: []record.Code{collecting}, Clean: record.WashDown, Ends: washEnds()})
}
