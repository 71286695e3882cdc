package demo

import (
	"time"

	"combline/internal/record"
)

// The delivery of bought-in honey bears the supplier's own lot number.
const (
	delivery record.Code = "OT-26-07"
	grower   record.Code = "Tallow Reach"
)

// buyIn: ten drums of honey from abroad, in the supplier's steel, with their papers.
func buyIn(d *diary) {
	t := at(time.August, 12, 10, 0)
	d.at(t, clerk, &record.HoneyBought{Delivery: delivery, Supplier: grower, Owner: "Tallow Reach Growers until the dock",
		Country: ostrana, District: "Upper Lissen", TheirLot: "OT-26-07", Honey: "summer", FarmerDay: dayOf(time.August, 2),
		Papers: []record.Bought{{Paper: "harvest statement", Day: dayOf(time.August, 2)},
			{Paper: "lab sheet", Day: dayOf(time.August, 5)}, {Paper: "delivery note", Day: dayOf(time.August, 12)}}})
	codes := drums(101, 110)
	for i, c := range codes {
		t = minutes(t, 10)
		steel := number("%d", 401+i)
		d.at(t, extracting, drumSteel(steel, "Tallow Reach Growers"),
			&record.DrumReceived{Filling: c, Steel: steel, Delivery: delivery, Gross: weighed(fullNet + drumSample + tare),
				Tare: weighed(tare), Scale: platformScale},
			&record.Sampled{From: c, Mass: record.Grams(drumSample), Of: c, Kept: record.Yes})
	}
	d.at(minutes(t, 10), extracting, placed(dock, codes...))
	d.at(at(time.August, 13, 8, 0), "packer-1", placed(barnA, codes...))
}
