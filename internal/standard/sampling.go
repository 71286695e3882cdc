package standard

import "fmt"

// Method is the way of sampling a batch for short jars.
type Method uint8

const (
	Double      Method = iota // two stages, nothing opened (eu, uk, de)
	Single                    // one stage, nothing opened (uk, us, oiml)
	Destructive               // jars opened (eu, uk, de)
	Whole                     // every jar of a small batch (uk)
)

var methodNames = [...]string{"double", "single", "destructive", "whole"}

func (m Method) String() string {
	if int(m) >= len(methodNames) {
		return "unknown"
	}
	return methodNames[m]
}

// A Stage is one sample of a plan. Between Accept and Reject a next one is taken.
type Stage struct {
	N          int // jars in this sample
	Cumulative int // with those before
	Accept     int // accept with at most so many short jars in all
	Reject     int // reject with at least so many
}

// A Plan tells how many jars to weigh and what to make of the short ones.
type Plan struct {
	Method  Method
	Batch   int
	From    int // batches from
	To      int // batches to; 0: open
	First   Stage
	Second  Stage // N is 0 when there is none
	Barring int   // jars allowed beyond the second bound; all plans here: none
	Cite    Cite
}

var doublePlans = [...]Plan{
	{Double, 0, 100, 500, Stage{30, 30, 1, 3}, Stage{30, 60, 4, 5}, 0, Cite{EUContents, "Annex II 2.2.1", Read}},
	{Double, 0, 501, 3200, Stage{50, 50, 2, 5}, Stage{50, 100, 6, 7}, 0, Cite{EUContents, "Annex II 2.2.1", Read}},
	{Double, 0, 3201, 0, Stage{80, 80, 3, 7}, Stage{80, 160, 8, 9}, 0, Cite{EUContents, "Annex II 2.2.1", Read}},
}

var ukSinglePlans = [...]Plan{
	{Single, 0, 100, 500, Stage{50, 50, 3, 4}, Stage{}, 0, Cite{UKContents, "Sch. 2 para 3.5", Read}},
	{Single, 0, 501, 3200, Stage{80, 80, 5, 6}, Stage{}, 0, Cite{UKContents, "Sch. 2 para 3.5", Read}},
	{Single, 0, 3201, 0, Stage{125, 125, 7, 8}, Stage{}, 0, Cite{UKContents, "Sch. 2 para 3.5", Read}},
}

// The table of the 2016 edition of R 87 was not obtained; this is 2004's.
var oimlPlans = [...]Plan{
	{Single, 0, 100, 500, Stage{50, 50, 3, 4}, Stage{}, 0, Cite{OIMLContents, "table 1", Memory}},
	{Single, 0, 501, 3200, Stage{80, 80, 5, 6}, Stage{}, 0, Cite{OIMLContents, "table 1", Memory}},
	{Single, 0, 3201, 0, Stage{125, 125, 7, 8}, Stage{}, 0, Cite{OIMLContents, "table 1", Memory}},
}

var destructivePlans = [...]Plan{
	{Destructive, 0, 100, 0, Stage{20, 20, 1, 2}, Stage{}, 0, Cite{EUContents, "Annex II 2.2.2", Read}},
}

// PlanFor gives the plan for short jars in a batch. A batch is jars of one
// label, type, run and place: at the line's end the most that an hour yields,
// elsewhere at most 10,000 (Directive 76/211/EEC Annex II 2.1).
func PlanFor(r Rules, m Method, batch int) (Plan, error) {
	if batch < 1 {
		return Plan{}, fmt.Errorf("batch of %d jars, want 1 or more: %w", batch, ErrOutOfRange)
	}
	switch {
	case r == US && m == Single:
		return categoryA(batch), nil
	case r == UK && batch < 100 && m != Destructive:
		return wholeBatch(batch), nil
	case r == UK && m == Single:
		return planIn(ukSinglePlans[:], r, batch)
	case r == OIML && m == Single:
		return planIn(oimlPlans[:], r, batch)
	case (r == EU || r == UK || r == DE) && m == Double:
		return planIn(doublePlans[:], r, batch)
	case (r == EU || r == UK || r == DE) && m == Destructive:
		return planIn(destructivePlans[:], r, batch)
	}
	return Plan{}, noRule(r, m.String()+" plan", "eu and de have double and destructive, uk also single, oiml and us single")
}

func planIn(plans []Plan, r Rules, batch int) (Plan, error) {
	for i := range plans {
		if p := plans[i]; batch >= p.From && (p.To == 0 || batch <= p.To) {
			p.Batch = batch
			return p, nil
		}
	}
	return Plan{}, fmt.Errorf("batch of %d jars, the %s table starts at %d; check every jar and ask the authority: %w",
		batch, r, plans[0].From, ErrOutOfRange)
}

// wholeBatch is the British check of a batch under 100: every jar, at most 5 %
// short, so the greatest count is the whole part of a twentieth.
func wholeBatch(batch int) Plan {
	return Plan{Method: Whole, Batch: batch, From: 1, To: 99,
		First: Stage{batch, batch, batch / 20, batch/20 + 1}, Cite: Cite{UKContents, "Sch. 2 para 3", Read}}
}

// Decision is what a sample says of the batch.
type Decision uint8

const (
	NotDecided   Decision = iota // too few jars weighed
	AcceptFirst                  // accepted after the first or only sample
	TakeSecond                   // between the numbers: take the second sample
	AcceptSecond                 // accepted on both samples together
	RejectFirst
	RejectSecond
)

var decisionNames = [...]string{"not decided", "accept after first sample", "take second sample",
	"accept after second sample", "reject after first sample", "reject after second sample"}

func (d Decision) String() string {
	if int(d) >= len(decisionNames) {
		return decisionNames[NotDecided]
	}
	return decisionNames[d]
}

// Accepted and Rejected report a final decision.
func (d Decision) Accepted() bool { return d == AcceptFirst || d == AcceptSecond }
func (d Decision) Rejected() bool { return d == RejectFirst || d == RejectSecond }

// Judge decides on the short jars of the first sample.
func (p Plan) Judge(short int) (Decision, error) {
	if short < 0 || short > p.First.N {
		return NotDecided, fmt.Errorf("%d short jars, want 0 to the %d weighed: %w", short, p.First.N, ErrOutOfRange)
	}
	switch {
	case short <= p.First.Accept:
		return AcceptFirst, nil
	case short >= p.First.Reject:
		return RejectFirst, nil
	}
	return TakeSecond, nil
}

// JudgeBoth decides on both samples. A first sample that already decides
// decides alone, whatever the second one held.
func (p Plan) JudgeBoth(first, second int) (Decision, error) {
	d, err := p.Judge(first)
	if err != nil || d != TakeSecond {
		return d, err
	}
	if second < 0 || second > p.Second.N {
		return NotDecided, fmt.Errorf("%d short jars, want 0 to the %d weighed: %w", second, p.Second.N, ErrOutOfRange)
	}
	if first+second <= p.Second.Accept {
		return AcceptSecond, nil
	}
	return RejectSecond, nil
}
