package office

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"combline/internal/plan"
	"combline/internal/quantity"
)

// What a house works with where it has set nothing (common practice, no source).
var (
	planWarm   = quantity.Figure{Mantissa: 4, Unit: quantity.Day}               // in the warming room before it is tipped
	planHands  = quantity.Figure{Mantissa: 2, Unit: quantity.Each}              // people for packing
	planCrew   = quantity.Figure{Mantissa: 2, Unit: quantity.Each}              // of them a line needs
	planSetUp  = quantity.Figure{Mantissa: 60, Unit: quantity.Minute}           // a line before a run, drums tipped meanwhile
	planTip    = quantity.Figure{Mantissa: 90, Unit: quantity.Minute}           // drums into a tank, and the tank stirred
	planClean  = quantity.Figure{Mantissa: 60, Unit: quantity.Minute}           // a line after a run
	planCool   = quantity.Figure{Mantissa: 24, Unit: quantity.Hour}             // a soft-set tank to 24 °C, before the seed
	planSoft   = quantity.Figure{Mantissa: 8, Unit: quantity.Day}               // at 13 to 14 °C
	planRewarm = quantity.Figure{Mantissa: 4, Unit: quantity.Hour}              // a soft-set tank back to 24 °C, to be filled
	planAhead  = quantity.Figure{Mantissa: 35, Unit: quantity.Day}              // how far the plan looks
	planLoss   = quantity.Figure{Mantissa: 20, Decimals: 1, Unit: quantity.Pct} // of the honey stays in hoses and first jars
	planLate   = quantity.Figure{Mantissa: 50, Unit: quantity.Money}            // what a day late counts as
	planMove   = quantity.Figure{Mantissa: 20, Unit: quantity.Money}            // what another day for a job counts as
)

const (
	usualHours = "1-6 07:00-17:00"
	halfHour   = 30 * time.Minute
)

// A Shift is the hours of one weekday, in minutes from midnight.
type Shift struct {
	Day      time.Weekday
	From, To int
}

var weekdays = map[string]time.Weekday{"mon": 1, "tue": 2, "wed": 3, "thu": 4, "fri": 5, "sat": 6, "sun": 0,
	"lun": 1, "mar": 2, "mié": 3, "mie": 3, "jue": 4, "vie": 5, "sáb": 6, "sab": 6, "dom": 0,
	"pon": 1, "wto": 2, "śro": 3, "sro": 3, "czw": 4, "pią": 5, "pia": 5, "sob": 6, "nie": 0}

// ParseHours reads a house's working hours: "1-5 05:30-17:30, 6 06:00-14:00", Monday 1
// to Sunday 7, or the first three letters of the days.
func ParseHours(text string) (all []Shift, err error) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		days, hours, ok := strings.Cut(strings.TrimSpace(part), " ")
		from, to, both := strings.Cut(strings.TrimSpace(hours), "-")
		a, err1 := time.Parse("15:04", strings.TrimSpace(from))
		b, err2 := time.Parse("15:04", strings.TrimSpace(to))
		first, last, known := parseDays(days)
		if !ok || !both || err1 != nil || err2 != nil || !known || !b.After(a) {
			return nil, fmt.Errorf("hours %q, want days and hours as \"1-5 07:00-17:00\"", strings.TrimSpace(part))
		}
		for d := first; ; d = d%7 + 1 {
			all = append(all, Shift{time.Weekday(d % 7), a.Hour()*60 + a.Minute(), b.Hour()*60 + b.Minute()})
			if d == last {
				break
			}
		}
	}
	return all, nil
}

// parseDays reads "1-5", "6" or "mon-fri", Monday as 1 and Sunday as 7.
func parseDays(text string) (first, last int, ok bool) {
	one := func(s string) int {
		s = strings.ToLower(strings.TrimSpace(s))
		if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= 7 {
			return n
		}
		if r := []rune(s); len(r) >= 3 {
			if d, known := weekdays[string(r[:3])]; known {
				return int(d+6)%7 + 1
			}
		}
		return 0
	}
	a, b, both := strings.Cut(text, "-")
	if first, last = one(a), one(a); both {
		last = one(b)
	}
	return first, last, first > 0 && last > 0
}

// hours are the house's working hours; not as it wrote them where that can't be read.
func (v *View) hours() []Shift {
	if all, err := ParseHours(v.State.SettingText("hours.week")); err == nil && len(all) > 0 {
		return all
	}
	all, _ := ParseHours(usualHours)
	return all
}

// A clock counts a plan's half-hours from its start.
type planClock struct {
	from time.Time // on a half-hour
}

func (c planClock) At(h plan.Half) time.Time { return c.from.Add(time.Duration(h) * halfHour) }

// half is the first half-hour that begins at t or later.
func (c planClock) half(t time.Time) plan.Half {
	d := t.Sub(c.from)
	h := plan.Half(d / halfHour)
	if d > 0 && d%halfHour != 0 {
		h++
	}
	return h
}

// before is the last half-hour that begins at t or earlier.
func (c planClock) before(t time.Time) plan.Half {
	h := c.half(t)
	if c.At(h).After(t) {
		h--
	}
	return h
}

// there is how many people are there, half-hour by half-hour.
func (c planClock) there(shifts []Shift, hands int64, horizon plan.Half) (steps []plan.Step) {
	var now int64
	for h := range horizon {
		n := int64(0)
		if t := c.At(h); working(shifts, t) {
			n = hands
		}
		if n != now || h == 0 {
			steps, now = append(steps, plan.Step{From: h, Amount: n}), n
		}
	}
	return steps
}

// working reports whether somebody works all of the half-hour from t on.
func working(shifts []Shift, t time.Time) bool {
	m := t.Hour()*60 + t.Minute()
	for _, s := range shifts {
		if s.Day == t.Weekday() && s.From <= m && m+30 <= s.To {
			return true
		}
	}
	return false
}

// worksOn reports whether somebody is there for most of a morning on the day of t: stuff
// is taken in then. An hour on Sunday, to look after the house, is none.
func worksOn(shifts []Shift, t time.Time) bool {
	const least = 4 * 60
	minutes := 0
	for _, s := range shifts {
		if s.Day == t.Weekday() {
			minutes += s.To - s.From
		}
	}
	return minutes >= least
}

// span is a length of time that a house may set for itself, in half-hours, at least one.
// A bare number is in the unit of what holds otherwise.
func (v *View) span(name string, otherwise quantity.Figure) plan.Half {
	f := v.State.Setting(name, otherwise)
	unit := f.Unit
	if unit.Dimension() != quantity.Duration {
		unit = otherwise.Unit
	}
	minutes := f.Float()
	switch unit {
	case quantity.Hour:
		minutes *= 60
	case quantity.Day:
		minutes *= 24 * 60
	}
	return max(1, plan.Half(math.Ceil(min(max(minutes, 0), 60*24*60)/30)))
}
