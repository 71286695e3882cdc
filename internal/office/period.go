package office

import (
	"strings"
	"time"

	"combline/internal/record"
)

// ParsePeriod reads a time as people ask for it: a year "2026", a month "2026-10", a day
// "2026-10-05", each up to its own end or, with to, up to the end of that. ok is false
// where one of them is neither.
func ParsePeriod(from, to string) (first, last record.Day, ok bool) {
	first, last, ok = span(from)
	if ok && strings.TrimSpace(to) != "" {
		_, last, ok = span(to)
	}
	return first, last, ok
}

// span is the first and the last day of a year, a month or a day.
func span(text string) (first, last record.Day, ok bool) {
	text = strings.TrimSpace(text)
	for _, s := range []struct {
		form                string
		years, months, days int
	}{{time.DateOnly, 0, 0, 1}, {"2006-01", 0, 1, 0}, {"2006", 1, 0, 0}} {
		t, err := time.Parse(s.form, text)
		if err == nil && t.Year() >= 1900 && t.Year() <= 2150 { // what a fact's day can be
			return record.DayOf(t), record.DayOf(t.AddDate(s.years, s.months, s.days)) - 1, true
		}
	}
	return 0, 0, false
}
