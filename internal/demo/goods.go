package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

const (
	larkspur  record.Code = "Larkspur"
	saltmarsh record.Code = "Saltmarsh"
	cormorant record.Code = "Cormorant"
	bakery    record.Code = "Penny Lantern"
	eastquay  record.Code = "Eastquay"
	harrow    record.Code = "Harrow & Vale"
	brindle   record.Code = "Brindle"
	ownShop   record.Code = "own shop"
	callers   record.Code = "callers" // who buys in the shop, not known by name
)

const (
	summerJar  record.Code = "summer 340"
	softSet    record.Code = "soft-set 454"
	spoon      record.Code = "spoon 7"
	sachet     record.Code = "sachet 12"
	cooking    record.Code = "cooking drum"
	forestDrum record.Code = "forest drum"
	blendJar   record.Code = "blend 340"
	forestJar  record.Code = "forest 250"
	spread     record.Code = "plum spread 220"
	biscuits   record.Code = "ginger biscuits 125"
	cake       record.Code = "honey cake 350"
)

func setUpGoods(d *diary) {
	customers := []record.CustomerNamed{ // addresses and numbers are invented; +999 is no country's
		{Customer: larkspur, Name: "Larkspur Grocers", Contact: "4 Tithe Row, Larkspur; +999 20 114 400", Country: velmark},
		{Customer: saltmarsh, Name: "Saltmarsh Farm Shops", Contact: "Saltmarsh Farm, Quay Lane, Saltmarsh; +999 20 181 818, recalls@saltmarsh.example", Country: velmark},
		{Customer: cormorant, Name: "Cormorant Hotels", Contact: "1 Harbour Parade, Cormorant; +999 20 132 200", Country: velmark},
		{Customer: bakery, Name: "Penny Lantern Bakery", Contact: "12 Lantern Yard, Thornmere; +999 20 155 010", Country: velmark},
		{Customer: eastquay, Name: "Eastquay Importers", Contact: "Shed 9, East Quay; +999 31 160 606", Country: velmark},
		{Customer: harrow, Name: "Harrow & Vale Stores", Contact: "60 Market Street, Harrow; +999 20 190 909", Country: velmark},
		{Customer: brindle, Name: "Brindle Co-op", Contact: "2 Weir Street, Brindle; +999 20 173 300", Country: velmark},
		{Customer: ownShop, Name: "Own shop"},
		{Customer: callers, Name: "callers at the shop"},
	}
	ours := []record.CountryShare{{Country: velmark, Percent: pct(100)}}
	products := []record.ProductNamed{
		{Product: summerJar, What: record.Jar, Name: "Summer honey, Velmark only", Label: label(340), UnitsCase: 12, Origin: ours},
		{Product: softSet, What: record.SoftSetJar, Name: "Soft-set spring honey", Label: label(454), UnitsCase: 12,
			Promises: []record.Promise{{Property: record.Water, Bound: record.Below, Value: pctTenths(180)}}},
		{Product: spoon, What: record.Portion, Name: "Summer honey, spoons", Label: label(7), UnitsCase: 100},
		{Product: sachet, What: record.Portion, Name: "Summer honey, sachets", Label: label(12), UnitsCase: 500},
		{Product: cooking, What: record.BulkDrum, Name: "Cooking-grade honey", Label: kg(fullNet, q.Typed)},
		{Product: forestDrum, What: record.BulkDrum, Name: "Forest honey in drums", Label: kg(fullNet, q.Typed)},
		{Product: blendJar, What: record.Jar, Name: "Blend of honeys", Label: label(340), UnitsCase: 12,
			Origin: []record.CountryShare{{Country: velmark, Percent: pct(60)}, {Country: ostrana, Percent: pct(40)}}},
		{Product: forestJar, What: record.Jar, Name: "Forest honey", Label: label(250), UnitsCase: 12},
		{Product: spread, What: record.SpreadJar, Name: "Plum and honey spread", Label: label(220)},
		{Product: biscuits, What: record.Bake, Name: "Ginger biscuits with honey", Label: label(125), Allergens: "wheat, milk, egg"},
		{Product: cake, What: record.Bake, Name: "Honey cake", Label: label(350), Allergens: "wheat, egg"},
	}
	var facts []record.Fact
	for i := range customers {
		facts = append(facts, &customers[i])
	}
	facts = append(facts, &record.SupplierNamed{Supplier: grower, Name: "Tallow Reach Growers", Country: ostrana})
	for i := range products {
		facts = append(facts, &products[i])
	}
	d.at(minutes(opening, 200), clerk, facts...)
	d.at(minutes(opening, 210), clerk, codes()...)
}

// codes are what the house's labels and codes need to know. The numbers begin with 952,
// which GS1 keeps for examples (memory).
func codes() (facts []record.Fact) {
	for _, x := range [][2]string{{"codes.domain", "https://thornmere.example"}, {"codes.company", "9521234"}, {"codes.location", "9521234000006"},
		{"codes.item." + string(summerJar), "9521234000013"}, {"codes.item." + string(softSet), "9521234000020"},
		{"codes.item." + string(blendJar), "9521234000037"}, {"codes.item." + string(forestJar), "9521234000044"},
		{"pack.surface." + string(summerJar), "110"}, {"pack.surface." + string(softSet), "135"},
		{"pack.surface." + string(blendJar), "110"}, {"pack.surface." + string(forestJar), "90"},
		{"honey.plant.forest", "honeydew"}} {
		facts = append(facts, &record.SettingChanged{Setting: x[0], Text: x[1], Reason: "for labels and codes"})
	}
	return facts
}

// label is the net quantity that a label states.
func label(grams int64) record.Weight { return jarGrams(grams, 0, q.Typed) }

// An order as it was taken.
type order struct {
	code     record.Code
	customer record.Code
	lines    []record.OrderLine
	due      time.Time
	taken    time.Time
}

var orderBook = []order{
	{"O-01", larkspur, []record.OrderLine{{Product: summerJar, Units: 6000}}, at(time.September, 28, 0, 0), at(time.August, 12, 0, 0)},
	{"O-02", saltmarsh, []record.OrderLine{{Product: softSet, Units: 2400}}, at(time.October, 5, 0, 0), at(time.August, 20, 0, 0)},
	{"O-03a", cormorant, []record.OrderLine{{Product: spoon, Units: 40000}}, at(time.October, 19, 0, 0), at(time.August, 24, 0, 0)},
	{"O-03b", cormorant, []record.OrderLine{{Product: sachet, Units: 23000}}, at(time.October, 19, 0, 0), at(time.August, 24, 0, 0)},
	{"O-06", harrow, []record.OrderLine{{Product: blendJar, Units: 9600}}, at(time.November, 9, 0, 0), at(time.August, 28, 0, 0)},
	{"O-07", brindle, []record.OrderLine{{Product: forestJar, Units: 3000}}, at(time.November, 12, 0, 0), at(time.August, 31, 0, 0)},
	{"O-08", ownShop, []record.OrderLine{{Product: spread, Units: 600}, {Product: biscuits, Units: 800}, {Product: cake, Units: 200}},
		at(time.November, 20, 0, 0), at(time.September, 1, 0, 0)},
	{"O-05", eastquay, []record.OrderLine{{Product: forestDrum, Units: 6, Drums: drums(65, 66, 68, 71)}},
		at(time.October, 30, 0, 0), at(time.September, 15, 0, 0)},
	{"O-04", bakery, []record.OrderLine{{Product: cooking, Units: 2, Drums: []record.Code{"D041", "B001"}}},
		at(time.October, 26, 0, 0), at(time.October, 20, 0, 0)},
}

func orders(d *diary) {
	for _, o := range orderBook { // of an order only the day is kept; the office writes first thing
		d.late(record.OnDay(o.taken), minutes(o.taken, 7*60), clerk,
			&record.OrderTaken{Order: o.code, Customer: o.customer, Lines: o.lines, Due: record.DayOf(o.due)})
	}
}
