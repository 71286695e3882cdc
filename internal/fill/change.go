package fill

import (
	"fmt"
	"math"
)

// A Change is the estimate of when a nozzle began to move.
type Change struct {
	After     int64   // the last check before the start; 0: before the first
	At        float64 // where the start falls on the scale of checks: 13.3 is between checks 13 and 14
	Low, High int64   // After lies between these with a chance of about 9 in 10
	Ramp      bool    // it drifts steadily; otherwise it jumped
	SizeG     float64 // jump, or drift a check; signed
	Gain      float64 // twice the log likelihood over "nothing happened"
}

// likelyWithin is the drop in twice the log likelihood that bounds the interval:
// the 0.9 quantile of χ² with one degree of freedom.
const likelyWithin = 2.7055

// ChangePoint estimates when the nozzle began to move, by maximum likelihood over
// two pictures, a jump and a steady drift,
//
//	y(t) = Δ for t > τ      y(t) = β·(t − τ) for t > τ      else 0
//
// with y the mean's distance from the centre and normal noise of known spread. For
// a drift τ is where the line through the later checks meets the centre. The bounds
// are of the likelihood interval; how often they hold the true start is measured by
// the tests. It looks back over the charts' history since the last adjustment.
// Source: Hinkley, Biometrika 57 (1970) for the jump (memory).
func (w *Watch) ChangePoint() (Change, error) {
	if w.past.n == 0 {
		return Change{}, fmt.Errorf("no check told against a centre yet: %w", ErrUnknown)
	}
	return w.past.change(), nil
}

func (h *history) change() Change {
	best := Change{Gain: math.Inf(-1)}
	var gains [historyRoom]float64
	var sums moments
	for i := h.n - 1; i >= 0; i-- {
		p := &h.told[i]
		sums.add(p)
		before := p.first - 1
		jump := sums.jump(before)
		drift := sums.drift(before, p.when())
		gains[i] = max(jump.Gain, drift.Gain)
		for _, c := range [2]Change{jump, drift} {
			if c.Gain > best.Gain {
				best = c
			}
		}
	}
	best.Low, best.High = best.After, best.After
	for i, g := range gains[:h.n] {
		if g >= best.Gain-likelyWithin {
			best.Low, best.High = min(best.Low, h.told[i].first-1), max(best.High, h.told[i].first-1)
		}
	}
	return best
}

// moments are the weighted sums over the later checks: of 1, t, t², y, t·y.
type moments struct{ w, t, tt, y, ty float64 }

func (m *moments) add(p *piece) {
	at := p.when()
	m.w += p.weight
	m.t += p.weight * at
	m.tt += p.weight * at * at
	m.y += p.weight * p.off
	m.ty += p.weight * at * p.off
}

// jump is the best level for all later checks.
func (m *moments) jump(before int64) Change {
	return Change{After: before, At: float64(before), SizeG: m.y / m.w, Gain: m.y * m.y / m.w}
}

// drift is the best line that leaves the centre between the check before and the
// first later one. Where the line through all later checks meets the centre outside
// of that, the nearer end is best.
func (m *moments) drift(before int64, first float64) Change {
	c := Change{After: before, Ramp: true, Gain: math.Inf(-1)}
	free := (m.y*m.tt - m.ty*m.t) / (m.y*m.t - m.ty*m.w)
	for _, tau := range [...]float64{min(max(free, float64(before)), first), float64(before)} {
		run := m.tt - 2*tau*m.t + tau*tau*m.w
		rise := m.ty - tau*m.y
		if !(run > 1e-9*m.w) || math.IsNaN(rise) {
			continue
		}
		if g := rise * rise / run; g > c.Gain {
			c.At, c.SizeG, c.Gain = tau, rise/run, g
		}
	}
	return c
}
