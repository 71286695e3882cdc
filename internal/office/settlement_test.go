package office_test

import (
	"strings"
	"testing"

	"combline/internal/office"
	q "combline/internal/quantity"
	"combline/internal/record"
)

func inKg(grams int64) record.Weight {
	return record.Weight{Figure: q.Figure{Mantissa: grams, Decimals: 3, Unit: q.KgUnit}, How: q.Weighed}
}

func cr(hundredths int64) q.Figure { return q.Figure{Mantissa: hundredths, Decimals: 2, Unit: q.Money} }

// contractLot is a beekeeper's lot of 62 supers in the demo house: 1180.4 kg in, 372.9
// out, 780 clean in three drums, 11.2 of melter honey, 9.6 of wax, 1.2 of samples.
func contractLot(t *testing.T, o *office.Office) {
	t.Helper()
	facts := []record.Fact{&record.LotOpened{Lot: "C01", Site: "Brackenlow", Pulled: record.DayOf(end), Honey: "summer", Owner: "Marl End Bees"},
		&record.SupersPulled{Lot: "C01", Site: "Brackenlow", Boxes: 62},
		&record.SupersReceived{Lot: "C01", Side: record.AfterHotRoom, Signed: "his daughter", Stacks: []record.Stack{{Boxes: 62, Gross: inKg(1_180_400)}}},
		&record.WetSupersWeighed{Lot: "C01", Stacks: []record.Stack{{Boxes: 62, Gross: inKg(372_900)}}}}
	for _, n := range []record.Code{"1", "2", "3"} {
		facts = append(facts, &record.VesselNamed{Vessel: "CS" + n, Shape: record.Drum, Tare: inKg(18_600)},
			&record.DrumFilled{Filling: "CD" + n, Steel: "CS" + n, From: "C01", Gross: inKg(278_600), Tare: inKg(18_600), Purpose: record.TableHoney})
	}
	facts = append(facts, &record.Sampled{From: "C01", Mass: record.Grams(1_200), Of: "CD1", Kept: record.Yes},
		&record.VesselNamed{Vessel: "CP", Shape: record.Pail, Tare: inKg(1_000)},
		&record.MelterHoneyDrawn{Lot: "C01", To: "CP", Mass: inKg(11_200)}, &record.WaxCast{Wax: "CW1", Lot: "C01", Mass: inKg(9_600)},
		&record.ResultRead{Of: "C01", Results: []record.Result{{Property: record.Water, Value: q.Figure{Mantissa: 182, Decimals: 1, Unit: q.Pct}}}},
		&record.LotClosed{Lot: "C01", Reason: "films on the machine"},
		&record.SupersSentBack{Lot: "C01", Site: "Brackenlow", Boxes: 60})
	write(t, o, end, facts...)
}

// Supers that were not weighed out: what is unaccounted is not known, and nothing is owed
// for it; nor is a lot settled that is still in work.
func TestSettlementWithoutWeights(t *testing.T) {
	o := demoOffice(t)
	write(t, o, end, append(terms(), &record.LotOpened{Lot: "C02", Site: "Brackenlow", Pulled: record.DayOf(end), Honey: "summer", Owner: "Marl End Bees"},
		&record.SupersPulled{Lot: "C02", Site: "Brackenlow", Boxes: 62},
		&record.SupersReceived{Lot: "C02", Side: record.AfterHotRoom, Stacks: []record.Stack{{Boxes: 62, Gross: inKg(1_180_400)}}},
		&record.VesselNamed{Vessel: "CS9", Shape: record.Drum, Tare: inKg(18_600)},
		&record.DrumFilled{Filling: "CD9", Steel: "CS9", From: "C02", Gross: inKg(278_600), Tare: inKg(18_600), Purpose: record.TableHoney},
		&record.ResultRead{Of: "C02", Results: []record.Result{{Property: record.Water, Value: q.Figure{Mantissa: 182, Decimals: 1, Unit: q.Pct}}}})...)
	o.Read(func(v *office.View) {
		a, err := v.Settlement(office.SettleAsk{Of: "C02"})
		if err != nil {
			t.Fatal(err)
		}
		got := told(t, a)
		saysAll(t, got, "Can't say the whole", "the weights of all supers", "still in work", "260.0 kg × (4.20 and -0.15", "1 053.00")
		for _, l := range []string{"carried by the house", "unaccounted"} {
			if strings.Contains(got, l) {
				t.Errorf("says %q of what was not weighed:\n%s", l, got)
			}
		}
	})
}

// terms are those of the statement worked by hand in the tests of package cost: 2781.58.
func terms() []record.Fact {
	set := func(name string, f q.Figure) record.Fact { return &record.SettingChanged{Setting: name, Value: f} }
	return []record.Fact{set("settle.price.summer", cr(420)), set("settle.price", cr(300)), set("settle.cooking", cr(200)), set("settle.fee", cr(55)), set("settle.wax", cr(750)),
		set("settle.wax-kept", q.Figure{Mantissa: 50, Unit: q.Pct}), set("settle.moisture.17.5", cr(10)), set("settle.moisture.18", cr(0)), set("settle.moisture.18.5", cr(-15))}
}

func TestSettlementOfABeekeeper(t *testing.T) {
	o := demoOffice(t)
	contractLot(t, o)
	ask := func(x office.SettleAsk) string {
		var got string
		o.Read(func(v *office.View) {
			a, err := v.Settlement(x)
			if err != nil {
				t.Fatal(err)
			}
			got = told(t, a)
		})
		return got
	}
	// nothing agreed: no price is no nothing
	saysAll(t, ask(office.SettleAsk{Of: "marl end bees"}), "Can't say the whole", "price of the honey", "fee for spinning", "share of the wax")
	write(t, o, end, terms()...)
	got := ask(office.SettleAsk{Of: "Marl End Bees"})
	saysAll(t, got, "Owed to Marl End Bees: 2 781.58", "62", "807.5 kg", "780.0 kg × (4.20 and -0.15 for 18.2 % water)|3 159.00", "5.5 kg", "4.8 kg × 7.50|36.00", "-435.82",
		"Of 62 supers 60 went back: 2 are still owed")
	saysAll(t, ask(office.SettleAsk{Of: "C01"}), "2 781.58")                                                                 // by the lot
	saysAll(t, ask(office.SettleAsk{Of: "C01", Terms: map[string]q.Figure{"price": cr(500)}}), "780.0 kg × (5.00 and -0.15") // typed goes first
	saysAll(t, ask(office.SettleAsk{Of: "C01", Back: true}), "Owed to the house by Marl End Bees: 435.82", "goes back to him")
	// his own price goes before everybody's
	write(t, o, end, &record.SettingChanged{Setting: "settle.Marl End Bees.price", Value: cr(440)})
	saysAll(t, ask(office.SettleAsk{Of: "Marl End Bees"}), "4.40 and -0.15")
	for _, of := range []string{"nobody", "", "R2"} {
		saysAll(t, ask(office.SettleAsk{Of: of}), "brought")
	}
	o.Read(func(v *office.View) {
		saysAll(t, told(t, v.Wax("CW1")), "Marl End Bees", "9.6 kg from 792.4 kg")
		saysAll(t, told(t, v.Wax("L05")), "house's own", "29.0 kg")
	})
}

// Margins by hand, of R2: 6290 × 3.60 less 15357.0152 is 7286.98, over 2170 kg 3.358 and
// over 30.96 h 235.37; drums 5.60 − 4.80. What a jar must fetch at the least:
// (15357.0152 + 0.80 × 2170) ÷ 6290 = 2.7175, up to the next hundredth.
func TestDrumsOrJars(t *testing.T) {
	o := demoOffice(t)
	price := func(m int64) q.Reading { return q.Reading{Figure: cr(m)} }
	o.Read(func(v *office.View) {
		a, err := v.Margins(office.MarginAsk{Product: "summer 340", Drum: price(560), Unit: price(360)})
		if err != nil {
			t.Fatal(err)
		}
		saysAll(t, told(t, a), "leaves more over: 3.36 a kilogram, drums 0.80", "235.37", "2.72", "30.96 h")
		a, _ = v.Margins(office.MarginAsk{Product: "summer 340", Drum: price(560), Unit: price(260)})
		saysAll(t, told(t, a), "Drums leave more over", "2.72")
		close := q.Reading{Figure: cr(272), PlusMinus: cr(30)}
		a, _ = v.Margins(office.MarginAsk{Product: "summer 340", Drum: price(560), Unit: close})
		saysAll(t, told(t, a), "Too close to call")
		a, _ = v.Margins(office.MarginAsk{Product: "blend 340", Drum: price(560), Unit: price(360)})
		saysAll(t, told(t, a), "Can't say for blend 340", "part of what it cost") // the bought honey has no price
		a, _ = v.Margins(office.MarginAsk{})
		saysAll(t, told(t, a), "Can't say for", "summer 340")
		if a, _ = v.Margins(office.MarginAsk{Product: "nothing"}); a.Cannot == nil {
			t.Error("a product that was never packed has a margin")
		}
		// one gram on 100,000 jars is 100 kg, 480 at 4.80: arithmetic
		saysAll(t, told(t, v.OneGram("", 100_000)), "480.00", "100.0 kg")
		saysAll(t, told(t, v.OneGram("summer 340", 0)), "6 312", "30.30")
		saysAll(t, told(t, v.OneGram("R2", 0)), "6 312", "30.30") // of a run: its product
		for _, no := range []record.Code{"D020", "plum spread 220", "nothing"} {
			if a := v.OneGram(no, 0); a.Cannot == nil {
				t.Errorf("a gram of %s: %s", no, told(t, a))
			}
		}
		saysAll(t, told(t, v.LabTests()), "3 samples to send, for 420.00", "L07")
	})
}
