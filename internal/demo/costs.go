package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// priced is a price or a rate of the house.
type priced struct {
	name  string
	value q.Figure
	text  string
}

// priceList is what the house paid this season, how it reckons, and how long its biscuits
// keep. What is not in it,
// such as the price of the honey bought in, is not known.
var priceList = []priced{
	{"cost.own", fig(480, 2, q.Money), ""},
	{"cost.material.JAR340", fig(42, 2, q.Money), ""},
	{"cost.broken.JAR340", fig(5, 1, q.Pct), ""},
	{"cost.material.LID", fig(8, 2, q.Money), ""},
	{"cost.material.LABEL-VM", fig(7, 2, q.Money), ""},
	{"cost.material.CASE12", fig(84, 2, q.Money), ""},
	{"cost.other.summer 340", fig(2, 2, q.Money), "tamper strip"},
	{"cost.wage", fig(19, 0, q.Money), ""},
	{"cost.warm", fig(9, 0, q.KWh), ""},
	{"warm.price", fig(28, 2, q.Money), ""},
	{"cost.lab", fig(140, 0, q.Money), ""},
	{"life.ginger biscuits 125", fig(180, 0, q.Day), ""},
}

// setUpCosts: the office writes the season's prices down before it begins.
func setUpCosts(d *diary) {
	var facts []record.Fact
	for _, p := range priceList {
		facts = append(facts, &record.SettingChanged{Setting: p.name, Value: p.value, Text: p.text, Reason: "of the season"})
	}
	d.at(minutes(opening, 260), owner, facts...)
}

// hoursWorked: of R2 somebody wrote down the hours of the line, without the stop for the
// broken glass.
func hoursWorked(d *diary) {
	d.at(at(time.September, 21, 13, 40), packLead, &record.HoursWorked{For: "R2", People: 4, Hours: fig(574, 2, q.Hour), SetUp: fig(2, 0, q.Hour)})
}
