package demo

import (
	q "combline/internal/quantity"
	"combline/internal/record"
)

// setUpHours are the house's hours and what it plans with: packing lead and three
// packers, who all stand at the line, and the extracting lead to carry; set-up and clean-down of two hours together; the
// portion filler's rate for sachets; the one tank that is cooled.
func setUpHours(d *diary) {
	var facts []record.Fact
	text := func(name, value string) {
		facts = append(facts, &record.SettingChanged{Setting: name, Text: value, Reason: "for the plan of the days"})
	}
	figure := func(name string, f q.Figure) {
		facts = append(facts, &record.SettingChanged{Setting: name, Value: f, Reason: "for the plan of the days"})
	}
	text("hours.week", "1-5 05:30-17:30, 6 06:00-14:00, 7 08:00-10:00")
	figure("plan.hands", pieces(5))
	figure("plan.crew", pieces(4))
	figure("plan.warm", fig(84, 0, q.Hour))
	figure("plan.setup", fig(60, 0, q.Minute))
	figure("plan.clean", fig(60, 0, q.Minute))
	figure("plan.rate."+string(sachet), pieces(3000))
	text("plan.tanks", "T1, T2, T3, T4, H1")
	text("plan.cooled", "T4")
	d.at(minutes(opening, 280), owner, facts...)
}
