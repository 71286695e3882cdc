package honey

import (
	"math"

	"combline/internal/quantity"
)

// Townsend's table was printed for 125 to 155 °F, 51.67 to 68.33 °C.
const yeastTempLow, yeastTempHigh = 51.6, 68.4

// YeastKill gives the minutes that honey must be held at t to kill its yeasts:
//
//	t_kill = 21.8 · 10^(−(T − 60)/6.235)
//
// Range 51.7 to 68.3 °C. Within 0.9 % of Townsend 1939 (from memory). It is the
// bare hold: warming up is not counted, and plants hold four to ten times as long
// for safety.
func YeastKill(t quantity.Celsius) (quantity.Minutes, error) {
	if err := checkTemp(t, yeastTempLow, yeastTempHigh); err != nil {
		return 0, err
	}
	return quantity.Minutes(yeastKill(float64(t))), nil
}

func yeastKill(t float64) float64 { return 21.8 * math.Pow(10, -(t-60)/6.235) }

// YeastLethality gives the share of a kill that one minute at t does; summed over
// a temperature history, 1 or more is a kill. It is on the safe side outside the
// table: nothing below 51.6 °C, and above 68.4 °C no more than there. NaN gives
// nothing.
func YeastLethality(t quantity.Celsius) float64 {
	if !(t >= yeastTempLow) {
		return 0
	}
	return 1 / yeastKill(min(float64(t), yeastTempHigh))
}
