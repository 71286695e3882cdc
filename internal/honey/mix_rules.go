package honey

import (
	"math"

	"combline/internal/quantity"
)

// How each property of a mix follows from its parts, by [MixRule].

func lacking(parts []Parcel, of, needs Property) *UnknownError {
	var names []string
	for i := range parts {
		if !parts[i].known[needs] {
			names = append(names, parts[i].Name)
		}
	}
	if names == nil {
		return nil
	}
	return &UnknownError{Property: of, Reason: NoReading, Needs: needs, Parts: names}
}

func byMass(parts []Parcel, p Property) (float64, *UnknownError) {
	if no := lacking(parts, p, p); no != nil {
		return 0, no
	}
	var sum, mass float64
	for i := range parts {
		sum += float64(parts[i].Mass) * parts[i].value[p]
		mass += float64(parts[i].Mass)
	}
	return between(sum/mass, parts, p), nil
}

// between keeps a mean from leaving its parts by a rounding of the last bit.
func between(x float64, parts []Parcel, p Property) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range parts {
		low, high = min(low, parts[i].value[p]), max(high, parts[i].value[p])
	}
	return min(max(x, low), high)
}

// byVolume mixes what turn makes of each part's reading.
func byVolume(parts []Parcel, p Property, turn func(float64) (float64, error)) (float64, *UnknownError) {
	if no := lacking(parts, p, p); no != nil {
		return 0, no
	}
	if no := lacking(parts, p, PropWater); no != nil {
		return 0, no
	}
	var sum, volume float64
	for i := range parts {
		v, no := parts[i].volume(p)
		if no != nil {
			return 0, no
		}
		x, err := turn(parts[i].value[p])
		if err != nil {
			return 0, &UnknownError{Property: p, Reason: TooDark, Needs: p, Parts: []string{parts[i].Name}}
		}
		sum, volume = sum+v*x, volume+v
	}
	return sum / volume, nil
}

// volume gives a part's volume at 20 °C in m³, for a property that needs it.
func (p *Parcel) volume(of Property) (float64, *UnknownError) {
	d, err := Density(20, quantity.WaterPct(p.value[PropWater]))
	if err != nil {
		return 0, &UnknownError{Property: of, Reason: NoVolume, Needs: PropWater, Parts: []string{p.Name}}
	}
	return float64(p.Mass) / float64(d), nil
}

func pfundOfMix(parts []Parcel) (float64, *UnknownError) {
	od, no := byVolume(parts, PropPfund, func(x float64) (float64, error) { return ODFromPfund(quantity.PfundMM(x)) })
	if no != nil {
		return 0, no
	}
	p, err := PfundFromOD(min(od, scaleEndOD))
	if err != nil {
		return 0, &UnknownError{Property: PropPfund, Reason: BeyondModel, Needs: PropPfund}
	}
	return between(float64(p), parts, PropPfund), nil
}

func densityOfMix(parts []Parcel) (float64, *UnknownError) {
	if no := lacking(parts, PropDensity, PropWater); no != nil {
		return 0, no
	}
	var mass, volume float64
	for i := range parts {
		v, no := parts[i].volume(PropDensity)
		if no != nil {
			return 0, no
		}
		mass, volume = mass+float64(parts[i].Mass), volume+v
	}
	return mass / volume, nil
}

// recomputed works out what follows from the mix's own water and sugars.
func (m Mixed) recomputed(p Property) (float64, *UnknownError) {
	switch p {
	case PropGlucoseWater:
		return m.ratio(p, PropGlucose, PropWater)
	case PropFructoseGlucose:
		return m.ratio(p, PropFructose, PropGlucose)
	}
	w, no := m.needs(p, PropWater)
	if no != nil {
		return 0, no
	}
	x, err := ofWater(p, quantity.WaterPct(w))
	if err != nil {
		return 0, &UnknownError{Property: p, Reason: BeyondModel, Needs: PropWater}
	}
	return x, nil
}

func ofWater(p Property, w quantity.WaterPct) (float64, error) {
	if p == PropActivity {
		a, err := WaterActivity(w)
		return float64(a.Likely), err
	}
	v, err := Viscosity(20, w)
	return float64(v), err
}

func (m Mixed) ratio(p, over, under Property) (float64, *UnknownError) {
	y, no := m.needs(p, under)
	if no != nil {
		return 0, no
	}
	x, no := m.needs(p, over)
	if no != nil {
		return 0, no
	}
	return x / y, nil
}

// needs gives what p is worked out from, or why p can't be.
func (m Mixed) needs(p, from Property) (float64, *UnknownError) {
	x, no := m.of(from)
	if no != nil {
		return 0, &UnknownError{Property: p, Reason: no.Reason, Needs: from, Parts: no.Parts}
	}
	return x, nil
}
