// Package demo is an invented honey house through the season of 2026, written down
// as its people would have written it: who typed what on which device, when it
// happened and when it was typed. Places, firms, countries and figures are made up.
//
// Nothing here is worked out by the program: every fact holds what somebody saw,
// weighed or read. What follows from them (balances, shares, holds that reach a
// drum, charges below their label) is for the program to find.
package demo

import (
	"slices"
	"time"

	"combline/internal/record"
)

// A Step is one batch of facts as somebody wrote them down.
type Step struct {
	When      record.When // when it happened
	Written   time.Time   // when it was typed: a few minutes later, or much later where somebody forgot
	Person    record.Code
	Device    record.Code
	Facts     []record.Fact
	Confirmed []string // keys of the questions that the person answered yes to
}

// Season is the whole season in the order of writing. Every call makes new facts.
func Season() []Step {
	d := &diary{}
	for _, write := range []func(*diary){
		setUpHouse, setUpPlaces, setUpMachines, setUpVessels, setUpSites, setUpGoods, setUpMaterials, setUpCosts, setUpHours,
		yardWork, beforeTheMainPull, harvest, washDowns, buyIn, cookingGrade, laboratory,
		storeMoves, temperatures, orders, materials, packing, kitchen, dispatches,
		treatmentClash, diseaseEnquiry, overheatedDrum, driftingNozzle, complaint, morningChecks, hoursWorked,
	} {
		write(d)
	}
	slices.SortStableFunc(d.steps, func(a, b Step) int { return a.Written.Compare(b.Written) })
	return d.steps
}

// A diary collects the steps theme by theme; [Season] puts them in order.
type diary struct{ steps []Step }

// typing is how long it takes until something that was just done stands in the record.
const typing = 2 * time.Minute

// at writes facts that happened at t, to the minute.
func (d *diary) at(t time.Time, by record.Code, facts ...record.Fact) {
	d.late(record.At(t), t.Add(typing), by, facts...)
}

// on writes facts of which only the day is known, typed at the end of that day.
func (d *diary) on(t time.Time, by record.Code, facts ...record.Fact) {
	y, m, n := t.Date()
	d.late(record.OnDay(t), at(m, n, 17, 40).AddDate(y-year, 0, 0), by, facts...)
}

// late writes facts that were typed at another time than they happened.
func (d *diary) late(when record.When, written time.Time, by record.Code, facts ...record.Fact) {
	d.steps = append(d.steps, Step{When: when, Written: written, Person: by, Device: deviceOf(by), Facts: facts})
}

// confirm says that the writer of the last step answered yes when the house asked
// these questions.
func (d *diary) confirm(keys ...string) {
	last := &d.steps[len(d.steps)-1]
	last.Confirmed = append(last.Confirmed, keys...)
}

// deviceOf is where a person types: the office has a PC, the floor a tablet.
func deviceOf(by record.Code) record.Code {
	if by == owner || by == clerk {
		return officePC
	}
	return tablet
}
