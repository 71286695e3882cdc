package house

import (
	"combline/internal/answer"
	"combline/internal/record"
)

// A DayPlan is a plan that was agreed to.
type DayPlan struct {
	record.DayPlanned
	Seq    uint64
	When   record.When
	Person record.Code
}

// DayPlanned is the plan that was agreed to last.
func (s *State) DayPlanned() (p DayPlan, ok bool) {
	if len(s.dayPlans) == 0 {
		return p, false
	}
	return s.dayPlans[len(s.dayPlans)-1], true
}

// A Tick is a job of a day sheet that was ticked off.
type Tick struct {
	record.JobTicked
	Seq    uint64
	When   record.When
	Person record.Code
}

// Ticks lists what was ticked off on the sheet of a day, in order.
func (s *State) Ticks(day record.Day) (all []Tick) {
	for _, t := range s.ticks {
		if t.Day == day {
			all = append(all, t)
		}
	}
	return all
}

// dayPlan refuses a step whose hour is none.
func (c *check) dayPlan(f *record.DayPlanned) {
	for _, x := range f.Steps {
		if _, ok := clockOf(x.Clock); !ok {
			c.refuse("refused.clock", "next.type-again", inField("clock", answer.Args{"typed": x.Clock}))
			return
		}
	}
}
