package words

import (
	"testing"
	"time"
)

func TestDates(t *testing.T) {
	at := time.Date(2026, 9, 4, 16, 35, 0, 0, time.FixedZone("", 7200)) // a Friday
	en, es, pl := catalogue(t, English), catalogue(t, Spanish), catalogue(t, Polish)
	day := func(m time.Month, d int) time.Time { return time.Date(2026, m, d, 7, 0, 0, 0, time.UTC) }
	for _, c := range []struct{ got, want string }{
		{en.Date(at), "Friday 4 September 2026"},
		{es.Date(at), "viernes, 4 de septiembre de 2026"},
		{pl.Date(at), "piątek, 4 września 2026"},
		{en.DateShort(at), "4 Sep 2026"},
		{es.DayMonth(at), "vie 4 sep"},
		{pl.DayMonth(at), "pt. 4 wrz"},
		{en.Moment(at, ToMinute), "4 Sep 2026, 16:35"},
		{en.Moment(at, ToHalfHour), "4 Sep 2026, 16:30–17:00"},
		{en.Moment(at.Add(-6*time.Minute), ToHalfHour), "4 Sep 2026, 16:00–16:30"},
		{pl.Moment(at, ToDay), "4 wrz 2026"},
		{en.DateRange(day(9, 4), day(9, 6)), "4–6 Sep 2026"},
		{en.DateRange(day(8, 28), day(9, 3)), "28 Aug – 3 Sep 2026"},
		{en.DateRange(day(9, 4), day(9, 4)), "4 Sep 2026"},
		{pl.DateRange(day(12, 30), day(12, 30).AddDate(0, 0, 3)), "30 gru 2026 – 2 sty 2027"},
		{pl.Months(18), "18 miesięcy"},
		{es.Months(1), "1 mes"},
		{Stamp(at), "2026-09-04 16:35"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
