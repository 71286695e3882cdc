package demo

import (
	"time"

	"combline/internal/record"
)

const year = 2026

// Summer time begins and ends at 01:00 UTC on the last Sundays of March and
// October, as in Europe: in 2026 these are 29 March and 25 October.
var (
	winter     = time.FixedZone("", 1*60*60)
	summer     = time.FixedZone("", 2*60*60)
	summerFrom = time.Date(year, time.March, 29, 1, 0, 0, 0, time.UTC)
	summerTo   = time.Date(year, time.October, 25, 1, 0, 0, 0, time.UTC)
)

// at is a moment of the season in the house's local time.
func at(m time.Month, day, hour, minute int) time.Time {
	t := time.Date(year, m, day, hour, minute, 0, 0, summer)
	if t.Before(summerFrom) || !t.Before(summerTo) {
		t = time.Date(year, m, day, hour, minute, 0, 0, winter)
	}
	return t
}

// minutes is so many minutes after t, in local time on the same side of a change of the clocks.
func minutes(t time.Time, n int) time.Time { return t.Add(time.Duration(n) * time.Minute) }

// dayOf is a calendar day of the season.
func dayOf(m time.Month, day int) record.Day { return record.DayOf(at(m, day, 12, 0)) }
