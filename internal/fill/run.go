package fill

import (
	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Run is the verdict on a run every jar of which was weighed: whole and by the hour,
// as made and with the short jars pulled.
type Run struct {
	Whole, WholeAfter Verdict
	Worst, WorstAfter Window // First and Last are jars, from 0; only if hours were asked for
	Pulled            Count
	KeptBack          int64              // further jars to keep back so that every hour passes; −1: an hour has none to keep
	KeptUnder         quantity.Milligram // all of those are below this
}

// JudgeRun judges a run by jars in the order filled, and by each hour of so many jars
// from the last one back (0: the run is one hour). Short jars are pulled where they
// are, so an hour afterwards has fewer jars. Exact. Sources: as [Judge] and
// [KeepBack].
func JudgeRun(r standard.Rules, label quantity.Milligram, net []quantity.Milligram, hourJars int) (Run, error) {
	t, err := standard.ToleranceOf(r, label)
	if err != nil {
		return Run{}, err
	}
	whole, err := CountOf(&t, net)
	if err != nil {
		return Run{}, err
	}
	var run Run
	if run.Whole, err = Judge(r, label, whole); err != nil {
		return Run{}, err
	}
	if hourJars < 1 || hourJars > len(net) {
		hourJars = len(net)
	}
	var before, after []Window
	for last := len(net); last > 0; last -= hourJars {
		first := max(0, last-hourJars)
		if err := run.hour(r, label, net[first:last], first, &before, &after); err != nil {
			return Run{}, err
		}
	}
	run.Worst = before[Worst(before)]
	if w := Worst(after); w >= 0 {
		run.WorstAfter = after[w]
		left, err := whole.Without(run.Pulled)
		if err != nil {
			return Run{}, err
		}
		run.WholeAfter, err = Judge(r, label, left)
		return run, err
	}
	return run, nil
}

// hour adds one hour's verdicts, before and after its short jars are pulled.
func (a *Run) hour(r standard.Rules, label quantity.Milligram, net []quantity.Milligram, first int, before, after *[]Window) error {
	t, err := standard.ToleranceOf(r, label)
	if err != nil {
		return err
	}
	var all, short Count
	for _, m := range net {
		if err := all.Add(&t, m); err != nil {
			return err
		}
		if m < t.T1 {
			if err := short.Add(&t, m); err != nil {
				return err
			}
		}
	}
	add := func(to *[]Window, c Count) error {
		v, err := Judge(r, label, c)
		*to = append(*to, Window{first, first + len(net) - 1, v})
		return err
	}
	if err := add(before, all); err != nil {
		return err
	}
	a.Pulled = a.Pulled.And(short)
	if short.Jars == all.Jars {
		a.KeptBack = -1
		return nil
	}
	left, err := all.Without(short)
	if err != nil {
		return err
	}
	if err := add(after, left); err != nil {
		return err
	}
	k, err := KeepBack(r, label, net)
	if err != nil || a.KeptBack < 0 {
		a.KeptBack = -1
		return nil
	}
	if a.KeptBack += k.More.Jars; k.More.Jars > 0 {
		a.KeptUnder = max(a.KeptUnder, k.Under)
	}
	return nil
}
