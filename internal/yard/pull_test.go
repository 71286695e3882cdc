package yard

import (
	"testing"

	"combline/internal/record"
)

// It may be written down that a site was not treated: up to the end of that period
// the record is known; a treatment placed after it would not show.
func TestNotTreated(t *testing.T) {
	y := New()
	day := record.Day(20_000)
	at := record.When{Minute: int64(day-60) * 1440, Precision: record.ToDay}
	for i, f := range []record.Fact{&record.SiteOpened{Site: "Tarn Edge"}, &record.NotTreated{Site: "Tarn Edge", From: day - 60, To: day},
		&record.NotFed{Site: "Tarn Edge", From: day - 60, To: day}} {
		y.Fold(&record.Entry{Seq: uint64(i + 1), When: at, Fact: f})
	}
	if p := y.MayPull("Tarn Edge", day); p.Allowed != record.Yes {
		t.Errorf("on the last day of the period: %v %v", p.Allowed, p.Reasons)
	}
	if p := y.MayPull("Tarn Edge", day+1); p.Allowed != record.NotKnown {
		t.Errorf("a day later: %v, want not known", p.Allowed)
	}
}
