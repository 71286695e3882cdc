package quantity

// A Unit is a unit that people type and papers print. Its number is part of the
// byte form of every fact: never renumber, only append.
type Unit uint8

const (
	NoUnit Unit = iota
	G           // gram
	KgUnit
	T  // metric tonne
	Mg // milligram
	Lb // international avoirdupois pound, 0.45359237 kg exactly
	Oz // avoirdupois ounce, lb/16
	DegC
	DegF
	KelvinUnit
	Pct        // per cent
	MgPerKg    // mg/kg
	MSPerCM    // mS/cm
	MM         // millimetre; also colour on the Pfund scale
	Schade     // diastase number
	PerGram    // counts per gram
	Litre      // volume
	GallonUS   // 231 cubic inches, 3.785411784 L exactly
	Metre      // length
	Minute     // duration
	Hour       // duration
	Day        // duration
	MeqPerKg   // free acid
	RefIndex   // refractive index, dimensionless
	Brix       // sucrose scale
	Each       // a count of things
	Absorbance // optical density
	Micrometre // mesh opening
	KWh        // energy
	Money      // the house's currency
	Millilitre
	GallonUK      // 4.54609 L exactly
	Centimetre    // dip stick depth
	Inch          // 25.4 mm exactly
	MicroSPerCM   // µS/cm, as many conductivity meters show
	Second        // duration
	KW            // power of heaters
	RPM           // turns a minute
	NewtonMetre   // closing torque
	WaterActivity // aw, dimensionless
	PHUnit        // pH
	unitCount     // keep last
)

// A Dimension says what kind of quantity a unit measures.
type Dimension uint8

const (
	NoDimension Dimension = iota
	Mass
	Temperature
	Fraction
	Concentration
	Conductivity
	Length
	Enzyme
	Count
	CountPerMass
	Volume
	Duration
	Acidity
	Index
	Sugar
	Optical
	Energy
	Currency
	Power
	Rotation
	Torque
	Activity
	PH
)

func (d Dimension) String() string { return dimensionNames[d] }

var dimensionNames = [...]string{"number", "mass", "temperature", "share", "concentration", "conductivity",
	"length", "enzyme number", "count", "count per gram", "volume", "duration", "acidity", "refractive index",
	"Brix reading", "optical density", "energy", "sum of money",
	"power", "speed of rotation", "torque", "water activity", "pH"}

// unitDef gives a unit's symbol and what one of it is in the base unit of its
// dimension, as num/den: g for mass, mL for volume, µm for length, min for time.
type unitDef struct {
	symbol   string
	dim      Dimension
	num, den int64
}

var units = [unitCount]unitDef{
	NoUnit: {"", NoDimension, 1, 1},
	G:      {"g", Mass, 1, 1}, KgUnit: {"kg", Mass, 1000, 1}, T: {"t", Mass, 1_000_000, 1}, Mg: {"mg", Mass, 1, 1000},
	Lb: {"lb", Mass, 45_359_237, 100_000}, Oz: {"oz", Mass, 45_359_237, 1_600_000},
	DegC: {"°C", Temperature, 1, 1}, DegF: {"°F", Temperature, 1, 1}, KelvinUnit: {"K", Temperature, 1, 1},
	Pct: {"%", Fraction, 1, 1}, MgPerKg: {"mg/kg", Concentration, 1, 1}, MSPerCM: {"mS/cm", Conductivity, 1, 1},
	MM: {"mm", Length, 1000, 1}, Schade: {"DN", Enzyme, 1, 1}, PerGram: {"/g", CountPerMass, 1, 1},
	Litre: {"L", Volume, 1000, 1}, GallonUS: {"gal", Volume, 3_785_411_784, 1_000_000},
	Metre: {"m", Length, 1_000_000, 1}, Minute: {"min", Duration, 1, 1}, Hour: {"h", Duration, 60, 1}, Day: {"d", Duration, 1440, 1},
	MeqPerKg: {"meq/kg", Acidity, 1, 1}, RefIndex: {"nD", Index, 1, 1}, Brix: {"°Bx", Sugar, 1, 1},
	Each: {"×", Count, 1, 1}, Absorbance: {"AU", Optical, 1, 1}, Micrometre: {"µm", Length, 1, 1},
	KWh: {"kWh", Energy, 1, 1}, Money: {"¤", Currency, 1, 1},
	Millilitre: {"mL", Volume, 1, 1}, GallonUK: {"gal UK", Volume, 454_609, 100},
	Centimetre: {"cm", Length, 10_000, 1}, Inch: {"in", Length, 25_400, 1}, MicroSPerCM: {"µS/cm", Conductivity, 1, 1000},
	Second: {"s", Duration, 1, 60}, KW: {"kW", Power, 1, 1}, RPM: {"rpm", Rotation, 1, 1},
	NewtonMetre: {"N·m", Torque, 1, 1}, WaterActivity: {"aw", Activity, 1, 1}, PHUnit: {"pH", PH, 1, 1},
}

func (u Unit) def() unitDef {
	if u >= unitCount {
		return units[NoUnit]
	}
	return units[u]
}

// Known reports whether u is a unit that this program knows.
func (u Unit) Known() bool { return u > NoUnit && u < unitCount }

// Dimension says what u measures.
func (u Unit) Dimension() Dimension { return u.def().dim }

// String is the symbol as printed.
func (u Unit) String() string { return u.def().symbol }
