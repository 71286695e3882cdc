package fill

import (
	"fmt"
	"math"
)

// A Design is how nozzles are watched. Start from [Usual].
type Design struct {
	CentreG float64 // what a nozzle should give, as the set weight; 0: learned from its first checks
	SDG     float64 // jar to jar within a nozzle; 0: learned from within all nozzles' checks
	Learn   int     // checks to learn a centre from
	LeastDF int     // degrees of freedom before a learned spread is used

	Line   float64 // lines of the means, in standard deviations
	Lambda float64 // weight of the newest mean in the moving average
	L      float64 // lines of the moving average, in its standard deviations
	K      float64 // slack of the cumulative sum, in standard deviations of a mean
	H      float64 // line of the cumulative sum, the same
	Head   float64 // where the sum starts, as a share of H: fast initial response
	Clip   float64 // a point counts as at most so many standard deviations; 0: as it is

	LabelG    float64 // net mass on the label; 0: not known, and no weight is refused for it
	DivisionG float64 // of the scale; the spread is never taken for less than its rounding makes
	Group     int     // jars of one nozzle that make a check, in a stream
}

// Usual is the design for a few jars of each nozzle every half hour: means at
// three standard deviations, moving average 0.2 with lines at 2.962, cumulative
// sum with 0.5 and 5. A steady nozzle then gives a false alarm about once in 220
// checks; one that moves by one standard deviation of a mean is found after 10, by
// two after 3.5 (measured by the tests). The moving average alone gives one in 500
// (Lucas and Saccucci 1990, memory), the sum alone one in 465 (Montgomery, memory).
// Centre and spread are learned unless they are set.
func Usual() Design {
	return Design{Learn: 5, LeastDF: 8, Line: 3, Lambda: 0.2, L: 2.962, K: 0.5, H: 5, Clip: 6, Group: 5}
}

// Quieter is the design with a false alarm of the sums once in so many checks, and of
// the means no more often: for a stream, whose checks come every few minutes and not
// every half hour, the usual lines would cry out every shift.
func (d Design) Quieter(everyChecks float64) (Design, error) {
	h, err := SumLine(d.K, everyChecks)
	if err != nil {
		return d, err
	}
	d.H, d.Line = h, quantile(1-1/(2*everyChecks))
	d.Clip = max(d.Clip, d.Line)
	return d, nil
}

func (d Design) valid() error {
	for _, c := range []struct {
		what      string
		x         float64
		low, high float64
		unit      string
	}{
		{"centre", d.CentreG, 0, maxMassG, " g"}, {"spread", d.SDG, 0, maxMassG, " g"}, {"label", d.LabelG, 0, maxMassG, " g"},
		{"scale division", d.DivisionG, 0, maxMassG, " g"}, {"line of the means", d.Line, 0.1, 100, ""},
		{"weight of the moving average", d.Lambda, 0.001, 1, ""}, {"line of the moving average", d.L, 0.1, 100, ""},
		{"slack of the cumulative sum", d.K, 0, 100, ""}, {"line of the cumulative sum", d.H, 0.01, 1e6, ""},
		{"head start", d.Head, 0, 1, " of the line"}, {"clip", d.Clip, 0, 1e6, ""},
	} {
		if err := checkRange(c.what, c.x, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	if d.Clip != 0 && d.Clip < d.Line {
		return fmt.Errorf("clip at %g, want at least the lines' %g or 0 for none: %w", d.Clip, d.Line, ErrOutOfRange)
	}
	if d.Learn < 1 || d.LeastDF < 1 || d.Group < 1 || d.Group > maxJars {
		return fmt.Errorf("learning from %d checks, %d degrees of freedom, groups of %d jars; want 1 or more of each: %w", d.Learn, d.LeastDF, d.Group, ErrOutOfRange)
	}
	return nil
}

// rounding is the standard deviation that a scale's division alone gives.
func (d Design) rounding() float64 { return d.DivisionG / math.Sqrt(12) }
