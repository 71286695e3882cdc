package yard

import (
	"testing"
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
	"pgregory.net/rapid"
)

// Boxes in the house are due back at their own site; 46 of another site's that stand on
// these hives are told apart (the demo season: of L08 84 went home and 46 to another
// site).
func TestDueBack(t *testing.T) {
	b := newBook()
	b.on(day(time.May, 9), &record.SupersMarked{Site: "LC", Boxes: 130, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 130}}},
		&record.SupersPlaced{Site: "LC", Boxes: 130, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 130}}})
	b.on(day(time.July, 30), &record.LotOpened{Lot: "L08", Site: "LC", Pulled: day(time.July, 30)},
		&record.SupersPulled{Lot: "L08", Site: "LC", Boxes: 130, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 130}}})
	got := b.y.Dues()
	if len(got) != 1 || got[0].Home != "LC" || got[0].Least != 130 || got[0].Most != 130 || len(got[0].Lots) != 1 {
		t.Fatalf("after the pull: %+v", got)
	}
	b.on(day(time.August, 6), &record.SupersSentBack{Lot: "L08", Site: "LC", Boxes: 84, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 84}}},
		&record.SupersSentBack{Lot: "L08", Site: "SF", Boxes: 46, Marks: []record.Marks{{Prefix: "LC-", First: 85, Last: 130}}})
	got = b.y.Dues()
	if len(got) != 1 || got[0].Most != 0 || len(got[0].Elsewhere) != 1 || got[0].Elsewhere[0] != (SiteBoxes{"SF", 46}) {
		t.Fatalf("after they went back: %+v", got)
	}
}

// Unmarked boxes of two sites in one lot may be either's: least and most say so.
func TestDueBackMixed(t *testing.T) {
	b := newBook()
	b.on(day(time.May, 1), &record.SupersPlaced{Site: "A", Boxes: 10, From: "A"}, &record.SupersPlaced{Site: "A", Boxes: 5, From: "B"})
	b.on(day(time.July, 1), &record.SupersPulled{Lot: "L1", Site: "A", Boxes: 12})
	want := map[record.Code][2]int64{"A": {7, 10}, "B": {2, 5}} // 12 of 10 + 5: at least 7 and 2
	for _, d := range b.y.Dues() {
		if w, ok := want[d.Home]; !ok || d.Least != w[0] || d.Most != w[1] {
			t.Errorf("%s: %d to %d, want %v", d.Home, d.Least, d.Most, w)
		}
		delete(want, d.Home)
	}
	if len(want) > 0 {
		t.Errorf("not listed: %v", want)
	}
}

// Law: least is never above most, and never below nothing, whatever was written down.
func TestDueLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, d := range fold(New(), facts(t, "facts")).Dues() {
			if d.Least < 0 || d.Least > d.Most {
				t.Fatalf("%s: %d to %d", d.Home, d.Least, d.Most)
			}
			for _, e := range d.Elsewhere {
				if e.Site.Fold() == d.Home.Fold() || e.Boxes <= 0 {
					t.Fatalf("%s: %+v", d.Home, e)
				}
			}
		}
	})
}

// A later description holds for what it gives; another crop sets in its own time.
func TestSiteDescribed(t *testing.T) {
	b := newBook()
	b.on(day(time.May, 1), &record.SiteDescribed{Site: "A", Drive: q.Figure{Mantissa: 25, Unit: q.Minute}, Crop: "rape", SetsAfter: days(7), Note: "gate"})
	b.on(day(time.July, 1), &record.SiteDescribed{Site: "A", Crop: "lime"})
	s, _ := b.y.Site("A")
	if d := s.About; d.Crop != "lime" || d.SetsAfter.Given() || d.Note != "gate" || d.Drive.Float() != 25 || d.CropAt.Day() != day(time.July, 1) {
		t.Errorf("%+v", s.About)
	}
}
