package instrument

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// A journal cut at any byte gives back every record that was whole, in order.
func TestJournalThatIsCut(t *testing.T) {
	name := filepath.Join(t.TempDir(), "run", "r.journal")
	j, had, err := OpenJournal(name)
	if err != nil || len(had) != 0 || j.Block() != 0 {
		t.Fatal(err, had)
	}
	if err := j.Begin(7); err != nil {
		t.Fatal(err)
	}
	ends := []int64{27}
	for i := range 5 {
		if err := j.Append(fmt.Appendf(nil, "record %d", i)); err != nil {
			t.Fatal(err)
		}
		if err := j.Sync(); err != nil {
			t.Fatal(err)
		}
		info, _ := os.Stat(name)
		ends = append(ends, info.Size())
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for size := range len(whole) + 1 {
		if err := os.WriteFile(name, whole[:size], 0o600); err != nil {
			t.Fatal(err)
		}
		want := 0
		for want < 5 && ends[want+1] <= int64(size) {
			want++
		}
		j, had, err := OpenJournal(name)
		if err != nil || len(had) != want || size >= 27 && j.Block() != 7 {
			t.Fatalf("cut at %d: %d records of block %d, %v; want %d", size, len(had), j.Block(), err, want)
		}
		if err := j.Append([]byte("after")); err != nil { // and it goes on from there
			t.Fatal(err)
		}
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
		j, had, err = OpenJournal(name)
		if err != nil || len(had) != want+1 || string(had[want]) != "after" {
			t.Fatalf("cut at %d and gone on: %q, %v", size, had, err)
		}
		j.Close()
	}
	for i := 27; i < len(whole); i++ { // an altered byte ends what is believed
		bad := append([]byte(nil), whole...)
		bad[i] ^= 0x40
		if err := os.WriteFile(name, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		j, had, err := OpenJournal(name)
		if err != nil || len(had) > 4 {
			t.Fatalf("byte %d altered: %d records, %v", i, len(had), err)
		}
		j.Close()
	}
	if err := os.WriteFile(name, []byte("something else altogether, and long"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := OpenJournal(name); !errors.Is(err, ErrJournal) {
		t.Errorf("another file gave %v", err)
	}
}

// The same seed gives the same jars, and they are what the filler was told to be.
func TestSimulatedFiller(t *testing.T) {
	make := func(seed uint64) *Filler {
		return &Filler{Seed: seed, Label: label, Nozzles: 4, TargetG: 341.3, SpreadG: 1.7, PerHour: 1100, StartMS: start, DriftOf: 3, DriftG: 2.5, DriftAt: 1100, Spikes: 0.01}
	}
	a, b, other := make(1), make(1), make(2)
	s := NewStream(Config{Pattern: pattern(t, SimulatedPattern), Label: label, Nozzles: 4})
	same, differs := true, false
	var low, rest float64
	var nLow, nRest int
	for range 4400 { // four hours
		line, at := a.Next()
		again, _ := b.Next()
		another, _ := other.Next()
		same, differs = same && line == again, differs || line != another
		j, ok := s.Take([]byte(line), at)
		switch {
		case !ok || j.AtMS != at:
			t.Fatalf("line %q gave %+v, %v", line, j, ok)
		case j.Flag != 0:
		case j.Nozzle == 3 && at > start+3*3_600_000:
			low, nLow = low+float64(j.Net)/1000, nLow+1
		case j.Nozzle != 3:
			rest, nRest = rest+float64(j.Net)/1000, nRest+1
		}
	}
	if !same || !differs {
		t.Errorf("the same seed gave the same: %v; another seed another: %v", same, differs)
	}
	// nozzle 3 has lost 2.5 g a half-hour for two to three hours: 12.5 g on the mean; the
	// spread of the two means is 1.7 g over the root of 270 and 3,300: 4 of these are 0.45 g
	if d := rest/float64(nRest) - low/float64(nLow); d < 12.05 || d > 12.95 {
		t.Errorf("nozzle 3 is %.2f g below the others, want 12.5 within 0.45", d)
	}
	if odd := s.Flags[1] + s.Flags[2] + s.Flags[4] + s.Flags[6]; odd < 18 || odd > 75 { // 44 of 4400, 4 × √44 either way
		t.Errorf("%d odd weights, want about 44", odd)
	}
}
