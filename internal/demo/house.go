package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// People go by what they do; nobody here has a name.
const (
	owner      record.Code = "owner"
	foreman    record.Code = "foreman"
	extracting record.Code = "extracting"
	packLead   record.Code = "packing"
	clerk      record.Code = "office"
)

const (
	officePC record.Code = "office-pc"
	tablet   record.Code = "tablet"
)

var people = []record.PersonNamed{
	{Person: owner, Roles: "owner-manager", Language: "en"},
	{Person: foreman, Roles: "yard foreman", Language: "en"},
	{Person: extracting, Roles: "extracting lead", Language: "en"},
	{Person: "hand-1", Roles: "seasonal hand", Language: "en"},
	{Person: "hand-2", Roles: "seasonal hand", Language: "es"},
	{Person: "hand-3", Roles: "seasonal hand", Language: "pl"},
	{Person: "hand-4", Roles: "seasonal hand", Language: "pl"},
	{Person: packLead, Roles: "packing lead", Language: "en"},
	{Person: "packer-1", Roles: "packer", Language: "en"},
	{Person: "packer-2", Roles: "packer", Language: "es"},
	{Person: "packer-3", Roles: "packer", Language: "pl"},
	{Person: clerk, Roles: "office", Language: "en"},
}

// Countries of the demo: its own and the one that it buys from.
const (
	velmark = "VM"
	ostrana = "OS"
)

// opening is the day on which the record begins.
var opening = at(time.March, 20, 9, 0)

func setUpHouse(d *diary) {
	facts := []record.Fact{&record.HouseNamed{Name: "Thornmere Honey House", Country: velmark, Rules: "eu",
		Currency: "cr", Language: "en", Units: "metric"}}
	for i := range people {
		p := people[i]
		facts = append(facts, &p)
	}
	facts = append(facts, &record.DeviceNamed{Device: officePC, What: "PC in the office"},
		&record.DeviceNamed{Device: tablet, What: "tablet on the floor"})
	for _, x := range [][2]string{{"house.address", "3 Mill Lane, Thornmere"}, {"country.name.VM", "Velmark"}, {"country.name.OS", "Ostrana"}} {
		facts = append(facts, &record.SettingChanged{Setting: x[0], Text: x[1], Reason: "for papers and labels"})
	}
	facts = append(facts, &record.SettingChanged{Setting: "line.rates", Text: "uncapper 480; extractor A 257; extractor B 257", Reason: "8 frames a minute; 60 frames in 14 minutes"})
	d.at(opening, owner, facts...)
}

// Places where honey, boxes and goods stand.
const (
	hotRoom     record.Code = "hot room"
	warmingRoom record.Code = "warming room"
	bath        record.Code = "liquefying bath"
	coldStore   record.Code = "cold store"
	barnA       record.Code = "barn A"
	holdBay     record.Code = "barn A hold bay"
	dock        record.Code = "dock"
	packRoom    record.Code = "pack room"
	shop        record.Code = "shop"
)

func setUpPlaces(d *diary) {
	places := []record.PlaceNamed{
		{Place: hotRoom, For: record.HotRoom, Capacity: 200, SetTemp: degrees(33)},
		{Place: warmingRoom, For: record.WarmingRoom, Capacity: 12},
		{Place: bath, For: record.Bath, Capacity: 1, SetTemp: degrees(45)},
		{Place: coldStore, For: record.ColdStore},
		{Place: barnA, For: record.Store},
		{Place: holdBay, For: record.HoldBay},
		{Place: dock, For: record.Dock},
		{Place: packRoom, For: record.PackRoom},
		{Place: shop, For: record.Store},
	}
	var facts []record.Fact
	for i := range places {
		facts = append(facts, &places[i])
	}
	d.at(minutes(opening, 10), owner, facts...)
}

const (
	uncapper      record.Code = "uncapper"
	extractorA    record.Code = "extractor A"
	extractorB    record.Code = "extractor B"
	spinner       record.Code = "cappings spinner"
	melter        record.Code = "wax melter"
	sump          record.Code = "sump"
	sumpPump      record.Code = "sump pump"
	sieve15       record.Code = "sieve 1.5"
	sieve06       record.Code = "sieve 0.6"
	sieve04       record.Code = "sieve 0.4"
	sieve02       record.Code = "sieve 0.2"
	drumPump      record.Code = "drum pump"
	jarFiller     record.Code = "jar filler"
	portionFiller record.Code = "portion filler"
)

// combLine is what combs and raw honey touch, straining what honey touches on its
// way to the settling tanks.
var (
	combLine  = []record.Code{uncapper, extractorA, extractorB}
	straining = []record.Code{sump, sumpPump, sieve15, sieve06, sieve04}
)

const (
	platformScale record.Code = "platform scale"
	benchScale    record.Code = "bench scale"
	portionScale  record.Code = "portion scale"
	refractometer record.Code = "refractometer"
	probe1        record.Code = "probe 1"
	roomLogger    record.Code = "logger 1"
	drumLogger    record.Code = "logger 2"
)

func setUpMachines(d *diary) {
	machines := []record.MachineNamed{
		{Machine: uncapper, What: "uncapper, twin blade"},
		{Machine: extractorA, What: "extractor, 60 frames"},
		{Machine: extractorB, What: "extractor, 60 frames"},
		{Machine: spinner, What: "cappings spinner"},
		{Machine: melter, What: "wax melter"},
		{Machine: sump, What: "heated sump, 250 kg"},
		{Machine: sumpPump, What: "pump on the sump's float"},
		{Machine: sieve15, What: "sieve 1.5 mm"},
		{Machine: sieve06, What: "sieve 0.6 mm"},
		{Machine: sieve04, What: "sieve 0.4 mm"},
		{Machine: sieve02, What: "sieve 0.2 mm"},
		{Machine: drumPump, What: "pump from drums to bulk tanks"},
		{Machine: jarFiller, What: "piston filler", Rate: pieces(1100), Nozzles: 4},
		{Machine: portionFiller, What: "portion filler", Rate: pieces(2400)},
	}
	instruments := []record.InstrumentNamed{
		{Instrument: platformScale, What: "scale", Division: fig(2, 1, q.KgUnit), Capacity: fig(600, 0, q.KgUnit)},
		{Instrument: benchScale, What: "scale", Division: fig(5, 1, q.G), Capacity: fig(6, 0, q.KgUnit)},
		{Instrument: portionScale, What: "scale", Division: fig(1, 2, q.G), Capacity: fig(200, 0, q.G)},
		{Instrument: "checkweigher", What: "checkweigher", Division: fig(1, 0, q.G)},
		{Instrument: refractometer, What: "handheld refractometer", SelfRights: record.No},
		{Instrument: "colour grader", What: "colour grader"},
		{Instrument: probe1, What: "probe thermometer"},
		{Instrument: "probe 2", What: "probe thermometer"},
		{Instrument: roomLogger, What: "temperature logger"},
		{Instrument: drumLogger, What: "temperature logger"},
	}
	var facts []record.Fact
	for i := range machines {
		facts = append(facts, &machines[i])
	}
	for i := range instruments {
		facts = append(facts, &instruments[i])
	}
	d.at(minutes(opening, 30), owner, facts...)
}
