package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// Ingredients of the spread and the bakes, each bought in one lot of what was used.
var ingredients = []struct {
	code record.Code
	what string
	mass q.Gram
}{
	{"PLUM", "plums", 90 * kilo}, {"PECTIN", "pectin", 1_200}, {"LEMON", "lemon juice", 3 * kilo},
	{"FLOUR", "wheat flour", 90 * kilo}, {"SUGAR", "sugar", 14 * kilo}, {"BUTTER", "butter", 22 * kilo},
	{"EGG", "egg", 18 * kilo}, {"GINGER", "ginger", 1 * kilo}, {"SODA", "baking soda", 600},
	{"OIL", "oil", 9 * kilo}, {"SPICE", "spice", 600}, {"RAISING", "raising agent", 400},
}

// A bake is one batch of a product with honey in it. The honey is what was left of R2.
type bake struct {
	mark    record.Code
	product record.Code
	made    time.Time
	honey   q.Gram
	parts   []ingredient
	out     q.Gram
	units   int64
	packed  q.Gram
}

type ingredient struct {
	of   record.Code
	mass q.Gram
}

var bakes = []bake{
	{"SP-01", spread, at(time.November, 11, 14, 0), 60 * kilo,
		[]ingredient{{"PLUM", 90 * kilo}, {"PECTIN", 1_200}, {"LEMON", 3 * kilo}}, 134 * kilo, 600, 132_600},
	{"GB-01", biscuits, at(time.November, 12, 14, 0), 18 * kilo,
		[]ingredient{{"FLOUR", 60 * kilo}, {"SUGAR", 8 * kilo}, {"BUTTER", 22 * kilo}, {"EGG", 6 * kilo}, {"GINGER", 1 * kilo}, {"SODA", 600}},
		104 * kilo, 800, 102_400},
	{"HC-01", cake, at(time.November, 17, 14, 0), 24 * kilo,
		[]ingredient{{"FLOUR", 30 * kilo}, {"EGG", 12 * kilo}, {"OIL", 9 * kilo}, {"SUGAR", 6 * kilo}, {"SPICE", 600}, {"RAISING", 400}},
		73 * kilo, 200, 72 * kilo},
}

func kitchen(d *diary) {
	for i, g := range ingredients {
		d.at(minutes(at(time.November, 9, 9, 0), i), clerk, boughtIn(lotOfStuff(g.code, 1), g.code, mass(g.mass)))
	}
	for _, b := range bakes {
		inputs := []record.Input{{From: pailR2, Mass: weighed(b.honey)}}
		for _, p := range b.parts {
			inputs = append(inputs, record.Input{From: lotOfStuff(p.of, 1), Mass: weighed(p.mass)})
		}
		d.at(b.made, "packer-3", &record.BatchMade{Batch: b.mark, Product: b.product, Inputs: inputs,
			Out: weighed(b.out), Units: b.units, Packed: weighed(b.packed)})
	}
}
