package office

import (
	"context"
	"time"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/linear"
	"combline/internal/record"
)

// A BlendRound is the blends of several orders at once, from one stock: honey that one
// of them takes, no other has.
type BlendRound struct {
	Cases   []*BlendCase
	Left    []RoundLeft // orders that can't be asked for as they stand
	Problem blend.Problem
	Found   *blend.Result
	Facts   uint64
}

// RoundLeft is an order line that could not be looked at, and why.
type RoundLeft struct {
	Order, Product record.Code
	Why            answer.Line
}

// shortPrice is what a kilogram too little counts as: more than any honey costs, so
// that an order goes short only when it must.
const shortPrice = 1e4

// BlendRound looks for blends for every open order at once. An order that can't be met
// in full goes short by as little as possible.
func (o *Office) BlendRound(ctx context.Context, v *View, today record.Day, seconds float64) (*BlendRound, error) {
	r := &BlendRound{Facts: v.Facts()}
	for _, x := range v.BlendOrders() {
		k, err := v.BlendCase(BlendAsk{Order: x.Order.Code, Product: x.Line.Product}, today)
		if err != nil {
			r.Left = append(r.Left, RoundLeft{x.Order.Code, x.Line.Product, wrongLine(err)})
			continue
		}
		r.add(k)
	}
	if len(r.Cases) == 0 || len(r.Problem.Contents) == 0 {
		return r, nil
	}
	r.Problem.Prices.ShortKg = shortPrice
	return r, o.round(ctx, r, seconds)
}

func wrongLine(err error) answer.Line {
	if wrong, ok := err.(*BlendWrong); ok {
		return answer.Line{Key: wrong.Key, Args: wrong.Args}
	}
	return answer.Line{Key: "blend.fail.other", Args: answer.Args{"why": err.Error()}}
}

// add puts a case into the round. All cases of one day see the same contents, as none
// of them names any.
func (r *BlendRound) add(k *BlendCase) {
	b := k.Problem.Batches[0]
	b.Name = string(k.Ask.Order) + " " + string(k.Ask.Product)
	if len(r.Cases) == 0 {
		r.Problem = k.Problem
		r.Problem.Batches = nil
	}
	r.Problem.Batches = append(r.Problem.Batches, b)
	r.Cases = append(r.Cases, k)
}

func (o *Office) round(ctx context.Context, r *BlendRound, seconds float64) error {
	o.blends.mu.Lock()
	solve := o.blends.solve
	o.blends.mu.Unlock()
	if solve == nil {
		return ErrNoSolver
	}
	if !(seconds > 0) {
		seconds = usualSeconds
	}
	until := time.Now().Add(time.Duration(seconds * float64(time.Second)))
	found, err := blend.Find(r.Problem, func(all []linear.Model, opt linear.Options) ([]linear.Solution, error) {
		opt.Seconds = max(0.5, min(time.Until(until).Seconds(), opt.Seconds))
		return solve(ctx, all, opt)
	}, linear.Options{Gap: lastGap, Seconds: seconds})
	r.Found = found
	return err
}

// Answer says order by order what is blended, and which go short.
func (r *BlendRound) Answer() answer.Answer {
	a := answer.Answer{Question: "blend"}
	table := a.Table("blend-orders", "order", "product", "due", "wanted_g", "mass_g", "contents", "short_g", "verdict")
	if r.Found == nil || r.Found.Plan == nil {
		for _, k := range r.Cases {
			table.Row(answer.Bad, k.Ask.Order, orNil(k.Ask.Product), dayOrNil(k.Ask.Due), k.Problem.Batches[0].Grams, nil, nil, k.Problem.Batches[0].Grams, answer.Key("blend.round.none"))
		}
		r.left(&a, table)
		if len(table.Rows) == 0 {
			a.Say("blend.round.nothing", nil)
		}
		return a
	}
	plan := r.Found.Plan
	short := 0
	use := a.Table("blend-use", "order", "content", "mass_g", "share_pct", "left_g", "water_pct", "hmf", "place")
	for j, k := range r.Cases {
		var mine []blend.Draw
		for _, d := range plan.Draws {
			if d.Batch == j {
				mine = append(mine, d)
			}
		}
		b := plan.Blends[j]
		mark, verdict := answer.Good, "blend.round.met"
		if b.Short > 0 {
			mark, verdict = answer.Bad, "blend.round.short"
			short++
			a.Then("blend.next.why", answer.Args{"order": k.Ask.Order, "product": k.Ask.Product})
		}
		table.Row(mark, k.Ask.Order, orNil(k.Ask.Product), dayOrNil(k.Ask.Due), k.Problem.Batches[0].Grams, b.Grams, int64(len(mine)), b.Short, answer.Key(verdict))
		for _, u := range k.Uses(mine) {
			use.Row(answer.Plain, k.Ask.Order, u.Content.Code, u.Draw.Grams, u.Share, u.Left, readCell(u.Known, record.Water), readCell(u.Known, record.HMF), orNil(u.Content.Place))
		}
	}
	r.left(&a, table)
	if short == 0 {
		a.Say("blend.round.all", answer.Args{"n": int64(len(r.Cases))})
	} else {
		a.Warn("blend.round.some", answer.Args{"n": int64(len(r.Cases)), "short": int64(short)})
	}
	a.Lines = append(a.Lines, ProofLine(BlendState{Found: r.Found}))
	if !r.Cases[0].Costed {
		a.Say("blend.no-cost", nil)
	}
	r.Cases[0].rests(&a, r.Facts)
	return a
}

func (r *BlendRound) left(a *answer.Answer, table *answer.Table) {
	for _, x := range r.Left {
		table.Row(answer.Care, x.Order, orNil(x.Product), nil, nil, nil, nil, nil, x.Why)
	}
}
