package flow

import (
	"errors"
	"math"
)

// A Load is one filling of an extractor, seconds.
type Load struct{ Load, Ramp, Spin, Brake, Unload float64 }

// ExtractorRate gives frames an hour: N·3600/(load + ramp + spin + brake + unload).
// Range 1 to 500 frames. Arithmetic.
func ExtractorRate(frames int, l Load) (float64, error) {
	all := 0.0
	err := within("frames", float64(frames), 1, 500, "")
	for _, s := range [...]float64{l.Load, l.Ramp, l.Spin, l.Brake, l.Unload} {
		err = first(err, within("seconds of a load", s, 0, 1e5, "s"))
		all += s
	}
	if err = first(err, within("seconds of a load in all", all, 1, 1e6, "s")); err != nil {
		return 0, err
	}
	return float64(frames) * 3600 / all, nil
}

// A Station is one step of a line: its rate when it goes, and the share of the time that
// it goes.
type Station struct {
	Name    string
	PerHour float64
	Goes    float64 // above 0 to 1
}

// Bottleneck gives a line's rate, the least of its stations' rates times the share that
// each goes, and which one that is. It is the most that the line can do: without room
// between stations their stops add up ([TwoStations]).
func Bottleneck(all []Station) (perHour float64, slowest int, err error) {
	if len(all) == 0 {
		return 0, 0, errors.New("no station is given")
	}
	perHour = math.Inf(1)
	for i, s := range all {
		if err := first(within(s.Name+" an hour", s.PerHour, 1e-6, 1e7, ""), withinPct("share of the time that "+s.Name+" goes", s.Goes, 1e-3, 1)); err != nil {
			return 0, 0, err
		}
		if r := s.PerHour * s.Goes; r < perHour {
			perHour, slowest = r, i
		}
	}
	return perHour, slowest, nil
}

// TwoStations gives the rate of two stations of exponential times with room for b
// pieces between them, blocking after service: a chain of K = b + 2,
//
//	rate = μ1·(1 − r^K)/(1 − r^(K+1)),   r = μ1/μ2;   μ·K/(K + 1) when equal
//
// Range 0 to 10,000 places. The birth and death chain, exact for exponential times;
// steadier stations do better, so it is the cautious figure.
func TwoStations(perHour1, perHour2 float64, between int) (float64, error) {
	if err := first(within("first station an hour", perHour1, 1e-6, 1e7, ""), within("second station an hour", perHour2, 1e-6, 1e7, ""), within("places between", float64(between), 0, 1e4, "")); err != nil {
		return 0, err
	}
	r, k := perHour1/perHour2, float64(between+2)
	switch x := math.Log(r); {
	case math.Abs(x)*k < 1e-9: // equal, to the last digits
		return perHour1 * k / (k + 1), nil
	case x > 0: // written so that a large power does not overflow
		return perHour2 * (1 - math.Exp(-k*x)) / (1 - math.Exp(-(k+1)*x)), nil
	default:
		return perHour1 * math.Expm1(k*x) / math.Expm1((k+1)*x), nil
	}
}

// TankBank gives the kg an hour of settling tanks that are filled, left to settle and
// emptied in turn: n·V/(fill + settle + empty). Arithmetic.
func TankBank(tanks int, holdsKg, fillH, settleH, emptyH float64) (float64, error) {
	if err := first(within("tanks", float64(tanks), 1, 100, ""), within("tank", holdsKg, 1, 1e6, "kg"), within("hours to fill", fillH, 0, 1e4, "h"),
		within("hours to settle", settleH, 0, 1e4, "h"), within("hours to empty", emptyH, 0, 1e4, "h"), within("hours of a turn", fillH+settleH+emptyH, 0.01, 3e4, "h")); err != nil {
		return 0, err
	}
	return float64(tanks) * holdsKg / (fillH + settleH + emptyH), nil
}

// An OEE is how well a line was used, by the terms of ISO 22400-2:2014.
type OEE struct{ Availability, Effectiveness, Quality, Index float64 }

// UseOfLine gives availability APT/PBT, effectiveness PRI·PQ/APT, quality GQ/PQ and
// their product, from planned busy minutes, minutes really run, planned minutes a
// piece, pieces made and good pieces. Tip-back that can be melted again is no good
// piece. Definitions of ISO 22400-2:2014, read in a reprint; arithmetic.
func UseOfLine(plannedMin, ranMin, minPerPiece float64, made, good int64) (OEE, error) {
	if err := first(within("planned minutes", plannedMin, 1e-3, 1e6, "min"), within("minutes run", ranMin, 1e-3, plannedMin, "min"), within("minutes a piece", minPerPiece, 1e-6, 1e5, "min"),
		within("pieces made", float64(made), 1, 1e9, ""), within("good pieces", float64(good), 0, float64(made), "")); err != nil {
		return OEE{}, err
	}
	o := OEE{Availability: ranMin / plannedMin, Effectiveness: minPerPiece * float64(made) / ranMin, Quality: float64(good) / float64(made)}
	o.Index = o.Availability * o.Effectiveness * o.Quality
	return o, nil
}
