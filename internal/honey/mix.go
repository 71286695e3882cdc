package honey

import (
	"errors"
	"fmt"
	"math"
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
	if prop < propertyCount {
		p.known[prop], p.value[prop] = true, v
	}
	return p
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

// A Mixed is what a mix of parcels is.
type Mixed struct {
	Mass  quantity.Kg
	value [propertyCount]float64
	err   [propertyCount]*UnknownError
	done  bool
}

// Of returns a property of the mix in its unit, or an [*UnknownError] that says why
// it can't be said.
func (m Mixed) Of(p Property) (float64, error) {
	if !m.done || p >= propertyCount {
		return 0, &UnknownError{Property: p, Reason: NotReckoned, Needs: p}
	}
	if m.err[p] != nil {
		return 0, m.err[p]
	}
	return m.value[p], nil
}

// ErrNoParts is returned for a mix of nothing.
var ErrNoParts = errors.New("no parcels to mix")

// Mix reckons what several parcels stirred together are, each property by its own
// rule ([Property.Rule]): most by mass; colour through optical density by volume;
// density by volumes that add up; water activity, viscosity and the sugar ratios
// anew from the mix's water and sugars; pH not at all. A part without a reading
// makes that property of the mix unknown, and the error names the part. Excess
// volume on mixing honeys is negligible. Refused are no parts, a mass that is not
// above 0, and a reading outside its property's range.
func Mix(parts []Parcel) (Mixed, error) {
	if len(parts) == 0 {
		return Mixed{}, ErrNoParts
	}
	m := Mixed{done: true}
	for _, p := range parts {
		if err := p.check(); err != nil {
			return Mixed{}, err
		}
		m.Mass += p.Mass
	}
	for p := Property(0); p < propertyCount; p++ {
		switch p.Rule() {
		case ByMass, NearlyByMass:
			m.value[p], m.err[p] = byMass(parts, p)
		case ByVolume:
			m.value[p], m.err[p] = byVolume(parts, p, func(x float64) (float64, error) { return x, nil })
		case ColourByVolume:
			m.value[p], m.err[p] = pfundOfMix(parts)
		case SpecificVolume:
			m.value[p], m.err[p] = densityOfMix(parts)
		case NotMixed:
			m.err[p] = &UnknownError{Property: p, Reason: DoesNotMix, Needs: p}
		}
	}
	m.recompute()
	return m, nil
}

func (p Parcel) check() error {
	if !(p.Mass > 0) || math.IsInf(float64(p.Mass), 1) {
		return fmt.Errorf("%s: mass %v kg is not above 0: %w", p.Name, float64(p.Mass), ErrOutOfRange)
	}
	for prop, known := range p.known {
		d, v := properties[prop], p.value[prop]
		if !known {
			continue
		}
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

func lacking(parts []Parcel, of, needs Property) *UnknownError {
	var names []string
	for _, p := range parts {
		if !p.known[needs] {
			names = append(names, p.Name)
		}
	}
	if names == nil {
		return nil
	}
	return &UnknownError{Property: of, Reason: NoReading, Needs: needs, Parts: names}
}

func byMass(parts []Parcel, p Property) (float64, *UnknownError) {
	if err := lacking(parts, p, p); err != nil {
		return 0, err
	}
	var sum, mass float64
	for _, part := range parts {
		sum += float64(part.Mass) * part.value[p]
		mass += float64(part.Mass)
	}
	return between(sum/mass, parts, p), nil
}

// between keeps a mean from leaving its parts by a rounding of the last bit.
func between(x float64, parts []Parcel, p Property) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, part := range parts {
		low, high = min(low, part.value[p]), max(high, part.value[p])
	}
	return min(max(x, low), high)
}

// byVolume mixes what turn makes of each part's reading.
func byVolume(parts []Parcel, p Property, turn func(float64) (float64, error)) (float64, *UnknownError) {
	if err := lacking(parts, p, p); err != nil {
		return 0, err
	}
	volumes, err := volumesOf(parts, p)
	if err != nil {
		return 0, err
	}
	var sum, volume float64
	for i, part := range parts {
		x, bad := turn(part.value[p])
		if bad != nil {
			return 0, &UnknownError{Property: p, Reason: TooDark, Needs: p, Parts: []string{part.Name}}
		}
		sum, volume = sum+volumes[i]*x, volume+volumes[i]
	}
	return sum / volume, nil
}

// volumesOf gives each part's volume at 20 °C in m³.
func volumesOf(parts []Parcel, of Property) ([]float64, *UnknownError) {
	if err := lacking(parts, of, PropWater); err != nil {
		return nil, err
	}
	volumes := make([]float64, len(parts))
	for i, p := range parts {
		d, err := Density(20, quantity.WaterPct(p.value[PropWater]))
		if err != nil {
			return nil, &UnknownError{Property: of, Reason: NoVolume, Needs: PropWater, Parts: []string{p.Name}}
		}
		volumes[i] = float64(p.Mass) / float64(d)
	}
	return volumes, nil
}

func pfundOfMix(parts []Parcel) (float64, *UnknownError) {
	od, err := byVolume(parts, PropPfund, func(x float64) (float64, error) { return ODFromPfund(quantity.PfundMM(x)) })
	if err != nil {
		return 0, err
	}
	p, bad := PfundFromOD(min(od, scaleEndOD))
	if bad != nil {
		return 0, &UnknownError{Property: PropPfund, Reason: BeyondModel, Needs: PropPfund}
	}
	return between(float64(p), parts, PropPfund), nil
}

func densityOfMix(parts []Parcel) (float64, *UnknownError) {
	volumes, err := volumesOf(parts, PropDensity)
	if err != nil {
		return 0, err
	}
	var mass, volume float64
	for i, p := range parts {
		mass, volume = mass+float64(p.Mass), volume+volumes[i]
	}
	return mass / volume, nil
}

// recompute works out what follows from the mix's own water and sugars.
func (m *Mixed) recompute() {
	m.from(PropActivity, PropWater, func(w float64) (float64, error) {
		a, err := WaterActivity(quantity.WaterPct(w))
		return float64(a.Likely), err
	})
	m.from(PropViscosity, PropWater, func(w float64) (float64, error) {
		v, err := Viscosity(20, quantity.WaterPct(w))
		return float64(v), err
	})
	m.ratio(PropGlucoseWater, PropGlucose, PropWater)
	m.ratio(PropFructoseGlucose, PropFructose, PropGlucose)
}

func (m *Mixed) from(p, needs Property, model func(float64) (float64, error)) {
	if e := m.err[needs]; e != nil {
		m.err[p] = &UnknownError{Property: p, Reason: e.Reason, Needs: needs, Parts: e.Parts}
		return
	}
	v, err := model(m.value[needs])
	if err != nil {
		m.err[p] = &UnknownError{Property: p, Reason: BeyondModel, Needs: needs}
		return
	}
	m.value[p] = v
}

func (m *Mixed) ratio(p, over, under Property) {
	if e := m.err[under]; e != nil {
		m.err[p] = &UnknownError{Property: p, Reason: e.Reason, Needs: under, Parts: e.Parts}
		return
	}
	m.from(p, over, func(x float64) (float64, error) { return x / m.value[under], nil })
}
