package assay

import (
	"math"

	"combline/internal/honey"
)

// A Marker is something that heat changes in honey and that laboratories read.
type Marker uint8

const (
	HMF Marker = iota
	Diastase
	Invertase
	markers
)

// Markers lists them all.
func Markers() []Marker { return []Marker{HMF, Diastase, Invertase} }

func (m Marker) String() string { return [...]string{"hmf", "diastase", "invertase"}[m] }

// A kinetics is how a marker goes with heat.
//
// over is the published ×/÷ of rates between honeys that holds 9 in 10, at 50 °C.
// energySD is one standard uncertainty of a honey's activation energy, J/mol. For HMF
// it is chosen so that at 20 °C the law holds what 14 honeys showed on the shelf, 0.26
// to 3 mg/kg a month (a shelf-life study of 2009): their range of 3.4 standard
// deviations makes the logarithm's 0.72, of which the factor of 2 at 50 °C is 0.42 and
// the energy the rest, 0.58; activation energies in print run from 92 to 173 kJ/mol.
// For the enzymes energies in print differ by 1 to 3 kJ/mol, and we take 4 (assumption).
type kinetics struct {
	law      honey.Arrhenius
	over     float64
	energySD float64
	log      bool    // the marker's logarithm falls
	relSD    float64 // of a reading without a doubt of its own, share of it
	absSD    float64 // and in its unit
}

func (m Marker) kinetics() kinetics {
	switch m {
	case Diastase:
		return kinetics{law: honey.DiastaseLaw(), over: honey.EnzymeSpread, energySD: 4000, log: true, relSD: honey.DiastaseSD}
	case Invertase:
		return kinetics{law: honey.InvertaseLaw(), over: honey.EnzymeSpread, energySD: 4000, log: true, relSD: honey.DiastaseSD}
	}
	return kinetics{law: honey.HMFLaw(), over: honey.PublishedHMF().Over, energySD: 15000, relSD: 0.08, absSD: 0.8}
}

// UsualDoubt is the standard uncertainty that we take for a reading whose sheet says
// none: for HMF 0.8 mg/kg and 8 % of it (assumption: a good laboratory), for enzymes
// 12.5 % of it (the assay repeats to 20 to 30 %).
func (m Marker) UsualDoubt(value float64) float64 {
	k := m.kinetics()
	return math.Hypot(k.absSD, k.relSD*value)
}

const (
	// withinType is how far one lot's rate lies from its type's, as a share: ×/÷ 1.2
	// holds 9 lots in 10 (assumption; the published factor of 2 is between all honeys).
	withinType = 0.11
	// labShare is the part of a reading's variance that all of a laboratory's readings
	// have in common (assumption: half).
	labShare = 0.5
)

// factorSD is the standard deviation of the logarithm of a type's rate factor, before
// anything was learned.
func (k kinetics) factorSD() float64 { return math.Log(k.over) / honey.NineInTen }
