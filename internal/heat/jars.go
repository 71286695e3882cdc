package heat

import "math"

// Jars are filled jars standing in a square pattern, in a case or on a pallet.
type Jars struct {
	DiameterM, HeightM float64 // of the honey in one
	PitchM             float64 // from jar to jar
	LayerM             float64 // from layer to layer
	GlassM             float64 // of the wall
	GapFilm            float64 // through the air from jar to jar, W/(m²·K); 0: 6
}

const (
	usualGapFilm     = 6.0 // radiation and resting air across a centimetre (own estimate)
	glassWMK         = 1.0 // W/(m·K), soda-lime glass; handbook, from memory
	glassKgM3        = 2500.0
	glassHeatJKgK    = 840.0
	squareOfTheRound = 0.886226925 // √π/2: the side of a square as large as a circle, over its diameter
)

func (j Jars) check() error {
	return first(between("diameter of a jar", j.DiameterM, 0.01, 0.5, "m"), between("height of a jar", j.HeightM, 0.01, 0.5, "m"),
		between("pitch of the jars", j.PitchM, j.DiameterM, 1, "m"), between("layer of the jars", j.LayerM, j.HeightM, 1, "m"),
		between("glass", j.GlassM, 0, 0.02, "m"), between("film between jars", j.GapFilm, 0, 1000, "W/(m²·K)"))
}

// One is one of the jars by itself, its glass in series with the film around it.
func (j Jars) One(film float64) (Body, float64, error) {
	if err := j.check(); err != nil {
		return Body{}, 0, err
	}
	through, err := Through(film, Layer{j.GlassM, glassWMK})
	return Drum(j.DiameterM, j.HeightM), through, err
}

// Stack smears along × across × high jars into one box of even stuff: its density and
// heat capacity are those of honey and glass over the whole space, and its conductivity
// is that of a jar, its glass and the air to the next in series,
//
//	k = share·pitch/(a/k_honey + 2·glass/k_glass + 1/gap),  a = √π/2·diameter
//
// with the share of the face that jars fill; of the two directions the slower counts for
// both. An own estimate, without a published source: good to ×/÷ 1.5, and the middle of a
// jar lags behind its place in the stack. Cartons belong into the film ([Through]).
func (j Jars) Stack(along, across, high int, honey Properties) (Body, Properties, error) {
	err := j.check()
	for _, n := range [...]int{along, across, high} {
		err = first(err, between("jars in a row", float64(n), 1, 200, ""))
	}
	if err != nil {
		return Body{}, Properties{}, err
	}
	honey.HeatCapacity, honey.DensityKgM3 = j.smear(honey)
	low, high20 := j.conductivity(honey.Conductivity.At(20)), j.conductivity(honey.Conductivity.At(60))
	slope := (high20 - low) / 40
	honey.Conductivity = Line{At0: low - 20*slope, PerC: slope}
	return Crate(float64(along)*j.PitchM, float64(across)*j.PitchM, float64(high)*j.LayerM), honey, nil
}

// smear spreads honey and glass over the space of a jar: the heat capacity is per kg of
// honey, the glass's with it.
func (j Jars) smear(honey Properties) (Line, float64) {
	space := j.PitchM * j.PitchM * j.LayerM
	filled := math.Pi / 4 * j.DiameterM * j.DiameterM * j.HeightM
	glass := j.GlassM * (math.Pi*j.DiameterM*j.HeightM + math.Pi/4*j.DiameterM*j.DiameterM) * glassKgM3
	extra := glass * glassHeatJKgK / (filled * honey.DensityKgM3)
	return Line{At0: honey.HeatCapacity.At0 + extra, PerC: honey.HeatCapacity.PerC}, honey.DensityKgM3 * filled / space
}

func (j Jars) conductivity(honey float64) float64 {
	gap := j.GapFilm
	if gap == 0 {
		gap = usualGapFilm
	}
	a := squareOfTheRound * j.DiameterM
	sideways := a / j.PitchM * j.HeightM / j.LayerM * j.PitchM / (a/honey + 2*j.GlassM/glassWMK + 1/gap)
	upwards := a * a / (j.PitchM * j.PitchM) * j.LayerM / (j.HeightM/honey + 2*j.GlassM/glassWMK + 1/gap)
	return min(sideways, upwards)
}
