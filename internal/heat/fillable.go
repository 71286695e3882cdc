package heat

import "combline/internal/quantity"

// A Target is when honey is ready: no grains in the worst cell, the mean at
// filling temperature, and the coldest point above a floor. What is zero is not
// asked for.
type Target struct {
	Mean    quantity.Celsius // filling temperature
	Coldest quantity.Celsius
	Molten  float64 // share molten in the worst cell; 0.95 counts as no grains
}

// Fillable is the usual target: 0.95 molten in the worst cell and the mean at the
// filling temperature.
func Fillable(mean quantity.Celsius) Target { return Target{Mean: mean, Molten: 0.95} }
