package assay

import (
	"fmt"
	"math"
)

// A Reading is a marker as it was read.
type Reading struct {
	Value float64 // mg/kg, Schade units, units of invertase
	SD    float64 // standard uncertainty; 0: not said, see [Marker.UsualDoubt]
	Lab   string  // or the instrument: its readings have half their variance in common
	Below bool    // the sheet says "below Value": anywhere from 0 to it
}

// Check refuses what no honey reads.
func (r Reading) Check(m Marker) error {
	if !(r.Value >= 0 && r.Value <= 1e5) || m != HMF && !(r.Value > 0) {
		return fmt.Errorf("%s of %g can't be read", m, r.Value)
	}
	if !(r.SD >= 0 && r.SD <= 1e5) {
		return fmt.Errorf("doubt of %s is %g, want 0 or more", m, r.SD)
	}
	return nil
}

// seen is a reading on the scale on which its marker grows along a straight line, with
// its own standard uncertainty and that of its laboratory.
type seen struct{ y, own, lab float64 }

// on puts a reading on its marker's scale. "Below x" is uniform from 0 to x: mean x/2,
// standard deviation x/√12.
func (r Reading) on(m Marker) seen {
	value, sd := r.Value, r.SD
	if sd == 0 {
		sd = m.UsualDoubt(value)
	}
	if r.Below {
		value, sd = r.Value/2, max(r.Value, 1e-6)/math.Sqrt(12)
	}
	if m.kinetics().log {
		value, sd = math.Log(value), sd/value
	}
	return seen{value, sd * math.Sqrt(1-labShare), sd * math.Sqrt(labShare)}
}
