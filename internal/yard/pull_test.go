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

// What was read of combs that are off the hives since says nothing of the boxes that came
// after them.
func TestRipeOfOtherBoxes(t *testing.T) {
	y := New()
	facts := []record.Fact{&record.SiteOpened{Site: "Tarn Edge"}, &record.SupersPlaced{Site: "Tarn Edge", Boxes: 40}, &record.RipenessRead{Site: "Tarn Edge"},
		&record.SupersPulled{Site: "Tarn Edge", Lot: "L1", Boxes: 30}, &record.SupersPulled{Site: "Tarn Edge", Lot: "L1", Boxes: 10}, &record.SupersPlaced{Site: "Tarn Edge", Boxes: 40}}
	for i, f := range facts {
		y.Fold(&record.Entry{Seq: uint64(i + 1), When: record.When{Minute: int64(29_000_000 + 60*i)}, Fact: f})
		s, _ := y.Site("Tarn Edge")
		if want := i == 2 || i == 3; (s.RipeAt != Stamp{}) != want {
			t.Errorf("after fact %d, %T: a reading stands: %t, want %t", i+1, f, !want, want)
		}
	}
}
