package heat

import "combline/internal/quantity"

// A Plan asks for the set points that make a body ready in time.
type Plan struct {
	Case      Case // heated faces follow the set point; their own ambient is not read
	Target    Target
	DeadlineH float64 // hours from now
	Low, High quantity.Celsius
	Step      quantity.Celsius // set points are multiples of it; 0: 1
	StepH     float64          // and change on multiples of it; 0: 0.5
	Changes   int              // set points at most; 0: 3
	MostHMF   quantity.MgKg    // 0: least damage; else least energy with the mean HMF under it
}

// A Setpoint is what a person sets, from an hour on.
type Setpoint struct {
	Hour float64
	C    quantity.Celsius
}

// A Schedule is the answer to a [Plan].
type Schedule struct {
	Set       []Setpoint
	StartH    float64 // when the heater goes on; before it the honey waits
	ReadyH    float64 // when the target is met
	Result    Result
	Steady    Setpoint // the best single set point, to compare with
	SteadyHMF quantity.MgKg
}
