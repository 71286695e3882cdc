package honey

// A Property is a figure that a parcel of honey has and a mix may have.
type Property uint8

const (
	PropWater Property = iota
	PropGlucose
	PropFructose
	PropSucrose
	PropMaltose // all reducing disaccharides
	PropAsh
	PropInsolubles
	PropHMF
	PropDiastase
	PropInvertase
	PropFreeAcid
	PropYeast
	PropCost
	PropConductivity
	PropBrix
	PropIndex
	PropOD560
	PropA635
	PropPfund
	PropPH
	PropActivity
	PropDensity
	PropViscosity
	PropGlucoseWater
	PropFructoseGlucose
	propertyCount
)

// A MixRule says how a property of a mix follows from its parts.
type MixRule uint8

const (
	ByMass         MixRule = iota // the mean by mass, exactly
	NearlyByMass                  // the mean by mass, within the reading's doubt
	ByVolume                      // the mean by volume
	ColourByVolume                // turned into optical density, mixed by volume, turned back
	SpecificVolume                // the parts' volumes add up
	Recomputed                    // worked out from the mix's other properties
	NotMixed                      // can't be said without measuring
)

var mixRuleNames = [...]string{"by mass", "nearly by mass", "by volume", "by volume, through optical density",
	"volumes add up", "worked out anew from the mix", "does not mix: measure it"}

func (r MixRule) String() string { return mixRuleNames[min(r, NotMixed)] }

type propertyDef struct {
	name, unit string
	rule       MixRule
	low, high  float64
}

// properties are never changed. Low and high are where a reading is taken for a
// slip: wider than any honey. Properties that are worked out take no reading.
var properties = [propertyCount]propertyDef{
	PropWater:           {"water", "%", ByMass, waterLow, waterHigh},
	PropGlucose:         {"glucose", "g/100g", ByMass, 10, 55},
	PropFructose:        {"fructose", "g/100g", ByMass, 10, 55},
	PropSucrose:         {"sucrose", "g/100g", ByMass, 0, 40},
	PropMaltose:         {"maltose", "g/100g", ByMass, 0, 30},
	PropAsh:             {"ash", "g/100g", ByMass, 0, 5},
	PropInsolubles:      {"insolubles", "g/100g", ByMass, 0, 5},
	PropHMF:             {"HMF", "mg/kg", ByMass, 0, 10000},
	PropDiastase:        {"diastase", "Schade", ByMass, 0, 200},
	PropInvertase:       {"invertase", "units", ByMass, 0, 1000},
	PropFreeAcid:        {"free acid", "meq/kg", ByMass, 0, 200},
	PropYeast:           {"yeast", "/g", ByMass, 0, 1e10},
	PropCost:            {"cost", "per kg", ByMass, 0, 1e6},
	PropConductivity:    {"electrical conductivity", "mS/cm", NearlyByMass, 0, 5},
	PropBrix:            {"Brix", "°Bx", NearlyByMass, brixLow, brixHigh + brixEnd},
	PropIndex:           {"refractive index", "at 20 °C", NearlyByMass, indexLow, indexHigh},
	PropOD560:           {"optical density 560 nm", "in 3.15 cm", ByVolume, odLow, odHigh},
	PropA635:            {"absorbance 635 nm", "in 1 cm", ByVolume, 0, a635High},
	PropPfund:           {"colour", "mm Pfund", ColourByVolume, pfundLow, pfundHigh},
	PropPH:              {"pH", "", NotMixed, 2, 8},
	PropActivity:        {"water activity", "", Recomputed, 0, 0},
	PropDensity:         {"density at 20 °C", "kg/m³", SpecificVolume, 0, 0},
	PropViscosity:       {"viscosity at 20 °C", "Pa·s", Recomputed, 0, 0},
	PropGlucoseWater:    {"glucose/water", "", Recomputed, 0, 0},
	PropFructoseGlucose: {"fructose/glucose", "", Recomputed, 0, 0},
}

func (p Property) def() propertyDef {
	if p >= propertyCount {
		return propertyDef{name: "unknown property", rule: NotMixed}
	}
	return properties[p]
}

// String names the property.
func (p Property) String() string { return p.def().name }

// Unit is the unit of the property's figures.
func (p Property) Unit() string { return p.def().unit }

// Rule says how the property mixes.
func (p Property) Rule() MixRule { return p.def().rule }

// Read reports whether a parcel takes a reading of p; the others are worked out.
func (p Property) Read() bool { return p.def().high > 0 }

// Properties lists them all, in a fixed order.
func Properties() []Property {
	all := make([]Property, propertyCount)
	for i := range all {
		all[i] = Property(i)
	}
	return all
}
