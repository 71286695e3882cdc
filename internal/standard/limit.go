package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// Property is what a limit is set on.
type Property uint8

const (
	Moisture Property = iota
	Sugars            // fructose and glucose together
	Sucrose
	Insolubles // in water
	Conductivity
	FreeAcid
	Diastase
	HMF
	SolubleSolids // US grades
	Score         // US grades, points
	propertyCount // keep last
)

// Low and high are where a reading is taken for a slip: wider than any honey, so
// that 0.18 for 18 % or 650 µS/cm for 0.65 mS/cm never passes or breaches a limit.
var properties = [propertyCount]struct {
	name      string
	unit      quantity.Unit
	low, high float64
}{
	{"moisture", quantity.Pct, 10, 100}, {"fructose and glucose", quantity.Pct, 10, 100}, {"sucrose", quantity.Pct, 0, 100},
	{"insolubles", quantity.Pct, 0, 100}, {"conductivity", quantity.MSPerCM, 0, 10}, {"free acid", quantity.MeqPerKg, 0, 1000},
	{"diastase", quantity.Schade, 0, 1000}, {"HMF", quantity.MgPerKg, 0, 1e5}, {"soluble solids", quantity.Pct, 10, 100},
	{"score", quantity.Each, 0, 100},
}

// checkReading refuses what no honey has.
func (p Property) checkReading(v float64) error {
	if p >= propertyCount {
		return fmt.Errorf("property %d: %w", p, ErrNoRule)
	}
	d := &properties[p]
	if d.low <= v && v <= d.high { // so written, NaN is refused too
		return nil
	}
	s := fmt.Sprintf("%s %g %s, want %g to %g", d.name, v, d.unit, d.low, d.high)
	switch {
	case d.low > 0 && d.low <= 100*v && v <= 1:
		s += fmt.Sprintf("; %g looks like a fraction: %g?", v, math.Round(1e8*v)/1e6)
	case p == Conductivity && v > d.high && v <= 1000*d.high:
		s += fmt.Sprintf("; %g looks like µS/cm: %g?", v, v/1000)
	}
	return fmt.Errorf("%s: %w", s, ErrOutOfRange)
}

func (p Property) String() string {
	if p >= propertyCount {
		return "unknown"
	}
	return properties[p].name
}

// Unit is the unit of the property's limits: grams per 100 g are per cent.
func (p Property) Unit() quantity.Unit {
	if p >= propertyCount {
		return quantity.NoUnit
	}
	return properties[p].unit
}

// Properties lists every property, in the order of the tables.
func Properties() []Property {
	return []Property{Moisture, Sugars, Sucrose, Insolubles, Conductivity, FreeAcid, Diastase, HMF, SolubleSolids, Score}
}

// Bound is the side of a limit. Both are inclusive: a value at it passes.
type Bound uint8

const (
	Unbounded Bound = iota // the rule sets no limit for this honey
	Max
	Min
)

// A Limit is what a rule set asks of one property of one honey.
type Limit struct {
	Property Property
	Bound    Bound
	Value    float64 // in the property's unit
	HMFMax   float64 // the limit holds only if HMF is at most this; 0: no such condition
	Cite     Cite
}

// A Reading is a value with its standard uncertainty. The zero Reading is "not
// read", which is never zero and never a pass.
type Reading struct {
	Value, SD float64
	Known     bool
}

// ReadingOf makes a known reading.
func ReadingOf(value, sd float64) Reading { return Reading{value, sd, true} }

// Verdict is how a reading stands to a limit.
type Verdict uint8

const (
	CantSay  Verdict = iota // no reading
	Pass                    // within, beyond doubt
	AtLimit                 // exactly at the limit, which is inclusive: a pass
	NoLimit                 // the rule sets none
	TooClose                // too close to call: the doubt reaches both sides
	Breach
)

var verdictNames = [...]string{"can't say", "pass", "at the limit", "no limit", "too close to call", "breach"}

func (v Verdict) String() string {
	if int(v) >= len(verdictNames) {
		return verdictNames[CantSay]
	}
	return verdictNames[v]
}

// Passes reports a pass that can be relied on.
func (v Verdict) Passes() bool { return v == Pass || v == AtLimit || v == NoLimit }

// closeTail is the chance on either side that a band of 9 in 10 leaves out: a
// limit inside that band is too close to call.
const closeTail = 0.05

// Compare sets a bare figure against the limit, doubt left aside. A figure that no
// honey has is refused.
func (l Limit) Compare(v float64) (Verdict, error) {
	if err := l.Property.checkReading(v); err != nil {
		return CantSay, err
	}
	switch {
	case l.Bound == Unbounded:
		return NoLimit, nil
	case v == l.Value:
		return AtLimit, nil
	case (l.Bound == Max) == (v < l.Value):
		return Pass, nil
	}
	return Breach, nil
}

// Chance gives the chance that the true value breaks the limit, when it lies
// around the reading by the normal law:
//
//	P = Φ((value − limit)/sd) for a maximum, Φ((limit − value)/sd) for a minimum
//
// Exact to a double's precision; with sd 0 it is 0 or 1, and 0 at the limit.
// Valid for finite values and sd ≥ 0. Source: the normal law.
func (l Limit) Chance(r Reading) (float64, error) {
	v, err := l.Compare(r.Value)
	if err != nil {
		return 0, err
	}
	if !(r.SD >= 0) || math.IsInf(r.SD, 0) {
		return 0, fmt.Errorf("%s: standard uncertainty %g, want 0 or more: %w", l.Property, r.SD, ErrOutOfRange)
	}
	switch {
	case !r.Known || v == NoLimit:
		return 0, nil
	case l.Bound == Max:
		return below(-l.Value, -r.Value, r.SD), nil
	}
	return below(l.Value, r.Value, r.SD), nil
}

// Judge weighs a reading with its doubt against the limit: a pass if the chance
// of a breach is at most 1 in 20, a breach if at least 19 in 20, else too close
// to call. It returns that chance, which says nothing if there is no reading.
func (l Limit) Judge(r Reading) (Verdict, float64, error) {
	if !r.Known {
		return CantSay, 0, nil
	}
	p, err := l.Chance(r)
	if err != nil {
		return CantSay, 0, err
	}
	switch {
	case r.SD == 0 || l.Bound == Unbounded:
		v, err := l.Compare(r.Value)
		return v, p, err
	case p <= closeTail:
		return Pass, p, nil
	case p >= 1-closeTail:
		return Breach, p, nil
	}
	return TooClose, p, nil
}
