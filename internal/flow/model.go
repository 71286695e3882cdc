package flow

import "combline/internal/honey"

// Models lists the models in the order of the chapter in docs/models.md.
func Models() []honey.Model { return append([]honey.Model(nil), models[:]...) }

// ModelOf returns the model of a subject, and whether there is one.
func ModelOf(key string) (honey.Model, bool) {
	for _, m := range models {
		if m.Key == key {
			return m, true
		}
	}
	return honey.Model{}, false
}

const incropera = "Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 6"

// models is never changed.
var models = [...]honey.Model{
	{Key: "vapour", Name: "water in the air, and what it brings comb honey to",
		Formula:  "psat = 611.2·exp(17.62·T/(243.12 + T)) Pa, Y = 0.622·p/(P − p), W = (RH − 0.248)/0.0175",
		Range:    "−40 to 60 °C, 0 to 100 % relative humidity; W for 25 to 80 %, below 50 a driving force only",
		Accuracy: "0.6 % of the steam tables; published lines for W differ by 2 to 4 points of water",
		Source:   "Magnus form, World Meteorological Organization; Pérez et al., Food Bioproc. Technol. 2, 2009; Doull and Mew 1977 for 55 %", Memory: "all coefficients", Grade: "A, W: B"},
	{Key: "gas-side", Name: "the most that air takes off open honey",
		Formula: "n = hm·(aw·psat(Th)/TKh − RH·psat(Ta)/TKa)/461.52, hm = h/(ρ·cp·Le^⅔)", Range: "13 to 25 % water, 0 to 60 °C, film 0.1 to 1000 W/(m²·K)",
		Accuracy: "20 % with the film known; an upper bound: honey's inside is slower", Source: "Lewis analogy; " + incropera, Memory: "Lewis number and the air's figures", Grade: "B"},
	{Key: "comb-drying", Name: "how comb honey dries",
		Formula: "W = We + (W0 − We)·Σ 2/z²·exp(−z²·D·t/L²), z = (m + ½)·π; sealed cells stay", Range: "0 to 10,000 h, cells 1 to 50 mm deep, D 1e-13 to 1e-9 m²/s",
		Accuracy: "D 1e-11 to 5e-11 m²/s, chosen 2e-11: a factor of 5 until two readings have fitted it", Source: "Crank, The Mathematics of Diffusion", Memory: "the series; D", Grade: "C"},
	{Key: "dry-solids", Name: "water to remove, and the drier's load",
		Formula: "m = M·(W0 − W1)/(100 − W1); vent m/(t·(Yroom − Yout)); load m·2.42 MJ/kg/t", Range: "0 to 100 t, 13 to 30 % water",
		Accuracy: "exact balances; the heat of evaporation 1 %", Source: "balance of dry solids, of vapour and of energy", Grade: "A"},
	{Key: "field", Name: "field of an extractor",
		Formula: "G = ω²·r/g", Range: "1 to 2,000 turns a minute, 0.02 to 3 m", Accuracy: "exact", Source: "mechanics", Grade: "A"},
	{Key: "spin", Name: "how long combs must spin",
		Formula: "t = c·μ·L/(ρ·g)·(8/(3·f·Dh))², c 3 to 10; radial g·sin 11°; opens above 0.842·σ/(ρ·a²)", Range: "share left f 0.002 to 0.5",
		Accuracy: "the film alone is a lower bound; c is a factor of 1.8 each way until wet combs have shown it", Source: "Jeffreys's draining film; Bretherton, J. Fluid Mech. 10, 1961; White and Beardsley 1962", Memory: "cell sizes, surface tension, the slug's limit", Grade: "C"},
	{Key: "line", Name: "rate of a line",
		Formula: "least of rate × share that it goes; two stations μ1·(1 − r^K)/(1 − r^(K+1)), K = b + 2; OEE = APT/PBT·PRI·PQ/APT·GQ/PQ", Range: "rates above 0, 0 to 10,000 places between",
		Accuracy: "as good as the rates given; two stations exact for exponential times, steadier ones do better", Source: "birth and death chain; ISO 22400-2:2014 (in a reprint)", Grade: "A"},
	{Key: "sequence", Name: "order of batches",
		Formula: "C[j,k] = max(C[j−1,k], C[j,k−1]) + p; Johnson's rule; bound max over stations of head + own + tail", Range: "1 to 2,000 batches, 1 to 50 stations",
		Accuracy: "proven up to 8 batches and for two stations with any room; else the gap to the bound is shown", Source: "Johnson 1954; Nawaz, Enscore and Ham 1983", Memory: "both", Grade: "A"},
	{Key: "strain", Name: "pressure of a strainer",
		Formula: "plate μ·q/R³·(3 + 8·L/(π·R)); cloth 8.61·μ·a²·B·U/ε²; covered Δp0/(1 − s)²", Range: "holes 0.02 to 20 mm, wires 0.01 to 5 mm",
		Accuracy: "plate exact for slow honey; cloth ±30 %; clogging rough", Source: "Dagan et al. 1982; Armour and Cannon, AIChE J. 1968; Azizi 2019", Memory: "the plate's form", Grade: "B"},
	{Key: "settle", Name: "how bubbles and wax rise",
		Formula: "v = Δρ·g·d²/(18·μ); mobile surface × 3/2; wax 965 kg/m³; clear after depth/v", Range: "0.005 to 20 mm, 1 cm to 20 m, still honey",
		Accuracy: "exact for spheres; honey's viscosity 10 to 25 %; flakes of wax at 0.6 to 0.9; warmth that stirs undoes it", Source: "Stokes 1851; Hadamard and Rybczynski 1911", Grade: "A"},
	{Key: "still-in", Name: "what is still in a tank",
		Formula: "∫ f(d)·max(0, 1 − (d/dc)²) dd, f lognormal by volume, dc = √(depth/(k·t))", Range: "median 0.01 to 10 mm, spread 1.01 to 5",
		Accuracy: "exact for its sizes, which nobody measures in a tank", Source: "integral of Stokes over the sizes", Grade: "C"},
	{Key: "pipe", Name: "pumping, draining, the film on a wall",
		Formula: "Δp = 128·μ·L·Q/(π·D⁴) + ρ·g·Δz; fittings K = 800/Re; drain τ = A·128·μ·L/(π·D⁴·ρ·g); film √(μ·z/(ρ·g·t))", Range: "pipes 4 to 300 mm, Re under 2,100",
		Accuracy: "exact for honey of one temperature; a cold wall makes it more", Source: "Hagen and Poiseuille; Hooper 1981; Jeffreys 1930", Memory: "Hooper's figure; Jeffreys's film", Grade: "A"},
	{Key: "winter", Name: "winter stores",
		Formula: "floor((stores + late flow + from feed − need − reserve)/kg a frame); from sugar m·(1 + 18.015/342.3)/(1 − W/100)·(1 − loss)", Range: "0 to 500 kg a colony",
		Accuracy: "need and frames are common practice by climate: low, likely, high", Source: "trade and club pages; molar masses", Memory: "kg of a full frame; needs in Europe", Grade: "C"},
	{Key: "soft-set", Name: "soft-set honey",
		Formula: "seed 5 to 10 %; W' = 100·(W − c/11)/(100 − c), c = 12 %; 13 to 14 °C for 5 to 8 days", Range: "13 to 25 % water, crystals 0 to 40 %",
		Accuracy: "W' exact for its crystals, which are 10 to 20 %; days and shares are practice", Source: "a university's note on creamed honey; Lochhead 1933 for the classes", Memory: "the range of crystals", Grade: "B"},
	{Key: "own-factor", Name: "the house's own past",
		Formula: "ln factor = m·h²/(h² + e²/n); next ± 1.645·√(1/(1/h² + n/e²) + e²)", Range: "own figures above 0",
		Accuracy: "its band holds 9 of 10 next times if times scatter lognormally", Source: "normal model with known variance; Gelman et al., Bayesian Data Analysis, ch. 2", Memory: "the chapter", Grade: "A"},
}
