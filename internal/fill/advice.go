package fill

import (
	"fmt"
	"math"
)

// Do is what a person at the filler should do about a nozzle.
type Do uint8

const (
	Leave      Do = iota // what is seen comes of chance: setting it otherwise makes it worse
	WeighAgain           // one point is out: weigh five more of that nozzle before turning anything
	SetIt                // it has moved: set it by ByG
)

var doNames = [...]string{"leave", "weigh-again", "set"}

func (d Do) String() string {
	if int(d) >= len(doNames) {
		return "unknown"
	}
	return doNames[d]
}

// Advice is what to do about a nozzle and why.
type Advice struct {
	Do   Do
	OffG float64 // how far its mean is believed to be from the target now
	ByG  float64 // how much to set it up (down: negative), in whole steps; 0 unless SetIt
}

// Advise tells whether to set a nozzle otherwise, and by how much. There is a dead
// band: as long as no alarm stands the answer is to leave it, since a correction for
// noise adds to the noise (see [Inflation]). One mean beyond its line alone, however
// far, asks to weigh again. A nozzle that is steady but whose learned mean is off the
// target by more than three of its standard deviations was set wrong. When the
// cumulative sum has crossed its line, or two means in a row have, and the newest is
// still out, the nozzle has moved: its mean now is taken from the change point, the jump
// or where the drift has got to. The correction is the whole of it to the target, in
// whole steps of the filler's finest.
func (w *Watch) Advise(targetG, stepG float64) (Advice, error) {
	if err := checkRange("target", targetG, 0.001, maxMassG, " g"); err != nil {
		return Advice{}, err
	}
	if err := checkRange("finest step", stepG, 0, 1e5, " g"); err != nil {
		return Advice{}, err
	}
	if w.pooled {
		return Advice{}, fmt.Errorf("all nozzles together have no setting of their own; ask nozzle by nozzle: %w", ErrOutOfRange)
	}
	p := w.last
	if p.Check == 0 || p.Signals.Has(Learning) {
		return Advice{}, fmt.Errorf("nozzle's centre and spread are not known yet; weigh a further check: %w", ErrUnknown)
	}
	off := p.CentreG - targetG
	if w.first.Check == 0 {
		if b := &w.base; b.given == 0 && math.Abs(off) > w.d.Line*p.SigmaG/math.Sqrt(b.jars) {
			return setBy(off, stepG), nil
		}
		return Advice{Do: Leave, OffG: off + w.ewma*p.OffG}, nil
	}
	c := w.past.change()
	moved := c.SizeG
	if c.Ramp {
		moved *= float64(w.checks) - c.At
	}
	a := Advice{Do: WeighAgain, OffG: off + moved}
	if !w.moved(p, c) {
		return a, nil
	}
	return setBy(a.OffG, stepG), nil
}

// moved reports whether the alarm is more than one check's: however far out, one may be
// a slip of the scale, and what follows decides. The newest mean must be out to the same
// side, the further the fewer checks there are.
func (w *Watch) moved(p Point, c Change) bool {
	z := p.Z
	if c.SizeG < 0 {
		z = -z
	}
	if since := w.checks - c.After; since < 2 || since == 2 && !(z > 2) || !(z > 1) {
		return false
	}
	return p.Signals.Has(DriftLow|DriftHigh) || p.Signals.Has(MeanLow|MeanHigh) && w.first.Check < p.Check
}

// setBy takes a deviation out in whole steps; less than half a step is left.
func setBy(off, stepG float64) Advice {
	a := Advice{Do: SetIt, OffG: off, ByG: -off}
	if stepG > 0 {
		a.ByG = stepG * math.Round(a.ByG/stepG)
	}
	if a.ByG == 0 {
		a.Do, a.ByG = Leave, 0
	}
	return a
}
