package office

import (
	"combline/internal/quantity"
	"combline/internal/record"
)

// A PlaceStock is what stands in one place.
type PlaceStock struct {
	Place   record.Code
	For     record.PlaceKind
	Vessels int // that hold honey
	Grams   quantity.Gram
	Temp    Temperature
}

// Places lists the places of the house with the honey in vessels there.
func (v *View) Places(floor []Stand) (all []PlaceStock) {
	at := map[string]int{}
	for _, t := range v.State.OfKind(record.Place) {
		named, ok := v.State.Named(t).(*record.PlaceNamed)
		if !ok {
			continue
		}
		p := PlaceStock{Place: v.State.Code(t), For: named.For}
		if x, ok := v.State.TemperatureOf(t); ok {
			p.Temp = Temperature{Value: x.Fact.Temp, When: x.When, Place: p.Place}
		}
		at[p.Place.Fold()] = len(all)
		all = append(all, p)
	}
	for _, st := range floor {
		if i, ok := at[st.Place.Fold()]; ok && !st.Empty {
			all[i].Vessels++
			all[i].Grams += st.Content.Grams
		}
	}
	return all
}
