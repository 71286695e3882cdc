package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// A Deed is one thing that was done about a problem.
type Deed struct {
	Action string
	Over   record.Truth
	Person record.Code
	When   record.When
	Fact   uint64
}

// A ProblemNow is a problem with who found it and everything that was done about it.
type ProblemNow struct {
	house.Problem
	By    record.Code
	Deeds []Deed
	Holds []record.Code // in force on what it is about
}

// Problems lists every problem, the open ones first, then the latest first.
func (v *View) Problems() (all []ProblemNow) {
	for _, p := range slices.Backward(v.State.Problems()) {
		all = append(all, v.problem(p))
	}
	slices.SortStableFunc(all, func(a, b ProblemNow) int { return later(a.Over, b.Over) })
	return all
}

func (v *View) problem(p house.Problem) ProblemNow {
	n := ProblemNow{Problem: p}
	for _, e := range v.Mentions(p.Code) {
		switch f := e.Fact.(type) {
		case *record.ProblemFound:
			n.By = e.Person
		case *record.ProblemDealtWith:
			n.Deeds = append(n.Deeds, Deed{f.Action, f.Over, e.Person, e.When, e.Seq})
		}
	}
	held := v.held()
	for _, c := range p.About {
		for _, root := range v.State.RootsOf(c) {
			for _, on := range held[root] {
				if on.Share {
					n.Holds = withCode(n.Holds, v.State.Code(on.Hold))
				}
			}
		}
	}
	return n
}

// ProblemList answers what was not as it should be: what, where, what was done about it,
// by whom, and whether it is over. A code asks for one.
func (v *View) ProblemList(code record.Code) answer.Answer {
	a := answer.Answer{Question: "problems", Of: v.properCode(code)}
	t := a.Table("problems", "problem", "what", "about", "when", "person", "over", "holds", "fact")
	deeds := a.Table("problem-deeds", "problem", "action", "when", "person", "over", "fact")
	var open, all int64
	for _, p := range v.Problems() {
		if code != "" && p.Code.Fold() != code.Fold() {
			continue
		}
		all++
		mark := answer.Plain
		if !p.Over {
			open++
			mark = answer.Care
			if len(p.Deeds) == 0 {
				a.Then("next.problem.act", answer.Args{"problem": p.Code})
			} else {
				a.Then("next.problem.close", answer.Args{"problem": p.Code})
			}
		}
		t.Row(mark, p.Code, p.What, listOrNil(p.About), p.When, orNil(p.By), p.Over, listOrNil(p.Holds), int64(p.Fact))
		for _, d := range p.Deeds {
			deeds.Row(answer.Plain, p.Code, d.Action, d.When, orNil(d.Person), d.Over == record.Yes, int64(d.Fact))
		}
	}
	switch {
	case code != "" && all == 0:
		a.Cannot = &answer.Line{Key: "problems.unknown", Args: answer.Args{"problem": code}}
	case open > 0:
		a.Warn("problems.open", answer.Args{"n": open, "all": all})
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "problems.none-open", Args: answer.Args{"all": all}, Mark: answer.Good})
	}
	v.restsOnRecord(&a)
	return a
}
