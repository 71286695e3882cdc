package office

import (
	"slices"

	"combline/internal/house"
	"combline/internal/record"
)

// A Kept is a machine or vessel with its last cleaning and what ran through it since.
type Kept struct {
	Code    record.Code
	Kind    record.Entity
	What    string
	Cleaned *record.Cleaned
	When    record.When // of the last cleaning
	Since   bool        // used since
	Long    bool        // and for so long that its last cleaning was not looked for
}

// Care is the state of the house's care: cleaning, start checks, instruments, rooms,
// problems.
type Care struct {
	Kept     []Kept
	Starts   []record.Entry // start checks of the day
	Tools    []Tool
	Rooms    []RoomNow
	Problems []house.Problem // open ones
}

// A Tool is an instrument with its last check.
type Tool struct {
	record.InstrumentNamed
	Check *house.InstrumentCheck
}

// A RoomNow is a place with its last reading.
type RoomNow struct {
	Place record.Code
	For   record.PlaceKind
	Set   bool
	Read  house.Temperature
	Known bool
}

// Care answers how the house is kept.
func (v *View) Care(today record.Day) (c Care) {
	c.Starts = v.Starts(today)
	for _, t := range v.State.OfKind(record.Machine) {
		named, _ := v.State.Named(t).(*record.MachineNamed)
		c.Kept = append(c.Kept, v.kept(Kept{Code: v.State.Code(t), Kind: record.Machine, What: named.What}))
	}
	for _, t := range v.State.OfKind(record.Vessel) {
		named, ok := v.State.Named(t).(*record.VesselNamed)
		x, _ := v.State.Vessel(t)
		if ok && !x.Gone && (named.Shape == record.Tank || named.Shape == record.Sump) {
			c.Kept = append(c.Kept, v.kept(Kept{Code: v.State.Code(t), Kind: record.Vessel, What: named.Shape.Key()}))
		}
	}
	checks := v.State.InstrumentChecks()
	for _, t := range v.State.OfKind(record.Instrument) {
		named, ok := v.State.Named(t).(*record.InstrumentNamed)
		if !ok {
			continue
		}
		tool := Tool{InstrumentNamed: *named}
		for i := len(checks) - 1; i >= 0 && tool.Check == nil; i-- {
			if checks[i].Fact.Instrument.Fold() == named.Instrument.Fold() {
				tool.Check = &checks[i]
			}
		}
		c.Tools = append(c.Tools, tool)
	}
	for _, t := range v.State.OfKind(record.Place) {
		named, ok := v.State.Named(t).(*record.PlaceNamed)
		if !ok {
			continue
		}
		r := RoomNow{Place: v.State.Code(t), For: named.For}
		r.Read, r.Known = v.State.TemperatureOf(t)
		c.Rooms = append(c.Rooms, r)
	}
	for _, p := range v.State.Problems() {
		if !p.Over {
			c.Problems = append(c.Problems, p)
		}
	}
	slices.Reverse(c.Problems)
	return c
}

// Starts are the start checks of a day.
func (v *View) Starts(day record.Day) (all []record.Entry) {
	for _, e := range v.OfDay(day) {
		if _, is := e.Fact.(*record.StartChecked); is {
			all = append(all, e)
		}
	}
	return all
}

// kept adds the last cleaning, and whether the thing was used since.
func (v *View) kept(k Kept) Kept {
	t, _ := v.State.Find(k.Code)
	k.Long = v.back(t, func(e record.Entry) bool {
		switch f := e.Fact.(type) {
		case *record.Cleaned:
			k.Cleaned, k.When = f, e.When
			return true
		case *record.SupersSpun, *record.LotRanInto, *record.CappingsSpun, *record.WaxCast, *record.MelterHoneyDrawn, *record.HoneyMoved,
			*record.Mixed, *record.DrumFilled, *record.JarsFilled, *record.RunStarted, *record.Skimmed, *record.TippedBack:
			k.Since = true
		}
		return false
	})
	return k
}

// LastStart is the last start check of any machine or place, so that the next one asks
// the same.
func (v *View) LastStart() (f *record.StartChecked, ok bool) {
	var at int64
	for _, kind := range []record.Entity{record.Machine, record.Place} {
		for _, t := range v.State.OfKind(kind) {
			v.back(t, func(e record.Entry) bool {
				s, start := e.Fact.(*record.StartChecked)
				if start && (f == nil || e.When.Minute > at) {
					f, at = s, e.When.Minute
				}
				return start || f != nil && e.When.Minute < at
			})
		}
	}
	return f, f != nil
}
