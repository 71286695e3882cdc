package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Microgram is the finest mass here: errors of scales and of test weights.
type Microgram int64

// Grams returns m in grams.
func (m Microgram) Grams() float64 { return float64(m) / 1e6 }

// MicrogramsOf takes grams to whole micrograms; up to 100 tonnes.
func MicrogramsOf(g float64) (Microgram, error) {
	if !(math.Abs(g) <= 1e8) {
		return 0, fmt.Errorf("mass %g g, want at most 100 t: %w", g, ErrOutOfRange)
	}
	return Microgram(math.Round(g * 1e6)), nil
}

const (
	mg Microgram = 1000
	gm           = 1000 * mg
)

// ScaleClass is the accuracy class of a non-automatic scale.
type ScaleClass uint8

const (
	NoClass ScaleClass = iota
	ClassI
	ClassII
	ClassIII
	ClassIIII
)

var classNames = [...]string{"none", "I", "II", "III", "IIII"}

func (c ScaleClass) String() string {
	if int(c) >= len(classNames) {
		return classNames[NoClass]
	}
	return classNames[c]
}

// ParseScaleClass reads I, II, III or IIII.
func ParseScaleClass(s string) (ScaleClass, error) {
	for c := ClassI; c <= ClassIIII; c++ {
		if classNames[c] == s {
			return c, nil
		}
	}
	return NoClass, fmt.Errorf("scale class %q, want I, II, III or IIII", s)
}

// scaleSteps are the loads, in verification intervals e and inclusive, up to
// which the error may be half an e, one e and one and a half e.
var scaleSteps = [...][3]int64{
	ClassI:    {50_000, 200_000, math.MaxInt64},
	ClassII:   {5_000, 20_000, 100_000},
	ClassIII:  {500, 2_000, 10_000},
	ClassIIII: {50, 200, 1_000},
}

// A ScaleError is what a scale may err at a load, either way.
type ScaleError struct {
	Initial   Microgram // at verification
	InService Microgram // in use: twice that
	Cite      Cite
}

// ScaleErrorOf gives the permissible error of a scale of a class and
// verification interval e at a load: 0.5, 1 and 1.5 e, the upper end of each
// step inclusive; in service twice that (3.5.2). Valid from a load of 0 to the
// greatest of the class (10,000 e in class III); exact. Source: OIML R
// 76-1:2006 table 6 (read).
func ScaleErrorOf(c ScaleClass, e, load Microgram) (ScaleError, error) {
	if c < ClassI || c > ClassIIII {
		return ScaleError{}, fmt.Errorf("scale class %d, want I, II, III or IIII", c)
	}
	if err := checkInterval(e); err != nil {
		return ScaleError{}, err
	}
	if load < 0 || load > 1e8*gm {
		return ScaleError{}, fmt.Errorf("load %g g, want 0 g to 100 t: %w", load.Grams(), ErrOutOfRange)
	}
	for i, steps := range scaleSteps[c] {
		// load ≤ steps × e, without leaving whole numbers
		if q := int64(load / e); q < steps || q == steps && load%e == 0 {
			half := Microgram(i+1) * e
			return ScaleError{Initial: half / 2, InService: half, Cite: Cite{OIMLScales, "table 6", Read}}, nil
		}
	}
	return ScaleError{}, fmt.Errorf("load %g g is more than %d × e = %g g, the most of class %s: %w",
		load.Grams(), scaleSteps[c][2], float64(scaleSteps[c][2])*e.Grams(), c, ErrOutOfRange)
}

// checkInterval keeps e a whole even number of micrograms, so half of it is one.
func checkInterval(e Microgram) error {
	if e < 2 || e > 1e6*gm || e%2 != 0 {
		return fmt.Errorf("interval e %g g, want 0.000002 g to 1 t in whole micrograms that halve: %w", e.Grams(), ErrOutOfRange)
	}
	return nil
}

// classRow: intervals from and to, numbers of them, least load in e. R 76-1
// table 3; the intervals it leaves out between rows are not of the form 1, 2 or
// 5 × 10^k, which no scale lacks.
type classRow struct {
	class    ScaleClass
	from, to Microgram // to 0: open
	nMin     int64
	nMax     int64
	least    int64
}

var classRows = [...]classRow{
	{ClassIII, 100 * mg, 2 * gm, 100, 10_000, 20},
	{ClassIII, 5 * gm, 0, 500, 10_000, 20},
	{ClassII, 1 * mg, 50 * mg, 100, 100_000, 20},
	{ClassII, 100 * mg, 0, 5_000, 100_000, 50},
	{ClassIIII, 5 * gm, 0, 100, 1_000, 10},
}

// A ScaleCheck tells whether a scale can be of its class.
type ScaleCheck struct {
	Intervals  int64 // n = Max/e
	NMin, NMax int64
	Fits       bool
	Least      Microgram // the least load it may weigh
	Cite       Cite
}

// CheckScale tells whether a scale of interval e and capacity most can be of a
// class: n = most/e from the least to the greatest number, both inclusive. A
// part of an interval counts against the scale. Class I is not in the table at
// hand. Source: OIML R 76-1:2006 table 3 (read).
func CheckScale(c ScaleClass, e, most Microgram) (ScaleCheck, error) {
	if err := checkInterval(e); err != nil {
		return ScaleCheck{}, err
	}
	if most < e || most > 1e8*gm {
		return ScaleCheck{}, fmt.Errorf("capacity %g g, want one interval of %g g to 100 t: %w", most.Grams(), e.Grams(), ErrOutOfRange)
	}
	for i := range classRows {
		r := &classRows[i]
		if r.class != c || e < r.from || r.to != 0 && e > r.to {
			continue
		}
		n := int64(most / e)
		fits := n >= r.nMin && (n < r.nMax || n == r.nMax && most%e == 0)
		return ScaleCheck{n, r.nMin, r.nMax, fits, Microgram(r.least) * e, Cite{OIMLScales, "table 3", Read}}, nil
	}
	return ScaleCheck{}, fmt.Errorf("class %s has no interval of %g g in the table; check the scale's plate: %w", c, e.Grams(), ErrNoRule)
}

// A JarScale tells whether a scale weighs jars of a label well enough.
type JarScale struct {
	Allowed Microgram // the most the measurement may err (us: the most a division may be)
	Has     Microgram // what the scale may err in service at the label (us: its division)
	Enough  bool
	Cite    Cite
}

// CheckJarScale tells whether a scale is good enough to check jars of a label.
// eu, uk, de, oiml: its error in service at the label's load is at most T/5
// (French arrete of 20 Oct 1978 art. 9, read). us: its division is at most a
// sixth of the allowable variation, and it has at least 100 divisions (NIST
// Handbook 133 chapter 2.2, read). Exact.
func CheckJarScale(r Rules, label quantity.Milligram, c ScaleClass, e, most Microgram) (JarScale, error) {
	t, err := ToleranceOf(r, label)
	if err != nil {
		return JarScale{}, err
	}
	if r == US {
		if err := checkInterval(e); err != nil {
			return JarScale{}, err
		}
		allowed := Microgram(t.T) * mg
		return JarScale{allowed / 6, e, 6*e <= allowed && most >= 100*e, Cite{USWeighing, "ch. 2.2", Read}}, nil
	}
	s, err := ScaleErrorOf(c, e, Microgram(label)*mg)
	if err != nil {
		return JarScale{}, err
	}
	allowed := Microgram(t.T) * mg / 5
	return JarScale{allowed, s.InService, s.InService <= allowed && Microgram(label)*mg <= most, Cite{EUWeighing, "art. 9", Read}}, nil
}
