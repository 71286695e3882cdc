package honey

// A Model is what a page or a command prints beside an answer: where it comes from
// and how far to trust it.
type Model struct {
	Key      string // the subject's name
	Name     string
	Formula  string
	Range    string
	Accuracy string
	Source   string
	Memory   string // what of it was recalled and not re-read in its source; "" if nothing
	Grade    string // A solid, B usable, C rough, D doubtful
}

// Models lists every model, in the order of docs/models.md.
func Models() []Model { return append([]Model(nil), models[:]...) }

// ModelOf returns the model of a subject, and whether there is one.
func ModelOf(key string) (Model, bool) {
	for _, m := range models {
		if m.Key == key {
			return m, true
		}
	}
	return Model{}, false
}

// models is never changed.
var models = [...]Model{
	{Key: "water", Name: "water from the refractive index",
		Formula:  "W = (−0.2681 − log10(n20 − 1)) / 0.002243, n20 = n + 0.00023·(T − 20)",
		Range:    "n20 1.4740 to 1.5044 (25 to 13 %), 5 to 60 °C",
		Accuracy: "0.022 points against the table; a handheld reading ±0.2 in good hands",
		Source:   "Chataway 1932; Wedmore, Bee World 36, 1955; AOAC 969.38", Grade: "A"},
	{Key: "brix", Name: "Brix and water",
		Formula:  "W = 100.656 − 1.02964·Bx",
		Range:    "73 to 85 °Bx, 20 °C",
		Accuracy: "0.022 points from the index scale",
		Source:   "fitted through the sucrose scale and the water table",
		Memory:   "the sucrose table it was compared with", Grade: "A"},
	{Key: "density", Name: "density",
		Formula:  "ρ = 998.2·(1.4235 − 0.00631·(W − 17) − 0.000201·(W − 17)²) − 0.56·(T − 20) kg/m³",
		Range:    "13 to 21 %, 10 to 60 °C",
		Accuracy: "0.024 % at 20 °C; slope 0.56 ± 0.1 per °C, derived",
		Source:   "White 1975 in Crane, Honey; US grade standard for 18.6 %",
		Memory:   "the table of specific gravity", Grade: "B+"},
	{Key: "viscosity", Name: "viscosity",
		Formula:  "ln η = −7.825 + 802/(TK − T0), T0 = 216.4 − 3.63·(W − 17), Pa·s",
		Range:    "13.5 to 22 %, 10 to 71.5 °C, clear liquid honey",
		Accuracy: "9.6 % at worst, usually 4 %; honeys differ by 10, at worst 25 %",
		Source:   "fitted to Munro 1943 and a French 18 % series",
		Memory:   "most of Munro's figures", Grade: "B"},
	{Key: "activity", Name: "water activity",
		Formula:  "aw = 0.248 + 0.0175·W ± 0.035",
		Range:    "15 to 21 %, 20 to 25 °C, liquid",
		Accuracy: "published lines differ by 0.03 to 0.07",
		Source:   "Alcalá and Gómez 1990; Chirife et al. 2006 for the safe side",
		Memory:   "the coefficients", Grade: "C+"},
	{Key: "humidity", Name: "water that honey comes to in air",
		Formula:  "W = 18.45 + 41.4·(h − 0.6) + 159.2·(h − 0.6)², h = RH/100",
		Range:    "50 to 80 % relative humidity",
		Accuracy: "0.022 points on its five points; one other reading lies 0.7 higher",
		Source:   "Martin 1958, in White 1975",
		Memory:   "the five points", Grade: "B−"},
	{Key: "hmf", Name: "HMF formation",
		Formula:  "d[HMF]/dt = 4.96·exp(−(141000/R)·(1/TK − 1/323.15)) mg/kg a day",
		Range:    "0 to 100 °C; fitted 30 to 70",
		Accuracy: "×/÷ 2 between honeys, worse above 75 °C",
		Source:   "White, Kushnir and Subers 1964 in two reprints", Grade: "C"},
	{Key: "diastase", Name: "diastase half-life",
		Formula:  "t½ = 5.38·exp((147550/R)·(1/TK − 1/323.15)) days",
		Range:    "10 to 80 °C",
		Accuracy: "1.4 % of the table; honeys differ by 30 %, the assay repeats to 20 to 30 %",
		Source:   "White, Kushnir and Subers 1964; Crane 1980",
		Memory:   "the fine table", Grade: "B+"},
	{Key: "invertase", Name: "invertase half-life",
		Formula:  "t½ = 1.285·exp((169530/R)·(1/TK − 1/323.15)) days",
		Range:    "10 to 80 °C",
		Accuracy: "2 % of the table; honeys differ by 30 %",
		Source:   "White, Kushnir and Subers 1964; Crane 1980",
		Memory:   "the fine table", Grade: "B+"},
	{Key: "yeast", Name: "time that kills yeast",
		Formula:  "t = 21.8·10^(−(T − 60)/6.235) minutes",
		Range:    "51.7 to 68.3 °C",
		Accuracy: "0.9 % of the table; the bare hold, no margin",
		Source:   "Townsend, J. Econ. Entomol. 32, 1939",
		Memory:   "the table", Grade: "B"},
	{Key: "ferment", Name: "fermentation within a year",
		Formula:  "to 17.1 % any yeast; to 18 % 1000 per g; to 19 % 10; to 20 % 1; over 20 % never",
		Range:    "13 to 25 %",
		Accuracy: "classes as printed; the gaps between them closed upward",
		Source:   "Lochhead 1933", Grade: "A"},
	{Key: "granulation", Name: "how fast it sets",
		Formula:  "glucose/water: to 1.70 slow, to 2.00 medium, to 2.10 medium to fast, above fast",
		Range:    "glucose 10 to 55 g/100 g, 13 to 25 % water",
		Accuracy: "a rule of thumb; criteria contradict each other for some honeys",
		Source:   "White 1962; Manikis and Thrasyvoulou, Apiacta 36, 2001", Grade: "C"},
	{Key: "colour", Name: "colour scales and classes",
		Formula:  "linear in log10(OD) between the class limits; Pfund = −38.70 + 371.39·A635",
		Range:    "0 to 140 mm; OD 0 to 3.008; A635 0 to 0.48",
		Accuracy: "exact at the six class limits",
		Source:   "US standards for grades of extracted honey, 1985; White 1984",
		Memory:   "the line for A635", Grade: "A"},
	{Key: "screen", Name: "colour of a swatch on a page",
		Formula:  "absorbance falling by 10^(−0.005) a nm through the optical density at 560 nm, 1 cm, CIE 1931, sRGB",
		Range:    "0 to 140 mm",
		Accuracy: "for display only: reckoned, never compared with honey",
		Source:   "caramel's hue index (Linner); Wyman, Sloan and Shirley 2013; IEC 61966-2-1",
		Memory:   "the observer's fit", Grade: "D"},
	{Key: "heat-capacity", Name: "specific heat",
		Formula:  "cp = 4.18·w + 1.855·(1 − w) kJ/(kg·K)",
		Range:    "13 to 25 %, 0 to 80 °C, liquid",
		Accuracy: "8 %: one anchor and a mixing rule",
		Source:   "Helvey 1954", Grade: "C"},
	{Key: "conductivity", Name: "thermal conductivity",
		Formula:  "k = 0.532 + 0.0012·(T − 20) − 0.0034·(W − 17) W/(m·K), or 0.34",
		Range:    "15 to 21 %, 2 to 71 °C",
		Accuracy: "0.7 % of the classical table, which is in doubt itself: plan by the lower",
		Source:   "Townsend 1961 and Helvey 1954 in White 1975; additive estimate for the lower",
		Memory:   "the table but for two cells and its ends", Grade: "D"},
	{Key: "energy", Name: "energy of 100 g",
		Formula:  "EU: 4·carbohydrate + 4·protein + 9·fat + 2·fibre kcal; US: 3.68·(carbohydrate + fibre) + 3.36·protein + 9·fat",
		Range:    "0 to 100 g in 100 g",
		Accuracy: "factors by definition; the two differ by about 9 %",
		Source:   "Regulation (EU) 1169/2011 annex XIV; USDA FoodData Central, honey", Grade: "A"},
	{Key: "dextrose", Name: "dextrose equivalent",
		Formula:  "DE = 100·(glucose + fructose + 0.526·maltose)/(100 − W)",
		Range:    "sugars 10 to 55 g/100 g, 13 to 25 % water",
		Accuracy: "exact counting of reducing ends",
		Source:   "molar masses, 180.16/342.3",
		Memory:   "theory", Grade: "A"},
	{Key: "mix", Name: "mix of several parcels",
		Formula:  "Σ mass·value / Σ mass, or as the property's own rule says",
		Range:    "each property's own",
		Accuracy: "exact by mass; conductivity, Brix and index nearly",
		Source:   "mass balance; Beer and Lambert for colour", Grade: "A"},
}
