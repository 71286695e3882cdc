package reckon

import (
	"fmt"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// batchSubjects judge a batch by its jars' weights.
func batchSubjects() []Subject {
	return []Subject{
		{Name: "batch", Help: "does a batch pass the inspector's test on the jars weighed", Range: "as tolerance and sampling; jars up to 1 t",
			Doubt:   "exact on these jars; each test's own chance is in its numbers, and a scale's error is not in it",
			Caution: "the samples are the first jars of the list, in the order weighed. A sample that is too small is no pass",
			Example: "--label-g 500 --rules eu --batch 400 --weights \"" + exampleWeights + "\"",
			Inputs: []Input{labelG(), rulesOf("eu", "uk", "de", "us", "oiml"),
				text("weights", "net masses in g, parted by blanks, semicolons or lines; - takes them from standard input"),
				count("batch", "jars in the batch; left out: the jars are only counted and averaged").optional(),
				word("method", "double, single, destructive or whole; left out: the rules' usual one for whole jars", methodWords()...).optional(),
				number("division_g", quantity.G, "division of the scale: too coarse a one gives no verdict; left out: not judged").optional()},
			Answers: []Answer{whether("pass", "both tests pass and no jar is below T2; empty if a test wants more jars"),
				counts("jars", "jars weighed"), gives("mean_g", "g", 0, "their mean"), gives("sd_g", "g", 4, "their standard deviation with n − 1"),
				counts("short", "jars below T1"), counts("at_t1", "jars exactly at T1, which are not short"), counts("barred", "jars below T2"),
				says("items", "what the short jars of the sample say"), whether("mean_pass", "does the mean of the sample pass"),
				gives("limit_g", "g", 0, "least mean that passes")}, answer: batch},
	}
}

// exampleWeights are thirty jars, two of them short.
const exampleWeights = "501.2 499.8 500.4 484.2 502.0 498.7 500.9 501.5 499.1 500.3 " +
	"497.6 503.2 500.0 499.5 501.8 484.9 500.6 498.9 502.4 499.9 " +
	"500.7 501.1 498.2 500.2 499.4 501.6 500.8 499.0 502.1 500.5"

func batch(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	net, err := q.weights("weights")
	if err != nil {
		return err
	}
	if err := q.fineEnough(label); err != nil {
		return err
	}
	t, err := standard.ToleranceOf(q.rules(), label)
	if err != nil {
		return err
	}
	tally, err := t.Tally(net)
	if err != nil {
		return err
	}
	q.cite(t.Cite)
	q.putTally(tally, t.HasT2)
	if !q.has("batch") {
		q.note("how many jars the batch has is not given, and with it how many must be weighed: no verdict")
		return nil
	}
	return q.judgeBatch(label, net)
}

func (q *Query) putTally(a standard.Tally, hasT2 bool) {
	q.put("jars", float64(a.N))
	q.put("mean_g", a.MeanG)
	if a.N > 1 {
		q.put("sd_g", a.SDG)
	}
	q.put("short", float64(a.Defective))
	q.put("at_t1", float64(a.AtT1))
	if hasT2 {
		q.put("barred", float64(a.Barred))
	}
}

// judgeBatch makes both tests. Too few jars leave the verdict empty, and a note says
// how many are wanted.
func (q *Query) judgeBatch(label quantity.Milligram, net []quantity.Milligram) error {
	v, err := standard.JudgeBatch(q.rules(), label, q.method(), q.count("batch"), net)
	if err != nil {
		if v.Plan.First.N == 0 { // there is no plan: the question can't be asked
			return err
		}
		q.cite(v.Plan.Cite)
		q.say("items", v.Items.String())
		q.note(plain(err))
		if v.Items.Rejected() || v.Tally.Barred > 0 {
			q.tell("pass", false)
		}
		return nil
	}
	q.cite(v.Plan.Cite, v.Mean.Plan.Cite)
	q.say("items", v.Items.String())
	q.tell("mean_pass", v.Mean.Pass)
	q.put("limit_g", v.Mean.LimitG)
	open := v.Items == standard.NotDecided || v.Items == standard.TakeSecond
	if open {
		q.note(wanted(v, len(net)))
	}
	if !open || !v.Mean.Pass || v.Tally.Barred > v.Plan.Barring {
		q.tell("pass", v.Pass())
	}
	return nil
}

// wanted says how many jars are still to weigh.
func wanted(v standard.BatchVerdict, have int) string {
	if v.Items == standard.TakeSecond {
		return fmt.Sprintf("the first %d jars do not decide: weigh %d more, %d in all", v.Plan.First.N, v.Plan.Second.Cumulative-have, v.Plan.Second.Cumulative)
	}
	return fmt.Sprintf("weigh %d more: the sample for short jars is %d", v.Plan.First.N-have, v.Plan.First.N)
}
