package flow

import (
	"errors"
	"math"

	"combline/internal/honey"
)

// A Factor is what a textbook figure is to be multiplied by in this house: nine cases in
// ten of the next time lie between Low and High.
type Factor struct {
	honey.Band[float64]
	Seen    int     // own figures that it rests on
	Spread  float64 // standard deviation of the logarithm, of the next time
	OwnOnly float64 // geometric mean of the own figures alone; 0 when there is none
}

// A Prior is how far the textbook may be off before anything was seen, as standard
// deviations of the logarithm: House of this house from the textbook, Each of one time
// from the next in one house.
type Prior struct{ House, Each float64 }

// Learn corrects a textbook figure by own ones, each given as own over textbook. On
// logarithms, with n own figures of mean m,
//
//	mean = m·h²/(h² + e²/n),   variance of the next = 1/(1/h² + n/e²) + e²
//
// so that one own figure moves the answer part of the way and many move it all the way
// (the normal model with a known variance, lognormal here; Gelman et al., Bayesian Data
// Analysis, ch. 2, from memory). e is the prior's until three or more own figures show
// theirs to be larger.
func Learn(ratios []float64, p Prior) (Factor, error) {
	if err := first(within("spread between houses", p.House, 1e-6, 5, ""), within("spread between times", p.Each, 1e-6, 5, "")); err != nil {
		return Factor{}, err
	}
	n, mean := float64(len(ratios)), 0.0
	for _, r := range ratios {
		if !(1e-6 < r && r < 1e6) {
			return Factor{}, errors.New("a house's own figure over the textbook's must be above 0")
		}
		mean += math.Log(r) / n
	}
	each := max(p.Each, deviation(ratios, mean))
	between, within := p.House*p.House, each*each
	f := Factor{Seen: len(ratios)}
	centre, sure := 0.0, between
	if n > 0 {
		f.OwnOnly = math.Exp(mean)
		centre = mean * between / (between + within/n)
		sure = 1 / (1/between + n/within)
	}
	f.Spread = math.Sqrt(sure + within)
	wide := honey.NineInTen * f.Spread
	f.Band = honey.Band[float64]{Low: math.Exp(centre - wide), Likely: math.Exp(centre), High: math.Exp(centre + wide)}
	return f, nil
}

// deviation is the standard deviation of the ratios' logarithms; 0 for fewer than three.
func deviation(ratios []float64, mean float64) float64 {
	if len(ratios) < 3 {
		return 0
	}
	sum := 0.0
	for _, r := range ratios {
		d := math.Log(r) - mean
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(ratios)-1))
}
