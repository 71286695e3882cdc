package flow

import "fmt"

// gravity is the standard acceleration of free fall, m/s².
const gravity = 9.80665

// within refuses a figure outside its range; so written, NaN is refused too.
func within(name string, x, low, high float64, unit string) error {
	if low <= x && x <= high {
		return nil
	}
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Errorf("%s %g%s, want %g to %g", name, x, unit, low, high)
}

// withinMM refuses a small length in the unit that people measure it in.
func withinMM(name string, m, lowM, highM float64) error {
	if lowM <= m && m <= highM {
		return nil
	}
	return fmt.Errorf("%s %.6g mm, want %.6g to %.6g", name, 1000*m, 1000*lowM, 1000*highM)
}

// withinPct refuses a share of 1 in per cent.
func withinPct(name string, share, low, high float64) error {
	if low <= share && share <= high {
		return nil
	}
	return fmt.Errorf("%s %.6g %%, want %.6g to %.6g", name, 100*share, 100*low, 100*high)
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// solve finds where a function that falls with x passes through level, by halving.
// The 200 steps go to the last bit of any range used here.
func solve(falls func(float64) float64, level, low, high float64) float64 {
	for range 200 {
		mid := (low + high) / 2
		if falls(mid) > level {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
