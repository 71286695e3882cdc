package honey

import (
	"math"

	"combline/internal/quantity"
)

// An Activity is a water activity: the humidity of the air, as a fraction of 1,
// that neither dries nor wets the honey.
type Activity float64

const (
	activityWaterLow, activityWaterHigh = 15.0, 21.0
	activityOff                         = 0.035
)

// WaterActivity gives the water activity of liquid honey at about 20 to 25 °C:
//
//	aw = 0.248 + 0.0175·W   ± 0.035
//
// Range 15 to 21 %. The line is that of Alcalá and Gómez 1990 (from memory),
// which lies between the others; published lines lie up to 0.034 above it at
// 17 %. Honeydew is higher than blossom, crystallised higher than liquid.
func WaterActivity(w quantity.WaterPct) (Band[Activity], error) {
	if err := checkWater(w, activityWaterLow, activityWaterHigh); err != nil {
		return Band[Activity]{}, err
	}
	return plusMinus(Activity(0.248+0.0175*float64(w)), activityOff), nil
}

// WaterActivitySafe gives the line to use where a high activity does the harm
// (fermentation): aw = 0.262 + 0.0179·W, Chirife et al. 2006 (coefficients from
// memory), 15 to 21 %, r = 0.971, Argentine floral honeys at 25 °C.
func WaterActivitySafe(w quantity.WaterPct) (Activity, error) {
	if err := checkWater(w, activityWaterLow, activityWaterHigh); err != nil {
		return 0, err
	}
	return Activity(0.262 + 0.0179*float64(w)), nil
}

// Humidity is the relative humidity of air in %.
type Humidity float64

const (
	humidityLow, humidityHigh = 50.0, 80.0
	humidity0                 = 18.45
	humidity1                 = 41.4
	humidity2                 = 159.2
)

// WaterFromHumidity gives the water that honey comes to in air of a relative
// humidity, h = RH/100:
//
//	W = 18.45 + 41.4·(h − 0.6) + 159.2·(h − 0.6)²
//
// Range 50 to 80 %. Within 0.022 points of Martin 1958 (five points, from
// memory); Doull and Mew 1977 put 55 % at 17.5, 0.7 above it. Wetter honey than
// this dries, drier honey takes up water.
func WaterFromHumidity(rh Humidity) (quantity.WaterPct, error) {
	if !within(float64(rh), humidityLow, humidityHigh) {
		return 0, outside(InputHumidity, float64(rh), humidityLow, humidityHigh)
	}
	x := float64(rh)/100 - 0.6
	return quantity.WaterPct(humidity0 + humidity1*x + humidity2*x*x), nil
}

// HumidityFromWater is the inverse of [WaterFromHumidity]: the air in which honey
// of this water stays as it is. Range 15.9 to 33.1 %.
func HumidityFromWater(w quantity.WaterPct) (Humidity, error) {
	low, _ := WaterFromHumidity(humidityLow)
	high, _ := WaterFromHumidity(humidityHigh)
	if !within(float64(w), float64(low), float64(high)) {
		return 0, outside(InputWater, float64(w), float64(low), float64(high))
	}
	d := humidity1*humidity1 - 4*humidity2*(humidity0-float64(w))
	return Humidity(100 * (0.6 + (math.Sqrt(d)-humidity1)/(2*humidity2))), nil
}
