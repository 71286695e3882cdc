package fill

import (
	"fmt"
	"slices"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Count is what jars come to against their bounds: whole figures, so that a jar
// or a mean exactly at a bound decides exactly.
type Count struct {
	Jars   int64
	Under  int64 // below the label
	Short  int64 // below T1, the barred ones included
	AtT1   int64 // exactly at T1: not short
	Barred int64 // below T2, where the rules have one
	Sum    quantity.Milligram
}

// Add counts one jar. Net mass 0 or below is no jar and is refused.
func (c *Count) Add(t *standard.Tolerance, net quantity.Milligram) error {
	if net <= 0 || net > maxMass {
		return fmt.Errorf("net %g g, want above 0 g to %.0f g: %w", Grams(net), maxMassG, ErrOutOfRange)
	}
	c.Jars++
	c.Sum += net
	if net >= t.Label {
		return nil
	}
	c.Under++
	switch {
	case net == t.T1:
		c.AtT1++
	case net < t.T1:
		c.Short++
		if t.HasT2 && net < t.T2 {
			c.Barred++
		}
	}
	return nil
}

// CountOf counts jars each weighed.
func CountOf(t *standard.Tolerance, net []quantity.Milligram) (c Count, err error) {
	for i, m := range net {
		if err := c.Add(t, m); err != nil {
			return Count{}, fmt.Errorf("jar %d: %w", i+1, err)
		}
	}
	return c, nil
}

// And joins two counts.
func (c Count) And(o Count) Count {
	return Count{c.Jars + o.Jars, c.Under + o.Under, c.Short + o.Short, c.AtT1 + o.AtT1, c.Barred + o.Barred, c.Sum + o.Sum}
}

// Without takes jars out again, as those that were pulled; they must have been in.
func (c Count) Without(o Count) (Count, error) {
	r := Count{c.Jars - o.Jars, c.Under - o.Under, c.Short - o.Short, c.AtT1 - o.AtT1, c.Barred - o.Barred, c.Sum - o.Sum}
	if r.Jars < 0 || r.Under < 0 || r.Short < 0 || r.AtT1 < 0 || r.Barred < 0 || r.Sum < 0 || r.Jars == 0 && r.Sum != 0 {
		return c, fmt.Errorf("%d jars of %g g with %d short pulled out of %d of %g g with %d short; correct what was pulled: %w",
			o.Jars, Grams(o.Sum), o.Short, c.Jars, Grams(c.Sum), c.Short, ErrOutOfRange)
	}
	return r, nil
}

// MeanG is the mean net mass; 0 if there is no jar.
func (c Count) MeanG() float64 {
	if c.Jars == 0 {
		return 0
	}
	return float64(c.Sum) / float64(c.Jars) / 1000
}

// A Verdict says whether jars that were all weighed keep the packer's rules.
type Verdict struct {
	Rules   standard.Rules
	Minimum bool
	Count   Count
	MeanG   float64
	LeastG  float64 // mean that the rules ask for
	Share   float64 // of short jars (minimum system: of jars under the label)
	Most    float64 // share that the rules allow
	MeanOK  bool
	ShareOK bool
	NoneOK  bool // none barred
	Cite    standard.Cite
}

// Pass reports whether every rule is kept.
func (v Verdict) Pass() bool { return v.Count.Jars > 0 && v.MeanOK && v.ShareOK && v.NoneOK }

// sharePer1000 is how many jars in a thousand may be short.
func sharePer1000(r standard.Rules) int64 {
	switch r {
	case standard.DE:
		return 20
	case standard.US:
		return 0
	}
	return 25
}

// Judge judges a batch every jar of which was weighed, by the packer's three rules:
//
//	sum ≥ jars × label      short ≤ 2.5 % of the jars      none below T2
//
// (Germany 2 %; United States: mean, and none beyond the allowable variation.) All
// in whole numbers: a mean exactly at the label passes, and so does a share exactly
// at its bound. This is stricter for the mean than an inspector's sample, which has
// an allowance for its chance: see [Sampler]. Sources: Directive 76/211/EEC Annex I
// 1.1 (mean), 1 in 40 from the UK three-rules outline, Fertigpackungsverordnung
// par. 9(3), (4).
func Judge(r standard.Rules, label quantity.Milligram, c Count) (Verdict, error) {
	t, err := standard.ToleranceOf(r, label)
	if err != nil {
		return Verdict{}, err
	}
	if c.Jars <= 0 {
		return Verdict{}, fmt.Errorf("no jar weighed, so no verdict: %w", ErrUnknown)
	}
	per := sharePer1000(r)
	return Verdict{Rules: r, Count: c, MeanG: c.MeanG(), LeastG: Grams(label),
		Share: float64(c.Short) / float64(c.Jars), Most: float64(per) / 1000,
		MeanOK: c.Sum >= label*quantity.Milligram(c.Jars), ShareOK: c.Short*1000 <= per*c.Jars, NoneOK: c.Barred == 0, Cite: t.Cite}, nil
}

// JudgeMinimum judges by the minimum system: no jar under its label. Common
// practice, no source.
func JudgeMinimum(label quantity.Milligram, c Count) (Verdict, error) {
	if label <= 0 || label > maxMass {
		return Verdict{}, fmt.Errorf("label %g g, want above 0 g to %.0f g: %w", Grams(label), maxMassG, ErrOutOfRange)
	}
	if c.Jars <= 0 {
		return Verdict{}, fmt.Errorf("no jar weighed, so no verdict: %w", ErrUnknown)
	}
	return Verdict{Minimum: true, Count: c, MeanG: c.MeanG(), LeastG: Grams(label), Share: float64(c.Under) / float64(c.Jars),
		MeanOK: c.Sum >= label*quantity.Milligram(c.Jars), ShareOK: c.Under == 0, NoneOK: true,
		Cite: standard.Cite{Set: standard.TradeSetting, Place: "minimum system", Got: standard.Practice}}, nil
}

// A Window is consecutive slots judged together, as the two half-hours of an hour.
type Window struct {
	First, Last int // slots, from 0
	Verdict     Verdict
}

// Windows judges consecutive slots together, so many at a time, from the last ones
// back: with width 2 the last hour, the hour before it, and so on, in order of time.
// A step smaller than width lets windows overlap: an inspector may take any hour's
// output for the batch, so step 1 is the strictest look. What is left at the start is
// a shorter window. Slots without a jar count with their neighbours; a window without
// any is left out.
func Windows(r standard.Rules, label quantity.Milligram, slots []Count, width, step int) ([]Window, error) {
	if width < 1 || step < 1 || step > width {
		return nil, fmt.Errorf("windows of %d slots every %d, want 1 or more, and no gaps: %w", width, step, ErrOutOfRange)
	}
	var all []Window
	for last := len(slots) - 1; last >= 0; last -= step {
		first := max(0, last-width+1)
		var c Count
		for _, s := range slots[first : last+1] {
			c = c.And(s)
		}
		if c.Jars > 0 {
			v, err := Judge(r, label, c)
			if err != nil {
				return nil, err
			}
			all = append(all, Window{first, last, v})
		}
		if first == 0 {
			break
		}
	}
	slices.Reverse(all)
	return all, nil
}

// Worst picks the window that stands worst: a failing one before a passing one,
// then the lowest mean, then the greatest share of short jars. -1 if there is none.
func Worst(all []Window) int {
	worst := -1
	for i := range all {
		if worst < 0 || all[i].Verdict.worse(&all[worst].Verdict) {
			worst = i
		}
	}
	return worst
}

func (v *Verdict) worse(than *Verdict) bool {
	if v.Pass() != than.Pass() {
		return !v.Pass()
	}
	if v.MeanG != than.MeanG {
		return v.MeanG < than.MeanG
	}
	return v.Share > than.Share
}
