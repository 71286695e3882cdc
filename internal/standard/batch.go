package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Tally is what a sample of net masses comes to.
type Tally struct {
	N         int
	Defective int // below T1
	AtT1      int // exactly at T1: not defective
	Barred    int // below T2
	MeanG     float64
	SDG       float64 // with n − 1; only if N is 2 or more
}

// Tally counts and averages net masses against the tolerance. The sum is in
// whole milligrams, so the mean is right to the last digit.
func (t Tolerance) Tally(net []quantity.Milligram) (Tally, error) {
	if len(net) == 0 {
		return Tally{}, fmt.Errorf("no jar weighed, want at least 1: %w", ErrOutOfRange)
	}
	a := Tally{N: len(net)}
	var sum quantity.Milligram
	for i, m := range net {
		if m < 0 || m > massLimit {
			return Tally{}, fmt.Errorf("jar %d: net %g g, want 0 g to %g g: %w", i+1, grams(m), grams(massLimit), ErrOutOfRange)
		}
		sum += m
		if m == t.T1 {
			a.AtT1++
		}
		switch t.Of(m) {
		case Barred:
			a.Barred++
			a.Defective++
		case Defective:
			a.Defective++
		}
	}
	a.MeanG = float64(sum) / float64(a.N) / 1000
	if a.N > 1 {
		a.SDG = spread(net, a.MeanG)
	}
	return a, nil
}

func spread(net []quantity.Milligram, meanG float64) float64 {
	var squares float64
	for _, m := range net {
		d := grams(m) - meanG
		squares += d * d
	}
	return math.Sqrt(squares / float64(len(net)-1))
}

// A BatchVerdict is the reference test of a batch: short jars and mean, each
// with its own sample, and both must pass.
type BatchVerdict struct {
	Items Decision
	Mean  MeanVerdict
	Tally Tally // of all jars weighed
	Plan  Plan
}

// Pass reports whether both parts pass and no jar is barred. An item sample
// that is too small, or a second one still to take, is not a pass.
func (v BatchVerdict) Pass() bool {
	return v.Items.Accepted() && v.Mean.Pass && v.Tally.Barred <= v.Plan.Barring
}

// JudgeBatch makes the reference test on net masses in the order weighed: the
// item sample and the mean sample are the first jars of the list, as many as
// each plan asks for. Too few jars for the items leave them NotDecided, unless
// the short ones already reject; too few for the mean are an error.
func JudgeBatch(r Rules, label quantity.Milligram, m Method, batch int, net []quantity.Milligram) (BatchVerdict, error) {
	t, err := ToleranceOf(r, label)
	if err != nil {
		return BatchVerdict{}, err
	}
	v := BatchVerdict{}
	if v.Plan, err = PlanFor(r, m, batch); err != nil {
		return BatchVerdict{}, err
	}
	if len(net) > batch {
		return BatchVerdict{}, fmt.Errorf("%d jars weighed of a batch of %d; correct the batch or the weights: %w", len(net), batch, ErrOutOfRange)
	}
	if v.Tally, err = t.Tally(net); err != nil {
		return BatchVerdict{}, err
	}
	if v.Items, err = v.Plan.judgeNet(t, net); err != nil {
		return BatchVerdict{}, err
	}
	v.Mean, err = judgeMean(r, t, m, batch, net)
	return v, err
}

func (p Plan) judgeNet(t Tolerance, net []quantity.Milligram) (Decision, error) {
	first := short(t, net, 0, p.First.N)
	if len(net) < p.First.N {
		if first >= p.First.Reject {
			return RejectFirst, nil
		}
		return NotDecided, nil
	}
	d, err := p.Judge(first)
	if err != nil || d != TakeSecond || len(net) < p.Second.Cumulative {
		return d, err
	}
	return p.JudgeBoth(first, short(t, net, p.First.N, p.Second.Cumulative))
}

// short counts the defective jars of net[from:to], as far as there are any.
func short(t Tolerance, net []quantity.Milligram, from, to int) (n int) {
	for _, m := range net[min(from, len(net)):min(to, len(net))] {
		if t.Of(m) != Sound {
			n++
		}
	}
	return n
}

func judgeMean(r Rules, t Tolerance, m Method, batch int, net []quantity.Milligram) (MeanVerdict, error) {
	p, err := MeanPlanFor(r, batch, m == Destructive)
	if err != nil {
		return MeanVerdict{}, err
	}
	if len(net) < p.N {
		return MeanVerdict{}, fmt.Errorf("%d jars weighed, the mean of a batch of %d wants %d; weigh %d more: %w",
			len(net), batch, p.N, p.N-len(net), ErrOutOfRange)
	}
	a, err := t.Tally(net[:p.N])
	if err != nil {
		return MeanVerdict{}, err
	}
	return p.Judge(t.Label, a.MeanG, a.SDG)
}
