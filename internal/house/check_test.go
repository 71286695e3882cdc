package house

import (
	"errors"
	"math"
	"slices"
	"testing"

	"combline/internal/quantity"
	"combline/internal/record"
)

// floor is the small world with a drum of L1 in S-1, filled as drums usually are.
func floor(t *testing.T) *State {
	t.Helper()
	s := New()
	for _, f := range slices.Concat(world, []record.Fact{
		&record.SupersReceived{Lot: "L1", Side: record.AfterHotRoom, Stacks: []record.Stack{{Boxes: 100, Gross: kg(2000), Tray: kg(10)}}},
		&record.LotRanInto{Lot: "L1", Into: "T1"},
		&record.VesselNamed{Vessel: "S-3", Shape: record.Drum, Tare: kg(18)}, &record.VesselNamed{Vessel: "S-4", Shape: record.Drum, Tare: kg(18)},
		&record.DrumFilled{Filling: "D1", Steel: "S-1", From: "T1", Gross: kg(308)},
		&record.DrumFilled{Filling: "D2", Steel: "S-2", From: "T1", Gross: kg(308)},
		&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Gross: kg(308)},
	}) {
		s.Fold(&record.Entry{Seq: s.Seq + 1, Parts: 1, When: record.When{Minute: int64(s.Seq) + earliest, Precision: record.ToMinute}, Fact: f})
	}
	return s
}

func (s *State) take(facts ...record.Fact) error {
	now := record.When{Minute: s.Latest + 10, Precision: record.ToMinute}
	return s.Check(&Draft{When: now, Facts: facts}, now)
}

// key is what a check said: the refusal's key, the first question's, or nothing.
func key(err error) string {
	var no *Refusal
	var asks Asks
	switch {
	case errors.As(err, &no):
		return no.Key
	case errors.As(err, &asks):
		return asks[0].Key
	case err != nil:
		return err.Error()
	}
	return ""
}

// A drum that usually holds 290 kg net, 308 kg gross: a slip of the point is asked
// back in whichever field it was made.
func TestSlipsOfADrum(t *testing.T) {
	s := floor(t)
	w := func(mantissa int64, decimals uint8, u quantity.Unit) record.Weight {
		return record.Weight{Figure: quantity.Figure{Mantissa: mantissa, Decimals: decimals, Unit: u}, How: quantity.Typed}
	}
	for _, c := range []struct {
		name  string
		fill  record.DrumFilled
		wants string
	}{
		{"gross as usual", record.DrumFilled{Gross: kg(308)}, ""},
		{"net as usual", record.DrumFilled{Net: kg(290)}, ""},
		{"a part drum", record.DrumFilled{Gross: kg(78)}, ""},
		{"290 typed as 29", record.DrumFilled{Net: kg(29)}, "ask.slip"},
		{"290 typed as 2900", record.DrumFilled{Net: kg(2900)}, "ask.slip"},
		{"290 typed as 29, for gross", record.DrumFilled{Gross: kg(29)}, "ask.slip"},
		{"308 typed as 30.8", record.DrumFilled{Gross: w(308, 1, quantity.KgUnit)}, "ask.slip"},
		{"308 typed as 3080", record.DrumFilled{Gross: kg(3080)}, "ask.slip"},
		{"290 kg typed as pounds", record.DrumFilled{Net: w(290, 0, quantity.Lb)}, "ask.slip"},
		{"the empty drum", record.DrumFilled{Gross: kg(18)}, "refused.below-tare"},
		{"below zero", record.DrumFilled{Net: kg(-5)}, "refused.below-zero"},
		{"no end of honey", record.DrumFilled{Net: kg(math.MaxInt64 / 2)}, "refused.out-of-range"},
	} {
		c.fill.Filling, c.fill.Steel, c.fill.From = "D9", "S-4", "T1"
		if got := key(s.take(&c.fill)); got != c.wants {
			t.Errorf("%s: %q, want %q", c.name, got, c.wants)
		}
	}
}

func TestWhereADrumIsFilled(t *testing.T) {
	s := floor(t)
	for _, c := range []struct {
		name  string
		fill  record.DrumFilled
		wants string
	}{
		{"an empty drum", record.DrumFilled{Filling: "D9", Steel: "S-4", From: "D1"}, ""},
		{"topped up", record.DrumFilled{Steel: "S-2", From: "D1"}, ""},
		{"a new number on a full drum", record.DrumFilled{Filling: "D9", Steel: "S-2", From: "D1"}, "ask.not-empty"},
		{"into itself", record.DrumFilled{Filling: "D9", Steel: "S-1", From: "D1"}, "refused.into-itself"},
		{"no such drum", record.DrumFilled{Filling: "D9", Steel: "X9", From: "D1"}, "refused.not-known"},
		{"two digits of one", record.DrumFilled{Filling: "D9", Steel: "S-4", From: "1"}, "refused.not-there"},
		{"a number given before", record.DrumFilled{Filling: "d1", Steel: "S-4", From: "T1"}, "refused.number-used"},
		{"a filling named by its steel", record.DrumFilled{Filling: "S-1/1", Steel: "S-4", From: "T1"}, "refused.number-used"},
	} {
		c.fill.Net = kg(100)
		if got := key(s.take(&c.fill)); got != c.wants {
			t.Errorf("%s: %q, want %q", c.name, got, c.wants)
		}
	}
}

// What a correction says could have been written in the first place.
func TestCorrectionSaysWhatCanBe(t *testing.T) {
	s := floor(t)
	fact := int64(s.Seq) // D3
	amend := func(with record.Fact, when record.When) record.Fact {
		b, err := record.Marshal(with)
		if err != nil {
			t.Fatal(err)
		}
		return &record.Amended{Fact: fact, With: b, When: when, Reason: "read wrong"}
	}
	was := record.When{}
	for _, c := range []struct {
		name  string
		fact  record.Fact
		wants string
	}{
		{"another weight", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Gross: kg(298)}, was), ""},
		{"a weight that looks like a slip: the preview shows it", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Net: kg(29)}, was), ""},
		{"below zero", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Gross: kg(-5)}, was), "refused.below-zero"},
		{"less than the empty drum", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Gross: kg(5)}, was), "refused.below-tare"},
		{"from what is not there", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "X9", Gross: kg(308)}, was), "refused.not-known"},
		{"in what is no vessel", amend(&record.DrumFilled{Filling: "D3", Steel: "L1", From: "T1", Gross: kg(308)}, was), "refused.wrong-kind"},
		{"from nothing", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", Gross: kg(308)}, was), "refused.missing"},
		{"at a time to come", amend(&record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Gross: kg(308)},
			record.When{Minute: s.Latest + 5000, Precision: record.ToMinute}), "refused.time-to-come"},
		{"of no fact", &record.Struck{Fact: fact + 1, Reason: "x"}, "refused.no-such-fact"},
		{"without a reason", &record.Struck{Fact: fact}, "refused.missing"},
		{"of bytes that say nothing", &record.Amended{Fact: fact, With: []byte{1, 2, 3}, Reason: "x"}, "refused.malformed"},
	} {
		if got := key(s.take(c.fact)); got != c.wants {
			t.Errorf("%s: %q, want %q", c.name, got, c.wants)
		}
	}
}
