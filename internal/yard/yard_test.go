package yard

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"combline/internal/record"
)

// Figures of these tests are the demo season's: sites, dates and boxes of its lots.

func keys(p Pull) map[string]record.Truth {
	all := map[string]record.Truth{}
	for _, r := range p.Reasons {
		all[r.Key] = r.Allowed
	}
	return all
}

func flags(y *Yard) (all []string) {
	for _, f := range y.Flags() {
		all = append(all, f.Key)
	}
	return all
}

// season is lots L06 and L08 up to the morning of the enquiry: 130 boxes of Low
// Cutter, of which 46 went back to Sallow Fen by mistake.
func season() *book {
	b := newBook()
	b.on(day(4, 1), &record.SiteOpened{Site: "Low Cutter", Country: "VM", Hives: 60}, &record.SiteOpened{Site: "Sallow Fen", Country: "VM", Hives: 60},
		&record.SiteOpened{Site: "Ambry Hill", Country: "VM", Hives: 60})
	b.on(day(5, 2), &record.SupersMarked{Site: "Low Cutter", Boxes: 130, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 130}}},
		&record.SupersPlaced{Site: "Low Cutter", Boxes: 130, Marks: []record.Marks{{Prefix: "lc-", First: 1, Last: 130}}},
		&record.SupersPlaced{Site: "Sallow Fen", Boxes: 180, From: "Sallow Fen"})
	b.on(day(7, 24), &record.LotOpened{Lot: "L06", Site: "Sallow Fen", Pulled: day(7, 24)}, &record.SupersPulled{Lot: "L06", Site: "Sallow Fen", Boxes: 180})
	b.on(day(7, 30), &record.LotOpened{Lot: "L08", Site: "Low Cutter", Pulled: day(7, 30)}, &record.SupersPulled{Lot: "L08", Site: "Low Cutter", Boxes: 130})
	b.on(day(8, 6), &record.SupersSentBack{Lot: "L08", Site: "Low Cutter", Boxes: 84}, &record.SupersSentBack{Lot: "L08", Site: "sallow fen ", Boxes: 46})
	return b
}

// A lot that ran through the same machines: its combs may be touched, and so may the
// site that they go back to and what is pulled there from then on.
func TestDiseaseThroughMachines(t *testing.T) {
	b := season()
	b.on(day(8, 14), &record.LotOpened{Lot: "L07", Site: "Ambry Hill", Pulled: day(8, 14)}, &record.SupersPulled{Lot: "L07", Site: "Ambry Hill", Boxes: 60})
	b.on(day(8, 20), &record.SupersSentBack{Lot: "L07", Site: "Ambry Hill", Boxes: 60})
	b.on(day(9, 1), &record.LotOpened{Lot: "L11", Site: "Ambry Hill", Pulled: day(9, 1)}, &record.SupersPulled{Lot: "L11", Site: "Ambry Hill", Boxes: 60})
	if got := b.y.Reach([]record.Code{"Low Cutter"}, 0); len(got.Sites) != 2 || len(got.Lots) != 1 {
		t.Errorf("by boxes alone %+v", got)
	}
	got := b.y.Reach([]record.Code{"Low Cutter"}, 0, "l07")
	var sites, lots []record.Code
	for _, s := range got.Sites {
		sites = append(sites, s.Site)
		if s.Site == "Ambry Hill" && s.Certain {
			t.Error("Ambry Hill is not certain")
		}
	}
	for _, l := range got.Lots {
		lots = append(lots, l.Lot)
	}
	if d := cmp.Diff([]record.Code{"Low Cutter", "Sallow Fen", "Ambry Hill"}, sites) + cmp.Diff([]record.Code{"L07", "L08", "L11"}, lots); d != "" {
		t.Error(d)
	}
}

func TestDiseaseAtLowCutter(t *testing.T) {
	b := season()
	b.on(day(9, 9), &record.EnquiryOpened{Enquiry: "E1", Sites: []record.Code{"Low Cutter"}, Disease: "foulbrood", Hive: "14"})
	got := b.y.Reach([]record.Code{"low cutter"}, 0)
	at := b.y.moves[5].Stamp
	wantSites := []TouchedSite{{Site: "Low Cutter", Suspect: true, Certain: true}, {Site: "Sallow Fen", Certain: true, At: at}}
	wantLots := []TouchedLot{{Lot: "L08", Sites: []record.Code{"Low Cutter"}, Certain: true}}
	if d := cmp.Diff(wantSites, got.Sites) + cmp.Diff(wantLots, got.Lots); d != "" {
		t.Error(d)
	}
	var boxes []int64
	for _, m := range got.Moves {
		boxes = append(boxes, m.Boxes)
		if !m.Certain {
			t.Errorf("%v of %d boxes is not certain", m.Kind, m.Boxes)
		}
	}
	if d := cmp.Diff([]int64{130, 130, 84, 46}, boxes); d != "" {
		t.Error("boxes placed, pulled, back to Low Cutter, back to Sallow Fen:", d)
	}
	for site, want := range map[record.Code]string{"Low Cutter": PullEnquiry, "Sallow Fen": PullTouched} {
		if p := b.y.MayPull(site, day(9, 10)); p.Allowed != record.No || keys(p)[want] != record.No {
			t.Errorf("%s on the day after: %v %v", site, p.Allowed, keys(p))
		}
	}
	if p := b.y.MayPull("Sallow Fen", day(9, 8)); keys(p)[PullTouched] != record.NotKnown || p.Allowed == record.Yes {
		t.Errorf("the day before: %v", keys(p))
	}
	if _, asked := keys(b.y.MayPull("Ambry Hill", day(9, 10)))[PullTouched]; asked {
		t.Error("Ambry Hill got no box")
	}
	if d := cmp.Diff([]string{FlagOtherSite}, flags(b.y)); d != "" {
		t.Error(d)
	}

	b.on(day(9, 12), &record.SupersPulled{Lot: "L20", Site: "Sallow Fen", Boxes: 10}, &record.SupersSentBack{Lot: "L20", Site: "Ambry Hill", Boxes: 4})
	if d := cmp.Diff([]string{FlagOtherSite, FlagMovedTouched, FlagMovedTouched, FlagOtherSite}, flags(b.y)); d != "" {
		t.Error(d)
	}
	later := b.y.Reach([]record.Code{"Low Cutter"}, 0)
	if n := len(later.Sites); n != 3 || later.Sites[2].Site != "Ambry Hill" || !later.Sites[2].Certain {
		t.Errorf("through Sallow Fen to Ambry Hill: %+v", later.Sites)
	}
	b.on(day(9, 20), &record.EnquiryRuled{Enquiry: "E1", Ruling: record.Cleared, By: "inspector"})
	if p := b.y.MayPull("Low Cutter", day(9, 21)); keys(p)[PullEnquiry] != 0 || p.Allowed == record.No {
		t.Errorf("after the ruling: %v", keys(p))
	}
	b.on(day(9, 25), &record.EnquiryRuled{Enquiry: "E1", Ruling: record.Confirmed, By: "inspector"})
	if p := b.y.MayPull("Low Cutter", day(9, 26)); p.Allowed != record.No || keys(p)[PullDisease] != record.No {
		t.Errorf("confirmed: %v", keys(p))
	}
}

func TestWhereTheBoxesAre(t *testing.T) {
	b := season()
	s, _ := b.y.Site("SALLOW FEN")
	if want := []Home{{"Low Cutter", 46, 46}}; s.OnHives != 46 || cmp.Diff(want, s.Homes) != "" {
		t.Errorf("Sallow Fen has %d boxes: %+v", s.OnHives, s.Homes)
	}
	l, _ := b.y.Lot("l08")
	if want := []SiteBoxes{{"Low Cutter", 84}, {"Sallow Fen", 46}}; l.Pulled != 130 || l.Back != 130 || l.InHouse != 0 || cmp.Diff(want, l.BackTo) != "" {
		t.Errorf("%+v", l)
	}
	if l, _ = b.y.Lot("L06"); l.InHouse != 180 || l.Missing() != 0 {
		t.Errorf("%+v", l)
	}
	stack := func(n int64) []record.Stack { return []record.Stack{{Boxes: n}} }
	b.on(day(7, 25), &record.SupersReceived{Lot: "L06", Side: record.BeforeHotRoom, Stacks: stack(178)})
	b.on(day(7, 27), &record.SupersReceived{Lot: "L06", Side: record.AfterHotRoom, Stacks: stack(178)}, &record.SupersSpun{Lot: "L06", Boxes: 177})
	if l, _ = b.y.Lot("L06"); l.Received != 178 || l.Missing() != 2 {
		t.Errorf("before closing: %d received, %d missing", l.Received, l.Missing())
	}
	b.on(day(7, 28), &record.LotClosed{Lot: "L06"}, &record.CombsStored{Lot: "L06", Place: "barn A", Boxes: 100})
	if l, _ = b.y.Lot("L06"); l.Missing() != 3 || l.Stored != 100 || l.InHouse != 80 {
		t.Errorf("closed: %+v, %d missing", l, l.Missing())
	}
	var kinds []string
	for _, m := range b.y.Moves("Low Cutter") {
		kinds = append(kinds, m.Kind.String())
	}
	if d := cmp.Diff([]string{"placed", "pulled", "sent_back", "sent_back"}, kinds); d != "" {
		t.Error(d)
	}
}

func TestAmbryHill(t *testing.T) {
	b := newBook()
	strips := &record.Treated{Treatment: "T1", Site: "Ambry Hill", Product: "strips", Against: "mites", Hives: 60, WaitDays: days(0), SupersAllowed: record.No}
	b.on(day(3, 30), &record.SiteOpened{Site: "Ambry Hill", Country: "VM", Hives: 60}, &record.Fed{Site: "Ambry Hill", Feed: "sugar", Hives: 60, SupersOn: record.No})
	b.on(day(5, 2), &record.SupersPlaced{Site: "Ambry Hill", Boxes: 170})
	if p := b.y.MayPull("Ambry Hill", day(7, 19)); p.Allowed != record.NotKnown || keys(p)[PullNoTreatmentRecord] != record.NotKnown || keys(p)[PullFedWithout] != record.Yes {
		t.Errorf("before the strips: %v %v", p.Allowed, keys(p))
	}
	b.on(day(7, 20), strips)
	p := b.y.MayPull("Ambry Hill", day(7, 27))
	if p.Allowed != record.No || keys(p)[PullTreatmentIn] != record.No || keys(p)[PullSupersInTreatment] != record.No {
		t.Errorf("strips in: %v %v", p.Allowed, keys(p))
	}
	if r := p.Reasons[0]; r.Of != "T1" || r.Product != "strips" || r.Day() != day(7, 20) {
		t.Errorf("%+v", r)
	}
	b.on(day(7, 27), &record.LotOpened{Lot: "L07", Site: "Ambry Hill", Pulled: day(7, 27)}, &record.SupersPulled{Lot: "L07", Site: "Ambry Hill", Boxes: 170})
	if d := cmp.Diff([]string{FlagPulledTreated, FlagPulledTreated}, flags(b.y)); d != "" {
		t.Error(d)
	}
	b.on(day(8, 31), &record.TreatmentEnded{Treatment: "T1"})
	if p := b.y.MayPull("Ambry Hill", day(9, 1)); p.Allowed != record.Yes {
		t.Errorf("supers off, strips out, no waiting time: %v %v", p.Allowed, keys(p))
	}
	if p := b.y.MayPull("Ambry Hill", day(7, 27)); p.Allowed != record.No {
		t.Errorf("asked again of 27 July: %v", keys(p))
	}
}

func TestUnknownIsNoPass(t *testing.T) {
	for _, c := range []struct {
		name  string
		facts []record.Fact // of 1 June
		on    record.Day
		want  record.Truth
		key   string
	}{
		{"no such site", nil, day(7, 1), record.NotKnown, PullSiteUnknown},
		{"opened only", []record.Fact{&record.SiteOpened{Site: "S"}}, day(7, 1), record.NotKnown, PullNoTreatmentRecord},
		{"opened only", []record.Fact{&record.SiteOpened{Site: "S"}}, day(7, 1), record.NotKnown, PullNoFeedRecord},
		{"no waiting time given", []record.Fact{&record.Treated{Treatment: "T", Site: "S", SupersAllowed: record.Yes}, &record.TreatmentEnded{Treatment: "T"}},
			day(7, 1), record.NotKnown, PullWaitUnknown},
		{"last day of waiting", []record.Fact{&record.Treated{Treatment: "T", Site: "S", SupersAllowed: record.Yes, WaitDays: days(14)}, &record.TreatmentEnded{Treatment: "T"}},
			day(6, 15), record.No, PullWaiting},
		{"waited", []record.Fact{&record.NotFed{Site: "S", From: day(3, 1), To: day(6, 1)}, &record.SupersPlaced{Site: "S", Boxes: 1},
			&record.Treated{Treatment: "T", Site: "S", SupersAllowed: record.Yes, WaitDays: days(14)}, &record.TreatmentEnded{Treatment: "T"}}, day(6, 16), record.Yes, PullTreatmentOver},
		{"in, and the label allows it", []record.Fact{&record.NotFed{Site: "S", From: day(3, 1), To: day(6, 1)},
			&record.Treated{Treatment: "T", Site: "S", SupersAllowed: record.Yes, WaitDays: days(0)}}, day(7, 1), record.Yes, PullTreatmentAllows},
		{"in, and nobody read the label", []record.Fact{&record.Treated{Treatment: "T", Site: "S", WaitDays: days(0)}}, day(7, 1), record.No, PullTreatmentIn},
		{"over, label not read, supers perhaps on", []record.Fact{&record.Treated{Treatment: "T", Site: "S", WaitDays: days(0)}, &record.TreatmentEnded{Treatment: "T"}},
			day(7, 1), record.NotKnown, PullSupersUnknown},
		{"fed with supers on", []record.Fact{&record.Fed{Site: "S", Feed: "sugar", SupersOn: record.Yes}}, day(7, 1), record.No, PullFedWithSupers},
		{"fed, supers not known", []record.Fact{&record.Fed{Site: "S", Feed: "sugar"}}, day(7, 1), record.NotKnown, PullFeedUnknown},
		{"record of two years ago", []record.Fact{&record.NotFed{Site: "S", From: day(3, 1), To: day(6, 1)}}, day(7, 1) + 730, record.NotKnown, PullNoFeedRecord},
	} {
		b := newBook()
		b.on(day(6, 1), c.facts...)
		if p := b.y.MayPull("S", c.on); p.Allowed != c.want || keys(p)[c.key] == 0 && c.want != record.NotKnown || !has(p, c.key) {
			t.Errorf("%s: %v %v; want %v by %s", c.name, p.Allowed, keys(p), c.want, c.key)
		}
	}
}

func has(p Pull, key string) bool { _, ok := keys(p)[key]; return ok }

func TestMixedStacks(t *testing.T) {
	marks := func(first, last int64) []record.Marks { return []record.Marks{{Prefix: "X", First: first, Last: last}} }
	mixed := func(back []record.Marks) Touched {
		b := newBook()
		b.on(day(7, 1), &record.SupersPulled{Lot: "L1", Site: "A", Boxes: 10, Marks: marks(1, 10)}, &record.SupersPulled{Lot: "L1", Site: "B", Boxes: 10, Marks: marks(11, 20)})
		b.on(day(7, 9), &record.SupersSentBack{Lot: "L1", Site: "C", Boxes: 5, Marks: back})
		return b.y.Reach([]record.Code{"A"}, 0)
	}
	if s := mixed(nil).Sites; len(s) != 2 || s[1].Site != "C" || s[1].Certain {
		t.Errorf("no marks: C possibly; got %+v", s)
	}
	if s := mixed(marks(6, 10)).Sites; len(s) != 2 || !s[1].Certain {
		t.Errorf("marks of A: C for certain; got %+v", s)
	}
	if s := mixed(marks(11, 15)).Sites; len(s) != 1 {
		t.Errorf("marks of B: C not at all; got %+v", s)
	}
	if s := mixed(marks(11, 14)).Sites; len(s) != 2 || s[1].Certain {
		t.Errorf("one mark was not read: C possibly; got %+v", s)
	}
	got := mixed(nil)
	if d := cmp.Diff([]TouchedLot{{Lot: "L1", Sites: []record.Code{"A"}, Certain: true}}, got.Lots); d != "" {
		t.Error(d)
	}
}

// The order of two facts of one day is not known: the reach takes the longer one.
func TestSameDay(t *testing.T) {
	b := newBook()
	b.on(day(7, 1), &record.SupersPulled{Lot: "L1", Site: "B", Boxes: 5})
	b.on(day(7, 1), &record.SupersPlaced{Site: "B", Boxes: 2, From: "A"})
	if l := b.y.Reach([]record.Code{"A"}, 0).Lots; len(l) != 1 || l[0].Lot != "L1" || l[0].Certain {
		t.Errorf("%+v", l)
	}
	b = newBook()
	b.at(day(7, 1), 600, &record.SupersPulled{Lot: "L1", Site: "B", Boxes: 5})
	b.at(day(7, 1), 660, &record.SupersPlaced{Site: "B", Boxes: 2, From: "A"})
	if l := b.y.Reach([]record.Code{"A"}, 0).Lots; len(l) != 0 {
		t.Errorf("an hour earlier: %+v", l)
	}
}

func TestOddities(t *testing.T) {
	b := season()
	b.on(day(8, 10), &record.SupersSentBack{Lot: "L08", Site: "Low Cutter", Boxes: 3}, // more back than pulled
		&record.SupersSpun{Lot: "L06", Boxes: 181},
		&record.SupersReceived{Lot: "L06", Stacks: []record.Stack{{Boxes: 100}, {Boxes: 90}}},
		&record.WetSupersWeighed{Lot: "L06", Stacks: []record.Stack{{Boxes: 182}}},
		&record.SupersPulled{Lot: "L06", Site: "Low Cutter", Boxes: 88}, // 87 are there; and the lot is Sallow Fen's
		&record.TreatmentEnded{Treatment: "none"}, &record.EnquiryRuled{Enquiry: "none", Ruling: record.Cleared},
		&record.Fed{Site: "Sallow Fen", Feed: "sugar", SupersOn: record.No}, &record.SupersPlaced{Site: "Ambry Hill", Boxes: -1})
	got := map[string]int64{}
	for _, f := range b.y.Flags() {
		got[f.Key] = f.Boxes
	}
	want := map[string]int64{FlagOtherSite: 46, FlagMoreBack: 133, FlagPulledElsewhere: 88, FlagMorePulled: 1, FlagTreatmentUnknown: 0, FlagEnquiryUnknown: 0,
		FlagFedSupersOn: 46, FlagCountOdd: -1}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	b = season()
	b.on(day(8, 10), &record.SupersSpun{Lot: "L06", Boxes: 181}, &record.SupersReceived{Lot: "L06", Stacks: []record.Stack{{Boxes: 100}, {Boxes: 90}}},
		&record.WetSupersWeighed{Lot: "L06", Stacks: []record.Stack{{Boxes: 182}}})
	if d := cmp.Diff([]string{FlagOtherSite, FlagMoreSpun, FlagMoreReceived, FlagMoreWet}, flags(b.y)); d != "" {
		t.Error(d)
	}
}

func BenchmarkReach(b *testing.B) {
	k := newBook()
	for year := range 5 {
		for site := range 50 {
			c, lot := record.Code(rune('A'+site/26))+record.Code(rune('A'+site%26)), record.Code(rune('a'+year))+record.Code(rune('A'+site/26))+record.Code(rune('A'+site%26))
			d := day(5, 1) + record.Day(365*year)
			k.on(d, &record.SupersPlaced{Site: c, Boxes: 100})
			k.on(d+60, &record.SupersPulled{Lot: lot, Site: c, Boxes: 100})
			k.on(d+70, &record.SupersSentBack{Lot: lot, Site: c, Boxes: 50}, &record.CombsStored{Lot: lot, Boxes: 50})
		}
	}
	for b.Loop() {
		k.y.Reach([]record.Code{"AA"}, 0)
	}
}
