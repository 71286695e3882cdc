package standard

import (
	"fmt"
	"time"
)

// A Date is a calendar day as yyyymmdd, so dates compare as numbers. Month or
// day 00 means that the publication gives only the year or month. Zero is "no
// date": open when it bounds a rule set, not known when a person gives it.
type Date int32

// DateOf makes a date from a year, month and day.
func DateOf(year int, month time.Month, day int) Date {
	return Date(year*10000 + int(month)*100 + day)
}

// ParseDate reads a full day such as 2026-06-14.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("date %q, want a day such as 2026-06-14", s)
	}
	return DateOf(t.Date()), nil
}

// String prints what is known: 2026-06-14, 2012-12, 1978, or "undated".
func (d Date) String() string {
	y, m, day := int(d)/10000, int(d)/100%100, int(d)%100
	switch {
	case d == 0:
		return "undated"
	case m == 0:
		return fmt.Sprintf("%04d", y)
	case day == 0:
		return fmt.Sprintf("%04d-%02d", y, m)
	}
	return fmt.Sprintf("%04d-%02d-%02d", y, m, day)
}
