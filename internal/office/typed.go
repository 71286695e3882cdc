package office

import (
	"math"

	"combline/internal/answer"
	"combline/internal/quantity"
)

// A typedWithin is a figure that came with a question, and what it may be at all.
type typedWithin struct {
	figure    quantity.Figure
	what      string // key of its name
	unit      quantity.Unit
	low, high float64
}

// oddTyped refuses the first figure that can't be: a point in the wrong place, or another
// unit. Left aside it would be answered from the record as if nobody had said it.
func oddTyped(all ...typedWithin) *answer.Line {
	for _, t := range all {
		if !t.figure.Given() {
			continue
		}
		if x, err := t.figure.In(t.unit); err == nil && t.low <= x && x <= t.high {
			continue
		}
		return &answer.Line{Key: "typed.odd", Args: answer.Args{"typed": t.figure, "what": answer.Key(t.what),
			"low": hundredth(t.low, t.unit), "high": hundredth(t.high, t.unit)}}
	}
	return nil
}

// hundredth is a reckoned figure to two decimals at most.
func hundredth(x float64, u quantity.Unit) quantity.Figure {
	f := quantity.Figure{Mantissa: int64(math.Round(100 * x)), Decimals: 2, Unit: u}
	for f.Decimals > 0 && f.Mantissa%10 == 0 {
		f.Mantissa, f.Decimals = f.Mantissa/10, f.Decimals-1
	}
	return f
}

// odd looks at what was typed with the question whether something is ready.
func (a ReadyAsk) odd() *answer.Line {
	all := []typedWithin{
		{a.Stack.Humidity, "typed.rh", quantity.Pct, 0, 100}, {a.Stack.Target, "typed.target", quantity.Pct, 13, 25},
		{a.Draw.Depth, "typed.depth", quantity.Metre, 0.01, 20}, {a.Draw.Water, "typed.water", quantity.Pct, 13.5, 21}, {a.Draw.Bubble, "typed.bubble", quantity.MM, 0.01, 10},
		{a.Draw.Temp, "typed.temp", quantity.DegC, 0, 60}}
	for _, c := range a.Stack.Typed {
		all = append(all, typedWithin{c.Water, "typed.comb", quantity.Pct, 13, 25}, typedWithin{c.Temp, "typed.temp", quantity.DegC, 0, 60})
	}
	return oddTyped(all...)
}

// odd looks at what was typed with the question about seed.
func (a SeedAsk) odd() *answer.Line {
	return oddTyped(typedWithin{a.Water, "typed.water", quantity.Pct, 13, 25}, typedWithin{a.Start, "typed.temp", quantity.DegC, 0, 80})
}
