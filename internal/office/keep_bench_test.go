package office_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Bound: the forecast of 1,000 drums, each along half a year of a barn's readings to a
// best-before in two years, with bands, chances and the longest best-before, in under 5 s
// on 2 cores.
func BenchmarkForecasts(b *testing.B) {
	const drums = 1000
	book := &ledger.Memory{}
	var bodies [][]byte
	put := func(when time.Time, facts ...record.Fact) {
		for _, f := range facts {
			e := record.Entry{When: record.At(when), WrittenMS: when.UnixMilli(), Person: "AB", Fact: f, Parts: 1}
			e.Batch[0], e.Batch[1], e.Batch[2] = byte(len(bodies)>>16), byte(len(bodies)>>8), byte(len(bodies))
			body, err := record.Encode(e)
			if err != nil {
				b.Fatal(err)
			}
			bodies = append(bodies, body)
		}
	}
	put(day(6, 0), &record.HouseNamed{Name: "House", Country: "VM", Rules: "eu"}, &record.PlaceNamed{Place: "barn", For: record.Store})
	for i := range drums {
		steel, drum := record.Code(fmt.Sprintf("S-%04d", i)), record.Code(fmt.Sprintf("D%04d", i))
		when := day(7, 0).Add(time.Duration(i) * time.Minute)
		put(when, &record.VesselNamed{Vessel: steel, Shape: record.Drum, Place: "barn"},
			&record.StockOpened{Filling: drum, Steel: steel, Mass: record.Grams(290_000), Honey: []string{"summer", "spring"}[i%2]},
			results(drum, map[record.Property]quantity.Figure{record.HMF: fig(20+int64(i%30), 1, quantity.MgPerKg), record.Diastase: fig(150+int64(i%70), 1, quantity.Schade)}))
	}
	for n := range 26 {
		put(day(12, 0).AddDate(0, 0, 1+7*n), &record.TemperatureRead{Of: "barn", Temp: fig(180-int64(3*n), 1, quantity.DegC), Depth: "air"})
	}
	if _, err := book.Append(context.Background(), book.Head(), bodies...); err != nil {
		b.Fatal(err)
	}
	o, err := office.Open(b.Context(), book, time.Now, nil)
	if err != nil {
		b.Fatal(err)
	}
	defer o.Close()
	for b.Loop() {
		start := time.Now()
		o.Read(func(v *office.View) {
			all := v.KeepAll(day(12, 0).AddDate(0, 0, 180))
			if len(all) != drums || !(all[0].Breach > 0 && all[0].Longest > 0) {
				b.Fatal(len(all), all[0].Breach, all[0].Longest)
			}
		})
		b.ReportMetric(time.Since(start).Seconds(), "s-1000-drums")
	}
}
