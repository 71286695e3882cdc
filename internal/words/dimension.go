package words

import "combline/internal/quantity"

// dimensionKey is the key of the word for a kind of quantity.
func dimensionKey(d quantity.Dimension) string {
	if int(d) >= len(dimensions) {
		d = quantity.NoDimension
	}
	return "kind." + dimensions[d]
}

var dimensions = [...]string{
	quantity.NoDimension: "number", quantity.Mass: "mass", quantity.Temperature: "temperature",
	quantity.Fraction: "share", quantity.Concentration: "concentration", quantity.Conductivity: "conductivity",
	quantity.Length: "length", quantity.Enzyme: "enzyme", quantity.Count: "count",
	quantity.CountPerMass: "count-per-mass", quantity.Volume: "volume", quantity.Duration: "duration",
	quantity.Acidity: "acidity", quantity.Index: "index", quantity.Sugar: "sugar", quantity.Optical: "optical",
	quantity.Energy: "energy", quantity.Currency: "money", quantity.Power: "power", quantity.Rotation: "rotation",
	quantity.Torque: "torque", quantity.Activity: "activity", quantity.PH: "ph",
}
