// Package quantity holds the units of the trade as types: integers for the
// books, so that a balance closes exactly and a record has one byte form, and
// floats for the models. It parses what people type and carries doubt.
package quantity

// Integers of the books.
type (
	Gram      int64 // bookkept mass of honey, wax, boxes
	Milligram int64 // mass of one jar or portion
)

// Floats of the models.
type (
	Celsius    float64 // what people read and type; rate laws take Kelvin
	Kelvin     float64 // absolute temperature
	Kg         float64 // mass inside a model
	WaterPct   float64 // g of water per 100 g of honey
	KgM3       float64 // density
	PaS        float64 // dynamic viscosity
	MgKg       float64 // HMF, mg per kg of honey
	DN         float64 // diastase number, Schade (Gothe) units
	PfundMM    float64 // colour on the Pfund scale
	MilliSCm   float64 // electrical conductivity, mS/cm
	Days       float64
	Minutes    float64
	KJKgK      float64 // specific heat capacity
	WMK        float64 // thermal conductivity, W/(m·K)
	YeastPerG  float64 // living yeast cells per gram
	Percent    float64 // a share of 100
	MoneyCents int64   // hundredths of the house's currency
)

// ZeroC is 0 °C in kelvin.
const ZeroC = 273.15

// Kelvin converts t to absolute temperature.
func (t Celsius) Kelvin() Kelvin { return Kelvin(t + ZeroC) }

// Celsius converts t to degrees Celsius.
func (t Kelvin) Celsius() Celsius { return Celsius(t - ZeroC) }

// Fahrenheit gives the number of degrees Fahrenheit: 1.8 t + 32, exact by the
// scale's definition.
func (t Celsius) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// Kg converts m to a model's mass.
func (m Gram) Kg() Kg { return Kg(m) / 1000 }
