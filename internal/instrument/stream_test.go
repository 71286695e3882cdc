package instrument

import (
	"fmt"
	"testing"
	"time"

	"combline/internal/office"
	"combline/internal/quantity"
)

func pattern(t testing.TB, text string) *Pattern {
	t.Helper()
	p, err := ParsePattern(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

const label = 340 * quantity.Milligram(1000)

// start is 3 November 2026, 07:00 UTC.
const start = 1_793_689_200_000

// What is odd is kept, told and does not count; what counts is untouched by it.
func TestOddWeights(t *testing.T) {
	for _, c := range []struct {
		line  string
		flag  office.Flag
		fault Fault
	}{
		{"341.3 g", office.NoFlag, NoFault},
		{"0.3413 kg", office.NoFlag, NoFault}, // said to be kilograms, so it is
		{"0.3413", office.Thousandth, NoFault},
		{"0.3413 g", office.Thousandth, NoFault},
		{"341.3 kg", office.Thousandfold, NoFault},
		{"0", office.NotPositive, NoFault},
		{"-4.5", office.NotPositive, NoFault},
		{"3413", office.Tenfold, NoFault},
		{"34.13", office.Tenth, NoFault},
		{"170", office.NoFlag, NoFault}, // half a jar is a short jar, and counts
		{"169.9", office.FarOff, NoFault},
		{"680", office.NoFlag, NoFault},
		{"680.1", office.FarOff, NoFault},
		{"scale ready", office.NoFlag, NoMatch},
		{"341.3 C", office.NoFlag, BadUnit},
	} {
		s := NewStream(Config{Pattern: pattern(t, Plain), Label: label})
		j, ok := s.Take([]byte(c.line), start)
		if ok != (c.fault == NoFault) || j.Flag != c.flag || c.fault != NoFault && s.Faults[c.fault] != 1 {
			t.Errorf("%q: %+v %v, faults %v; want flag %q and fault %v", c.line, j, ok, s.Faults, c.flag.Key(), c.fault)
		}
		counts := int64(0)
		if ok && c.flag == office.NoFlag {
			counts = 1
		}
		if s.Jars != counts || len(s.Events) != 1-int(counts) {
			t.Errorf("%q: %d jars count, events %v", c.line, s.Jars, s.Events)
		}
	}
}

// Frames lost, doubled and out of order, and an instrument that counts anew.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name string
		seqs []int
		jars int64
		lost int64
		of   map[Fault]int64
	}{
		{"in order", []int{7, 8, 9}, 3, 0, nil},
		{"lost", []int{1, 2, 6, 7}, 4, 3, map[Fault]int64{Lost: 3}},
		{"doubled", []int{1, 2, 2, 3, 1}, 3, 0, map[Fault]int64{Doubled: 2}},
		{"out of order", []int{1, 3, 2, 4}, 4, 0, map[Fault]int64{Lost: 1, Late: 1}},
		{"late twice", []int{1, 3, 2, 2, 4}, 4, 0, map[Fault]int64{Lost: 1, Late: 1, Doubled: 1}},
		{"before the first", []int{5, 3, 4}, 3, 0, map[Fault]int64{Restarted: 1}},
		{"far jump", []int{1, 2_000_000, 2_000_001}, 3, 0, map[Fault]int64{Restarted: 1}},
		{"far back", []int{5000, 1, 2}, 3, 0, map[Fault]int64{Restarted: 1}},
	} {
		s := NewStream(Config{Pattern: pattern(t, "{seq} {weight}"), Label: label})
		for _, n := range c.seqs {
			s.Take(fmt.Appendf(nil, "%d %d.5", n, 330+n%20), start)
		}
		if s.Jars != c.jars || s.Lost != c.lost {
			t.Errorf("%s: %d jars, %d lost; want %d, %d", c.name, s.Jars, s.Lost, c.jars, c.lost)
		}
		for _, f := range Faults() {
			if s.Faults[f] != c.of[f] {
				t.Errorf("%s: %d frames %v, want %d", c.name, s.Faults[f], f, c.of[f])
			}
		}
	}
	s := NewStream(Config{Pattern: pattern(t, "{seq} {weight}"), Label: label})
	for _, l := range []string{"1 340", "2 341", "3 342", "1 345", "2 346"} { // switched off and on
		s.Take([]byte(l), start)
	}
	if s.Jars != 5 || s.Faults[Restarted] != 1 || s.Lost != 0 {
		t.Errorf("after a restart %d jars, %v", s.Jars, s.Faults)
	}
}

// A clock that goes back is told, and time does not run back with it.
func TestClock(t *testing.T) {
	s := NewStream(Config{Pattern: pattern(t, "{time} {weight}"), Label: label, Live: true})
	var at []int64
	for i, line := range []string{"07:00:01 340", "07:00:04 341", "06:00:07 342", "06:00:10 343", "06:00:10 343"} {
		j, ok := s.Take([]byte(line), start+int64(1+3*min(i, 3))*1000)
		if ok {
			at = append(at, (j.AtMS-start)/1000)
		}
	}
	if fmt.Sprint(at) != "[1 4 7 10]" || s.Faults[ClockBack] != 1 || s.Faults[Doubled] != 1 || s.Events[0].N != 3_597_000 {
		t.Errorf("jars at %v, faults %v, events %+v; want 1 4 7 10, one clock back, the last line doubled", at, s.Faults, s.Events)
	}
	// a clock that is hours off goes with the house's own from the first frame on
	s = NewStream(Config{Pattern: pattern(t, "{time} {weight}"), Label: label, Live: true})
	if j, _ := s.Take([]byte("2019-01-01T00:00:00Z 340"), start); j.AtMS != start {
		t.Errorf("the jar is of %d, want the moment it came, %d", j.AtMS, start)
	}
	// over midnight, in a zone two hours east
	s = NewStream(Config{Pattern: pattern(t, "{time} {weight}"), Label: label, Zone: time.FixedZone("", 7200)})
	night := int64(start) + 15*3600*1000 // 22:00 UTC is midnight there
	a, _ := s.Take([]byte("23:59:58 340"), night)
	b, _ := s.Take([]byte("00:00:02 341"), night)
	if a.AtMS != night-2000 || b.AtMS != night+2000 {
		t.Errorf("jars about midnight at %d and %d, want %d and %d", a.AtMS-night, b.AtMS-night, -2000, 2000)
	}
}

// A cut line leaves a gap with what it cost; without numbers the cost is not known.
func TestGap(t *testing.T) {
	s := NewStream(Config{Pattern: pattern(t, "[{seq} ]{weight} g"), Label: label})
	s.Link(true, start)
	s.Take([]byte("1 340.0 g"), start)
	s.Link(false, start+1000)
	s.Link(true, start+61_000)
	s.Take([]byte("5 341.0 g"), start+62_000)
	s.Link(false, start+63_000)
	s.Take([]byte("6 341.0 g"), start+70_000)
	s.Link(false, start+71_000)
	s.Take([]byte("341.0 g"), start+80_000)
	want := []Gap{{start + 1000, start + 62_000, 3}, {start + 63_000, start + 70_000, 0}, {start + 71_000, start + 80_000, -1}}
	if fmt.Sprint(s.Gaps) != fmt.Sprint(want) {
		t.Errorf("gaps %v, want %v", s.Gaps, want)
	}
}

// A stream that goes on after a kill knows what it had: what is sent again is doubled,
// what is missing is lost.
func TestResume(t *testing.T) {
	p := pattern(t, "{seq} {weight}")
	s := NewStream(Config{Pattern: p, Label: label})
	var had []office.Jar
	for i := 1; i <= 20; i++ {
		j, _ := s.Take(fmt.Appendf(nil, "%d %d", i, 330+i), start+int64(i))
		had = append(had, j)
	}
	s = NewStream(Config{Pattern: p, Label: label})
	s.Resume(had)
	for i := 15; i <= 25; i++ {
		if i != 22 {
			s.Take(fmt.Appendf(nil, "%d %d", i, 330+i), start+60_000)
		}
	}
	if s.Jars != 4 || s.Faults[Doubled] != 6 || s.Lost != 1 || len(s.Gaps) != 1 || s.Gaps[0].FromMS != start+20 {
		t.Errorf("after the restart: %d jars, %v, %d lost, gaps %v; want 4, 6 doubled, 1, one gap", s.Jars, s.Faults, s.Lost, s.Gaps)
	}
}

func TestTareAndTurn(t *testing.T) {
	s := NewStream(Config{Pattern: pattern(t, "{seq} [T{tare} ]{weight}"), Label: label, Tare: 210_500, Nozzles: 4, InTurn: true})
	a, _ := s.Take([]byte("6 551.8"), start)
	b, _ := s.Take([]byte("7 T208.0 551.8"), start)
	if a.Net != 341_300 || b.Net != 343_800 || a.Nozzle != 2 || b.Nozzle != 3 {
		t.Errorf("jars %+v and %+v; want 341.3 g of nozzle 2 and 343.8 g of nozzle 3", a, b)
	}
	s = NewStream(Config{Pattern: pattern(t, "{nozzle} {weight}"), Label: label, Nozzles: 4})
	if j, ok := s.Take([]byte("5 341.3"), start); !ok || j.Flag != office.OddNozzle || s.Jars != 0 {
		t.Errorf("nozzle 5 of 4 gave %+v", j)
	}
}

// Lines however they end and however they are cut.
func TestLines(t *testing.T) {
	in := "340\r\n341\n\n342\r\x02343\x03\x02344\r\n345"
	for size := 1; size <= len(in); size++ {
		var s splitter
		var got []string
		line := func(b []byte) error { got = append(got, string(b)); return nil }
		faults := 0
		for at := 0; at < len(in); at += size {
			if err := s.feed([]byte(in[at:min(at+size, len(in))]), line, func(Fault) { faults++ }); err != nil {
				t.Fatal(err)
			}
		}
		_ = s.end(line)
		if fmt.Sprint(got) != "[340 341 342 343 344 345]" || faults != 0 {
			t.Errorf("in pieces of %d: %v, %d faults", size, got, faults)
		}
	}
	var s splitter
	long := make([]byte, 3*mostLine)
	for i := range long {
		long[i] = 'x'
	}
	n, faults := 0, 0
	_ = s.feed(append(append(long, '\n'), "340\n\x02341\x02342\x03"...), func([]byte) error { n++; return nil }, func(Fault) { faults++ })
	if n != 2 || faults != 2 { // the long line and the frame that broke off
		t.Errorf("%d lines, %d faults; want 2 and 2", n, faults)
	}
}
