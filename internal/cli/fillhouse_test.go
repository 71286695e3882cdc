package cli

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"combline/internal/house"
	"combline/internal/instrument"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// fillHouse is a house with one tank, one product, one scale, and run R1 begun.
func fillHouse(t testing.TB, dir string) *opened {
	t.Helper()
	l, err := ledger.Open(context.Background(), dir, ledger.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	a := &app{Streams: Streams{nil, io.Discard, os.Stderr}}
	h, err := a.start(context.Background(), dir, l)
	if err != nil {
		t.Fatal(err)
	}
	grams := func(n int64, d uint8) record.Weight {
		return record.Weight{Figure: quantity.Figure{Mantissa: n, Decimals: d, Unit: quantity.G}}
	}
	d := house.Draft{Key: record.Key{1}, When: record.At(h.Now().Add(-time.Hour)), Facts: []record.Fact{
		&record.HouseNamed{Name: "Filling", Rules: "eu", Language: "en", Units: "metric"},
		&record.VesselNamed{Vessel: "T1", Shape: record.Tank},
		&record.MachineNamed{Machine: "F1", What: "piston filler", Nozzles: 4},
		&record.InstrumentNamed{Instrument: "W1", What: "checkweigher", Division: quantity.Figure{Mantissa: 1, Decimals: 1, Unit: quantity.G}},
		&record.ProductNamed{Product: "J340", What: record.Jar, Label: grams(340, 0)},
		&record.RunStarted{Run: "R1", Product: "J340", From: []record.Code{"T1"}, Machines: []record.Code{"F1"}, Target: grams(3413, 1)},
	}}
	if _, err := h.Submit(context.Background(), d); err != nil {
		t.Fatal(err)
	}
	return h
}

// takingOf begins to take the weights of run R1.
func takingOf(t testing.TB, h *opened) (*taking, *instrument.Journal) {
	t.Helper()
	j, kept, err := instrument.OpenJournal(filepath.Join(h.dir, "readings", "R1.W1.journal"))
	if err != nil {
		t.Fatal(err)
	}
	f, err := h.StartFilling(context.Background(), office.FillingOptions{Run: "R1", Instrument: "W1", Journal: j, Kept: kept})
	if err != nil {
		t.Fatal(err)
	}
	p, err := instrument.ParsePattern("{seq};{nozzle};{weight} {unit}")
	if err != nil {
		t.Fatal(err)
	}
	x := &taking{a: &app{Streams: Streams{nil, io.Discard, io.Discard}}, h: h, filling: f, run: "R1", now: time.Now, shown: time.Now()}
	x.stream = instrument.NewStream(instrument.Config{Pattern: p, Label: 340_000, Nozzles: 4, Live: true})
	x.stream.Resume(f.Recent())
	return x, j
}

// lines are a filler's, from jar first to jar last.
func lines(first, last int) []byte {
	var b strings.Builder
	for i := first; i <= last; i++ {
		b.WriteString(itoa(i) + ";" + itoa(i%4+1) + ";" + itoa(339+i%5) + "." + itoa(i*7%10) + " g\r\n")
	}
	return []byte(b.String())
}

func itoa(n int) string {
	var digits [20]byte
	i := len(digits)
	for {
		i--
		digits[i] = byte('0' + n%10)
		if n /= 10; n == 0 {
			return string(digits[i:])
		}
	}
}
