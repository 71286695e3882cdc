package plan

import (
	"reflect"
	"testing"
)

func TestWhy(t *testing.T) {
	p, plan := twoRuns()
	all := Why(p, plan)
	if a := all[0]; a.Earlier != -1 || a.Holds != nil || a.Beside != 8 || a.Alone != 8 || a.Never != nil {
		t.Errorf("the first: %+v", a)
	}
	// At 0 it would need jars at 6, of which the first leaves none before more come at 8.
	b := all[1]
	if b.Earlier != 0 || b.Holds == nil || b.Holds.Other != 0 || b.Beside != 12 || b.Alone != 8 {
		t.Errorf("the second: %+v %+v", b, b.Holds)
	}
	if b.Holds != nil && (b.Holds.Kind != Short || b.Holds.At != 6 || b.Holds.Have != 0 || b.Holds.Need != 100) {
		t.Errorf("it is held by %+v", *b.Holds)
	}
}

func TestWhyNever(t *testing.T) {
	p, plan := twoRuns()
	p.Stocks[2].Held = true
	plan.Spots, plan.Unmet = plan.Spots[:1], []int{1}
	r := Why(p, plan)[1]
	if r.Beside != -1 || r.Alone != -1 || r.Never == nil || r.Never.Kind != OnHold || r.Never.Stock != 2 {
		t.Errorf("with its drum on hold: %+v %+v", r, r.Never)
	}
	p.Stocks[2].Held, p.Stocks[0].Comes = false, []Step{{0, 150}}
	r = Why(p, plan)[1]
	if r.Beside != -1 || r.Alone != 8 || r.Never != nil || r.Holds == nil || r.Holds.Kind != Short || r.Holds.Have != 50 || r.Holds.Need != 100 {
		t.Errorf("with 150 jars for two: %+v %+v", r, r.Holds)
	}
}

func TestEarliest(t *testing.T) {
	p, plan := twoRuns()
	plan.Spots, plan.Unmet = plan.Spots[:1], []int{1}
	if s, _, ok := Earliest(p, plan, 1); !ok || s.Done != 12 {
		t.Errorf("the second could be done at %v, want 12", s)
	}
}

// 600 kg come in the first week and 400 kg in the third; 500 are due in the first, 300
// in the second, 100 in the third: 200 kg short in the second, and all is there again in
// the third, in which the second's order is still late. Worked by hand.
func TestSeason(t *testing.T) {
	got := Season(3, []Supply{{Name: "summer", Comes: []int64{600, 0, 400}}},
		[]Want{{Order: "c", Week: 2, Amount: 100}, {Order: "a", Week: -1, Amount: 500}, {Order: "b", Week: 1, Amount: 300}})
	want := []Week{
		{Week: 0, There: 600, Wanted: 500},
		{Week: 1, There: 600, Wanted: 800, Short: 200, First: "b"},
		{Week: 2, There: 1000, Wanted: 900, Short: 200, First: "b"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
}

// Warm for 10, settle for 4 to 30, fill for 6 in the hours from 6 to 16 half-hours of
// each day: worked by hand. A fill begun at 14 rests over night; drums go in and are
// tipped only while somebody is there.
func TestChain(t *testing.T) {
	hours := []Step{{0, 0}, {6, 2}, {16, 0}, {54, 2}, {64, 0}, {102, 2}, {112, 0}}
	c := Chain{Way: Way{Name: "x", Units: 1}, Hours: hours, Every: 2, After: 1,
		Stages: []Stage{{Name: "warm", Least: 10}, {Name: "settle", Least: 4, Most: 30}, {Name: "fill", Least: 6, Worked: true}},
		Uses: []ChainUse{
			{Use: Use{Name: "room", Any: []int{0}, Amount: 1}, First: 0, Last: 0},
			{Use: Use{Name: "tank", Any: []int{1}, Amount: 1}, First: 1, Last: 2},
			{Use: Use{Name: "hands", Any: []int{2}, Amount: 2}, First: 2, Last: 2, Worked: true},
		},
		Takes: []ChainTake{{Take: Take{Stock: 0, Amount: 5}, Stage: 2}}}
	ways, err := c.Ways(120, 0)
	if err != nil {
		t.Fatal(err)
	}
	at := map[Half]Way{} // by the start of the fill
	for _, w := range ways {
		for _, s := range w.Starts {
			at[s+w.Takes[0].At] = w
		}
	}
	for fill, want := range map[Half][6]Half{ // warm in, tip, tip to fill; hands on, off and done
		58: {15, 54, 4, 0, 6, 7},  // tipped at 54, warm since the evening before
		62: {15, 58, 4, 0, 2, 45}, // two half-hours, then four from 102 on
	} {
		w, ok := at[fill]
		if !ok {
			t.Errorf("no way fills at %d; there are %v", fill, ways)
			continue
		}
		start := fill - w.Takes[0].At
		got := [6]Half{start, start + w.Uses[1].From, w.Takes[0].At - w.Uses[1].From,
			w.Uses[2].From - w.Takes[0].At, w.Uses[2].To - w.Takes[0].At, w.Done - w.Takes[0].At}
		if got != want {
			t.Errorf("fill at %d: %v, want %v", fill, got, want)
		}
	}
	if _, ok := at[54]; ok { // it would have to be tipped by 50, in the night, so at 15: 39 before, more than 30
		t.Error("a fill at 54 is possible, though the tank would stand too long")
	}
}
