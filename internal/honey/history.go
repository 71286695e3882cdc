package honey

import (
	"cmp"
	"fmt"
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

// A SettingHistory is what past lots of a type say. Days holds the first day seen,
// the day by which half the lots had set, and the last day seen. AtLeast says that
// fewer than half had set by the last day: Days.Likely is then only a lower bound and
// Class the fastest it can be.
type SettingHistory struct {
	Class     Setting
	Lots, Set int
	Days      Band[quantity.Days]
	AtLeast   bool
}

// SettingByHistory classes a honey type by the day by which half of its past lots had
// set; with no lots the class is unknown. A lot seen liquid counts as liquid up to that
// day and not beyond (Kaplan and Meier's estimate), so a lot filled last week makes no
// type slow. Refused are days outside 0 to 10000, and borders that do not rise.
func SettingByHistory(lots []Watched, borders SettingDays) (SettingHistory, error) {
	h := SettingHistory{Lots: len(lots)}
	if !(0 < borders.Fast && borders.Fast <= borders.MediumFast && borders.MediumFast <= borders.Medium) {
		return SettingHistory{}, fmt.Errorf("setting days %g, %g and %g, want rising ones above 0: %w",
			float64(borders.Fast), float64(borders.MediumFast), float64(borders.Medium), ErrOutOfRange)
	}
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
	slices.SortFunc(sorted, byDay)
	half, found := halfSet(sorted)
	h.AtLeast = !found
	h.Days = Band[quantity.Days]{sorted[0].After, half, sorted[len(sorted)-1].After}
	h.Class = borders.class(half)
	return h, nil
}

// byDay sorts by day; on one day, lots that set come before lots still liquid.
func byDay(a, b Watched) int {
	switch {
	case a.After != b.After:
		return cmp.Compare(a.After, b.After)
	case a.Set && !b.Set:
		return -1
	case b.Set && !a.Set:
		return 1
	}
	return 0
}

// halfSet gives the first day on which at most half of the lots were still liquid, or
// the last day and false.
func halfSet(sorted []Watched) (quantity.Days, bool) {
	liquid := 1.0
	for i, l := range sorted {
		if l.Set {
			liquid *= 1 - 1/float64(len(sorted)-i)
		}
		if liquid <= 0.5+1e-9 { // a half, but for rounding
			return l.After, true
		}
	}
	return sorted[len(sorted)-1].After, false
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
