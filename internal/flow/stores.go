package flow

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Climate is how long bees live on their stores.
type Climate string

const (
	MildWinter Climate = "mild"
	Temperate  Climate = "temperate"
	LongCold   Climate = "cold"
)

// Climates lists them in order.
func Climates() []Climate { return []Climate{MildWinter, Temperate, LongCold} }

// WinterNeed gives the kg of stores that a colony should go into winter with: mild 18 to
// 27, temperate 27 to 36, long and cold 36 to 45 (common practice read on trade and club
// pages; C). It is a figure to edit, not a rule.
func WinterNeed(c Climate) (honey.Band[float64], error) {
	switch c {
	case MildWinter:
		return honey.Band[float64]{Low: 18, Likely: 22.5, High: 27}, nil
	case Temperate:
		return honey.Band[float64]{Low: 27, Likely: 31.5, High: 36}, nil
	case LongCold:
		return honey.Band[float64]{Low: 36, Likely: 40.5, High: 45}, nil
	}
	return honey.Band[float64]{}, fmt.Errorf("climate %q, want mild, temperate or cold", string(c))
}

// FrameKg gives the kg of honey in a full frame: deep 2.3 to 3.0, medium 1.5 to 2.0,
// shallow 1.2 to 1.6 (from memory; weigh your own).
func FrameKg(depth string) (honey.Band[float64], error) {
	switch depth {
	case "deep":
		return honey.Band[float64]{Low: 2.3, Likely: 2.65, High: 3.0}, nil
	case "medium":
		return honey.Band[float64]{Low: 1.5, Likely: 1.75, High: 2.0}, nil
	case "shallow":
		return honey.Band[float64]{Low: 1.2, Likely: 1.4, High: 1.6}, nil
	}
	return honey.Band[float64]{}, fmt.Errorf("frame depth %q, want deep, medium or shallow", depth)
}

// Stores are a colony's, kg.
type Stores struct{ Have, LateFlow, Feed, Need, Reserve float64 }

// FramesToTake gives the full frames that may be taken, never below 0:
//
//	floor((stores + late flow + stores from feed − need − reserve)/kg a frame)
//
// Frames of the brood nest stay. Arithmetic on figures that are common practice: give
// low, likely and high ([FramesBand]). Range 0 to 500 kg, frames 0.3 to 6 kg.
func FramesToTake(s Stores, frameKg float64) (int, error) {
	err := within("kg a frame", frameKg, 0.3, 6, "kg")
	for _, x := range [...]struct {
		name string
		kg   float64
	}{{"stores", s.Have}, {"late flow", s.LateFlow}, {"stores from feed", s.Feed}, {"need", s.Need}, {"reserve", s.Reserve}} {
		err = first(err, within(x.name, x.kg, 0, 500, "kg"))
	}
	if err != nil {
		return 0, err
	}
	// the least slip of the sum must not take a whole frame away
	return int(max(0, math.Floor((s.Have+s.LateFlow+s.Feed-s.Need-s.Reserve)/frameKg+1e-9))), nil
}

// FramesBand gives [FramesToTake] as low, likely and high: the most need with the
// heaviest frames, and the least with the lightest.
func FramesBand(s Stores, need, frameKg honey.Band[float64]) (low, likely, high int, err error) {
	for _, x := range [...]struct {
		need, frame float64
		to          *int
	}{{need.High, frameKg.High, &low}, {need.Likely, frameKg.Likely, &likely}, {need.Low, frameKg.Low, &high}} {
		s.Need = x.need
		if *x.to, err = FramesToTake(s, x.frame); err != nil {
			return 0, 0, 0, err
		}
	}
	return low, likely, high, nil
}

// StoresFromSugar gives the kg of stores that bees make of sugar:
//
//	m·(1 + 18.015/342.3)/(1 − W/100)·(1 − loss)
//
// Inversion takes up a molecule of water (exact); the loss, 0.15, is practice: B.
// Range 0 to 1,000 kg, 15 to 25 %, loss 0 to 0.5.
func StoresFromSugar(sugarKg float64, water quantity.WaterPct, loss float64) (float64, error) {
	if err := first(within("sugar", sugarKg, 0, 1e6, "kg"), within("water of the stores", float64(water), 15, 25, "%"), withinPct("loss", loss, 0, 0.5)); err != nil {
		return 0, err
	}
	return sugarKg * (1 + 18.015/342.3) / (1 - float64(water)/100) * (1 - loss), nil
}
