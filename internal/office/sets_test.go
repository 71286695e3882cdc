package office_test

import (
	"testing"
	"time"

	"combline/internal/office"
	q "combline/internal/quantity"
	"combline/internal/record"
)

// By the sugars: White 1962 and Manikis and Thrasyvoulou 2001 call glucose over water to
// 1.70 slow, to 2.00 medium and over 2.10 fast. By the past: what was looked at.
func TestWillItSet(t *testing.T) {
	o := demoOffice(t)
	pct := func(tenths int64) q.Figure { return q.Figure{Mantissa: tenths, Decimals: 1, Unit: q.Pct} }
	day := func(m time.Month, d int) record.Day { return record.DayOf(time.Date(2026, m, d, 0, 0, 0, 0, time.UTC)) }
	ask := func(x office.SetsAsk) (got string) {
		x.At = record.At(end.Add(time.Hour))
		o.Read(func(v *office.View) { got = told(t, v.Sets(x)) })
		return got
	}
	christmas := office.SetsAsk{Of: "r2-01", By: day(12, 24)}
	saysAll(t, ask(christmas), "Can't say whether R2-01 sets", "nobody wrote down")
	sugars := christmas
	sugars.Water, sugars.Glucose = pct(172), pct(330) // 1.92
	saysAll(t, ask(sugars), "1.92: it sets at a medium pace", "94 days after it was filled, it may have set")
	sugars.Glucose = pct(375) // 2.18
	saysAll(t, ask(sugars), "2.18: it sets fast", "has set: such honey sets within 30 days")
	sugars.Glucose = pct(280) // 1.63
	saysAll(t, ask(sugars), "1.63: it sets slowly or never", "likely still liquid")
	sugars.Glucose = pct(990)
	saysAll(t, ask(sugars), "the criteria do not reach there", "Can't say")
	grains := func(of record.Code, tenths int64) record.Fact {
		return &record.ResultRead{Of: of, Results: []record.Result{{Property: record.Crystals, Value: pct(tenths)}}}
	}
	write(t, o, end, grains("R2-01", 0), grains("R5-01", 120))
	saysAll(t, ask(christmas), "without grains on 30 Nov 2026, 18:00, 70 days", "Of 1 earlier filling", "2 were watched in all", "R5-01")
	saysAll(t, ask(office.SetsAsk{Of: "R5-01", By: day(12, 24)}), "R5-01 has grains already")
	saysAll(t, ask(office.SetsAsk{Of: "D001", By: day(12, 24)}), "Can't say") // drums are no jars, spring is not summer
	saysAll(t, ask(office.SetsAsk{Of: "nothing", By: day(12, 24)}), "nothing")
}
