package honey

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"combline/internal/quantity"
)

// A Parcel is a mass of one honey with what was read of it. A property without a
// reading is unknown.
type Parcel struct {
	Name  string
	Mass  quantity.Kg
	known [propertyCount]bool
	value [propertyCount]float64
}

// With returns the parcel with one more reading, in the property's unit.
func (p Parcel) With(prop Property, v float64) Parcel {
	p.Set(prop, v)
	return p
}

// Set puts one more reading on the parcel itself.
func (p *Parcel) Set(prop Property, v float64) {
	if prop < propertyCount {
		p.known[prop], p.value[prop] = true, v
	}
}

// Reading returns what was read, and whether anything was.
func (p Parcel) Reading(prop Property) (float64, bool) {
	if prop >= propertyCount {
		return 0, false
	}
	return p.value[prop], p.known[prop]
}

// An UnknownReason is why a mix's property can't be said; it is a stable key.
type UnknownReason string

const (
	NoReading   UnknownReason = "no reading"
	DoesNotMix  UnknownReason = "does not mix, measure the mix"
	TooDark     UnknownReason = "darker than the scale's end at 114 mm"
	BeyondModel UnknownReason = "outside the range of the model"
	NotReckoned UnknownReason = "not reckoned"
	NoVolume    UnknownReason = "no volume without a water reading in the density's range"
)

// An UnknownError says what can't be said of a mix, why, and because of which parts.
type UnknownError struct {
	Property Property
	Reason   UnknownReason
	Needs    Property // the reading that is missing or out of range
	Parts    []string // the parts that lack it, in the order of the mix
}

func (e *UnknownError) Error() string {
	s := fmt.Sprintf("can't say the mix's %s: %s", e.Property, e.Reason)
	if len(e.Parts) > 0 {
		s += fmt.Sprintf(" (%s of %s)", e.Needs, strings.Join(e.Parts, ", "))
	}
	return s
}

// A Mixed is what a mix of parcels is. Each property is reckoned when it is asked
// for.
type Mixed struct {
	Mass  quantity.Kg
	parts []Parcel
}

// Of returns a property of the mix in its unit, or an [*UnknownError] that says why
// it can't be said.
func (m Mixed) Of(p Property) (float64, error) {
	x, no := m.of(p)
	if no != nil {
		return 0, no
	}
	return x, nil
}

func (m Mixed) of(p Property) (float64, *UnknownError) {
	if len(m.parts) == 0 || p >= propertyCount {
		return 0, &UnknownError{Property: p, Reason: NotReckoned, Needs: p}
	}
	switch p.Rule() {
	case ByMass, NearlyByMass:
		return byMass(m.parts, p)
	case ByVolume:
		return byVolume(m.parts, p, func(x float64) (float64, error) { return x, nil })
	case ColourByVolume:
		return pfundOfMix(m.parts)
	case SpecificVolume:
		return densityOfMix(m.parts)
	case Recomputed:
		return m.recomputed(p)
	}
	return 0, &UnknownError{Property: p, Reason: DoesNotMix, Needs: p}
}

// mostKg bounds a parcel: a million tonnes.
const mostKg = 1e9

// ErrNoParts is returned for a mix of nothing.
var ErrNoParts = errors.New("no parcels to mix")

// Mix reckons what several parcels stirred together are, each property by its own
// rule ([Property.Rule]): most by mass; colour through optical density by volume;
// density by volumes that add up; water activity, viscosity and the sugar ratios
// anew from the mix's water and sugars; pH not at all. A part without a reading
// makes that property of the mix unknown, and the error names the part. Excess
// volume on mixing honeys is negligible. Refused are no parts, a mass that is not
// above 0 (to 1e9 kg), and a reading outside its property's range.
func Mix(parts []Parcel) (Mixed, error) {
	if len(parts) == 0 {
		return Mixed{}, ErrNoParts
	}
	m := Mixed{parts: slices.Clone(parts)}
	for i := range parts {
		if err := parts[i].check(); err != nil {
			return Mixed{}, err
		}
		m.Mass += parts[i].Mass
	}
	return m, nil
}

func (p *Parcel) check() error {
	if !(p.Mass > 0 && p.Mass <= mostKg) {
		return fmt.Errorf("%s: mass %g kg, want above 0 to %g: %w", p.Name, float64(p.Mass), mostKg, ErrOutOfRange)
	}
	for prop := range p.known {
		if !p.known[prop] {
			continue
		}
		d, v := &properties[prop], p.value[prop]
		if d.high == 0 {
			return fmt.Errorf("%s: %s is worked out from other readings, not read", p.Name, d.name)
		}
		if err := d.check(Property(prop), v); err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
	}
	return nil
}

func (d propertyDef) check(p Property, v float64) error {
	if p == PropWater {
		return checkWater(quantity.WaterPct(v), d.low, d.high)
	}
	if !within(v, d.low, d.high) {
		return outside(Input(d.name), v, d.low, d.high)
	}
	return nil
}
