package record

import (
	"strings"

	q "combline/internal/quantity"
)

// settingUnits are the units in which prices and rates are typed when none is given, by
// how their names begin; the longer before the shorter. A name that ends in a dot is for
// one thing each; another is whole.
var settingUnits = []struct {
	name string
	unit q.Unit
}{
	{"cost.overhead-mass", q.KgUnit}, {"cost.drum-work", q.Hour}, {"cost.setup", q.Hour}, {"cost.night-from", q.Hour}, {"cost.night-until", q.Hour},
	{"cost.people", q.Each}, {"cost.warm", q.KWh}, {"cost.broken.", q.Pct}, {"cost.honey.", q.Money}, {"cost.material.", q.Money}, {"cost.other.", q.Money},
	{"cost.test.", q.Money}, {"cost.own", q.Money}, {"cost.bought", q.Money}, {"cost.wage", q.Money}, {"cost.lab", q.Money}, {"cost.overhead", q.Money},
	{"cost.drum", q.Money}, {"cost.night-price", q.Money}, {"warm" + ".price", q.Money}, {"warm" + ".gain", q.Pct}, {"price.", q.Money}, {"life.", q.Day}, {"lab.months", q.Each},
}

// unitOfSetting is the unit in which a setting is typed when none is given; none for a
// setting that is not a price or a rate.
func unitOfSetting(name string) q.Unit {
	for _, x := range settingUnits {
		if name == x.name || strings.HasSuffix(x.name, ".") && strings.HasPrefix(name, x.name) {
			return x.unit
		}
	}
	if !strings.HasPrefix(name, "settle.") {
		return q.NoUnit
	}
	if strings.HasSuffix(name, ".wax-kept") || strings.HasSuffix(name, ".gap") {
		return q.Pct
	}
	return q.Money
}
