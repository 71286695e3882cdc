package flow

import "combline/internal/quantity"

// A CombHeat says what a hot room's temperature does to the combs.
type CombHeat uint8

const (
	CombCool  CombHeat = iota // under 30 °C: honey stays thick
	CombFine                  // 30 to 35 °C
	CombWarm                  // over 35 °C: watch it
	CombAlarm                 // from 38 °C: one report of combs that sagged at 38 to 42
	CombOver                  // over 40 °C: combs fall
)

// CombSafety judges a room with supers in it. Wax softens from about 32 °C and melts at
// 62 to 65 (read); 32 to 35 °C is usual, 38 an alarm and 40 the limit (common practice,
// no source). Range −40 to 120 °C.
func CombSafety(room quantity.Celsius) (CombHeat, error) {
	if err := within("room temperature", float64(room), -40, 120, "°C"); err != nil {
		return CombCool, err
	}
	switch {
	case room < 30:
		return CombCool, nil
	case room <= 35:
		return CombFine, nil
	case room < 38:
		return CombWarm, nil
	case room <= 40:
		return CombAlarm, nil
	}
	return CombOver, nil
}

var combHeats = [...]string{"cool", "fine", "warm", "alarm", "over"}

func (c CombHeat) String() string { return combHeats[min(c, CombOver)] }
