package house

import (
	"testing"

	"combline/internal/record"
)

// The facts between two minutes are those of all facts that happened then, in the same
// order, with corrections worked in: a fact that was moved in time comes where it is moved
// to. Held against the whole, for every pair of ends.
func TestBetween(t *testing.T) {
	line := NewTimeline(0)
	entries := map[uint64]record.Entry{}
	add := func(seq uint64, minute int64, f record.Fact) {
		e := record.Entry{Seq: seq, When: record.When{Minute: minute, Precision: record.ToMinute}, Fact: f}
		entries[seq] = e
		line.Add(&e)
	}
	for i := range uint64(12) {
		add(i+1, int64(i/2*10), &record.Noted{Note: "n"})
	}
	moved, err := record.Marshal(&record.Noted{Note: "moved"})
	if err != nil {
		t.Fatal(err)
	}
	add(13, 200, &record.Amended{Fact: 2, With: []byte(moved), When: record.When{Minute: 35, Precision: record.ToMinute}, Reason: "late"})
	add(14, 200, &record.Struck{Fact: 5, Reason: "no"})
	read := func(seq uint64) (record.Entry, error) { return entries[seq], nil }
	for first := int64(-5); first <= 205; first += 5 {
		for last := first - 5; last <= 205; last += 5 {
			var want, got []uint64
			for s, err := range line.Each(read) {
				if err != nil {
					t.Fatal(err)
				}
				if m := s.Entry.When.Minute; first <= m && m <= last {
					want = append(want, s.Entry.Seq)
				}
			}
			for s, err := range line.Between(first, last, read) {
				if err != nil {
					t.Fatal(err)
				}
				got = append(got, s.Entry.Seq)
			}
			if len(got) != len(want) {
				t.Fatalf("%d to %d: %v, want %v", first, last, got, want)
			}
			for i := range got {
				if got[i] != want[i] {
					t.Fatalf("%d to %d: %v, want %v", first, last, got, want)
				}
			}
		}
	}
}
