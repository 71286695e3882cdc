package record

import (
	"testing"

	"combline/internal/quantity"
)

// A price is typed without a unit and is money; a rate has the unit of its kind; a
// setting that is neither must be typed with one.
func TestSettingsAreTypedInTheirUnits(t *testing.T) {
	for name, want := range map[string]quantity.Unit{
		"cost.own": quantity.Money, "cost.material.JAR340": quantity.Money, "cost.broken.JAR340": quantity.Pct, "cost.people": quantity.Each, "cost.setup": quantity.Hour,
		"cost.warm": quantity.KWh, "cost.overhead-mass": quantity.KgUnit, "settle.Marl End Bees.price": quantity.Money, "settle.wax-kept": quantity.Pct,
		"settle.moisture.18.5": quantity.Money, "price.summer 340": quantity.Money, "life.cake": quantity.Day, "warm.set": quantity.NoUnit, "costs": quantity.NoUnit,
	} {
		if got := unitOfSetting(name); got != want {
			t.Errorf("%s is typed in %s, want %s", name, got, want)
		}
	}
}
