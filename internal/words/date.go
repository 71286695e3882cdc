package words

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"combline/internal/quantity"
)

// A Precision says how finely a time is known.
type Precision uint8

const (
	ToMinute Precision = iota
	ToHalfHour
	ToDay
)

// Date prints "Friday 4 September 2026".
func (c *Catalogue) Date(t time.Time) string { return c.date("date.long", t) }

// DateShort prints "4 Sep 2026".
func (c *Catalogue) DateShort(t time.Time) string { return c.date("date.short", t) }

// DayMonth prints "Fri 4 Sep".
func (c *Catalogue) DayMonth(t time.Time) string { return c.date("date.day-month", t) }

func (c *Catalogue) date(key string, t time.Time) string {
	month, day := strconv.Itoa(int(t.Month())), strconv.Itoa(int(t.Weekday()))
	return c.Say(key, "weekday", Key("weekday."+day), "wd", Key("weekday.short."+day),
		"day", strconv.Itoa(t.Day()), "month", Key("month."+month), "mon", Key("month.short."+month),
		"year", strconv.Itoa(t.Year()))
}

// Clock prints a time of day in 24 hours: "07:00".
func (c *Catalogue) Clock(t time.Time) string { return t.Format("15:04") }

// ClockRange prints "07:00–07:30".
func (c *Catalogue) ClockRange(from, to time.Time) string {
	return c.plain(c.Clock(from) + "–" + c.Clock(to))
}

// Moment prints a time as finely as it is known: "4 Sep 2026, 16:35",
// "4 Sep 2026, 16:30–17:00" or "4 Sep 2026".
func (c *Catalogue) Moment(t time.Time, p Precision) string {
	clock := c.Clock(t)
	switch p {
	case ToDay:
		return c.DateShort(t)
	case ToHalfHour:
		from := t.Add(-time.Duration(t.Minute()%30) * time.Minute)
		clock = c.ClockRange(from, from.Add(30*time.Minute))
	}
	return c.DateShort(t) + ", " + clock
}

// DateRange prints "4–6 Sep 2026", "28 Aug – 3 Sep 2026", or one date.
func (c *Catalogue) DateRange(from, to time.Time) string {
	y1, m1, d1 := from.Date()
	y2, m2, d2 := to.Date()
	switch {
	case y1 == y2 && m1 == m2 && d1 == d2:
		return c.DateShort(from)
	case y1 == y2 && m1 == m2:
		return c.plain(strconv.Itoa(d1) + "–" + c.DateShort(to))
	case y1 == y2:
		return c.plain(c.date("date.no-year", from) + " – " + c.DateShort(to))
	}
	return c.plain(c.DateShort(from) + " – " + c.DateShort(to))
}

// Duration prints "45 min", "1 h 30 min", or from one day on "2 days 4 h".
func (c *Catalogue) Duration(m quantity.Minutes) string {
	if !(math.Abs(float64(m)) < 1e12) {
		return c.Say("unknown")
	}
	n := int64(math.Round(float64(m)))
	if n < 0 {
		return c.plain(minus) + c.Duration(-m)
	}
	if n < 24*60 {
		return c.twoParts(n/60, c.joined(c.Count(n/60), quantity.Hour), n%60, quantity.Minute)
	}
	hours := (n + 30) / 60
	return c.twoParts(hours/24, c.Say("duration.days", "n", hours/24), hours%24, quantity.Hour)
}

// twoParts leaves out a part that is 0.
func (c *Catalogue) twoParts(large int64, text string, small int64, u quantity.Unit) string {
	switch rest := c.joined(c.Count(small), u); {
	case large == 0:
		return rest
	case small == 0:
		return text
	default:
		return text + c.plain(noBreak) + rest
	}
}

// Days prints a number of days: under ten with one decimal where it has one.
func (c *Catalogue) Days(d quantity.Days) string {
	v := float64(d)
	if !(math.Abs(v) < 1e12) {
		return c.Say("unknown")
	}
	if tenths := math.Round(v * 10); math.Abs(v) < 10 && math.Mod(tenths, 10) != 0 {
		return c.Say("duration.days", "n", figure(tenths, 1))
	}
	return c.Say("duration.days", "n", int64(math.Round(v)))
}

func figure(mantissa float64, decimals uint8) quantity.Figure {
	return quantity.Figure{Mantissa: int64(mantissa), Decimals: decimals, Unit: quantity.Each}
}

// Months prints a shelf life: "18 months".
func (c *Catalogue) Months(n int) string { return c.Say("duration.months", "n", n) }

// Stamp is a date and time that sorts and can't be misread, for file names and
// exports in every language: "2026-09-04 16:35".
func Stamp(t time.Time) string {
	return fmt.Sprintf("%s %s", t.Format("2006-01-02"), t.Format("15:04"))
}
