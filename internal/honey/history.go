package honey

import (
	"slices"

	"combline/internal/quantity"
)

// A Watched lot of a honey type: on day After it was seen set, or was still liquid
// when last looked at.
type Watched struct {
	After quantity.Days
	Set   bool
}

// SettingDays are a house's borders between the classes, in days in the jar.
type SettingDays struct{ Fast, MediumFast, Medium quantity.Days }

// UsualSettingDays are one month, three months and a year (common practice, no
// source): let the house change them.
func UsualSettingDays() SettingDays { return SettingDays{30, 90, 365} }

// A SettingHistory is what past lots of a type say. Days holds the first, the
// middle and the last lot's day of setting. AtLeast says that the middle lot had
// not set when last seen, so Days.Likely is only a lower bound and Class the
// fastest it can be.
type SettingHistory struct {
	Class     Setting
	Lots, Set int
	Days      Band[quantity.Days]
	AtLeast   bool
}

// SettingByHistory classes a honey type by the middle day of setting of its past
// lots; with none the class is unknown. A lot seen liquid counts as setting later
// than it was last seen, whatever the others did. Days outside 0 to 10000 are
// refused.
func SettingByHistory(lots []Watched, borders SettingDays) (SettingHistory, error) {
	h := SettingHistory{Lots: len(lots)}
	if len(lots) == 0 {
		return h, nil
	}
	sorted := slices.Clone(lots)
	for _, l := range sorted {
		if !within(float64(l.After), 0, 10000) {
			return SettingHistory{}, outside(InputDays, float64(l.After), 0, 10000)
		}
		if l.Set {
			h.Set++
		}
	}
	slices.SortFunc(sorted, setFirst)
	middle := sorted[(len(sorted)-1)/2]
	h.AtLeast = !middle.Set
	h.Days = Band[quantity.Days]{sorted[0].After, middle.After, sorted[len(sorted)-1].After}
	h.Class = borders.class(middle.After)
	return h, nil
}

// setFirst puts lots seen set before lots seen liquid, each by day: a lot still
// liquid may set at any later day, so it can't come before one that has set.
func setFirst(a, b Watched) int {
	switch {
	case a.Set && !b.Set:
		return -1
	case b.Set && !a.Set:
		return 1
	case a.After < b.After:
		return -1
	case a.After > b.After:
		return 1
	}
	return 0
}

func (s SettingDays) class(d quantity.Days) Setting {
	switch {
	case d <= s.Fast:
		return SettingFast
	case d <= s.MediumFast:
		return SettingMediumFast
	case d <= s.Medium:
		return SettingMedium
	}
	return SettingSlow
}

// SetBy counts how many of the lots had set by a day, of those that tell: a lot
// last seen liquid before that day tells nothing.
func SetBy(lots []Watched, day quantity.Days) (set, of int) {
	for _, l := range lots {
		switch {
		case l.Set && l.After <= day:
			set++
			of++
		case l.After >= day:
			of++ // set later, or seen liquid on the day or after it
		}
	}
	return set, of
}
