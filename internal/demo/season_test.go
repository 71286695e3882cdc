package demo

import (
	"bytes"
	"strings"
	"testing"

	"combline/internal/record"
)

func TestEveryFactCanBeWrittenAndReadBack(t *testing.T) {
	n := 0
	for _, s := range Season() {
		if len(s.Facts) == 0 {
			t.Errorf("step of %v has no fact", s.Written)
		}
		for i, f := range s.Facts {
			n++
			if errs := record.Missing(f); len(errs) > 0 {
				t.Errorf("%s of %v: %v", f.Kind(), s.Written, errs)
			}
			e := record.Entry{Part: uint32(i), Parts: uint32(len(s.Facts)), WrittenMS: s.Written.UnixMilli(),
				When: s.When, Person: s.Person, Device: s.Device, Fact: f}
			body, err := record.Encode(e)
			if err != nil {
				t.Fatalf("%s of %v: %v", f.Kind(), s.Written, err)
			}
			back, err := record.Decode(string(body))
			if err != nil {
				t.Fatalf("%s of %v: %v", f.Kind(), s.Written, err)
			}
			again, err := record.Encode(back)
			if err != nil || !bytes.Equal(body, again) {
				t.Errorf("%s of %v is not the same after reading: %v", f.Kind(), s.Written, err)
			}
		}
	}
	if n < 1000 || n > 3000 {
		t.Errorf("%d facts, want 1000 to 3000", n) // what a small house writes in a season
	}
}

func TestSeasonIsInTheOrderOfWriting(t *testing.T) {
	steps := Season()
	for i, s := range steps {
		if i > 0 && s.Written.Before(steps[i-1].Written) {
			t.Fatalf("step %d was written at %v, before the one above it at %v", i, s.Written, steps[i-1].Written)
		}
		if s.When.Time().After(s.Written) {
			t.Errorf("step written at %v tells of %v: nobody writes what is yet to come", s.Written, s.When.Time())
		}
	}
}

// Two calls give the same season: nothing is drawn by chance or read off a clock.
func TestSeasonIsTheSameEveryTime(t *testing.T) {
	if a, b := printed(t), printed(t); a != b {
		t.Error("two seasons differ")
	}
}

func printed(t *testing.T) string {
	var all strings.Builder
	for _, s := range Season() {
		for _, f := range s.Facts {
			b, err := record.Encode(record.Entry{Parts: 1, WrittenMS: s.Written.UnixMilli(), When: s.When, Person: s.Person, Device: s.Device, Fact: f})
			if err != nil {
				t.Fatal(err)
			}
			all.Write(b)
		}
	}
	return all.String()
}

// The offset of local time is that of European summer time: in 2026 from 29 March
// to 25 October, 01:00 UTC (directive 2000/84/EC: the last Sundays of March and
// October at 01:00 UTC; from memory).
func TestLocalTimeIsSummerTime(t *testing.T) {
	for _, c := range []struct {
		m, day, hour int
		offset       int16
	}{{3, 28, 12, 60}, {3, 30, 12, 120}, {10, 24, 12, 120}, {10, 25, 2, 120}, {10, 25, 3, 60}, {11, 3, 7, 60}} {
		if got := record.At(at(timeMonth(c.m), c.day, c.hour, 0)).Offset; got != c.offset {
			t.Errorf("%d.%d. %d:00 is %d minutes from UTC, want %d", c.day, c.m, c.hour, got, c.offset)
		}
	}
	for _, s := range Season() {
		local := s.When.Time()
		_, m, d := local.Date()
		if w := at(m, d, local.Hour(), local.Minute()); !w.Equal(local) {
			t.Errorf("%s at %v has another offset than the clock on the wall", s.Facts[0].Kind(), local)
		}
	}
}
