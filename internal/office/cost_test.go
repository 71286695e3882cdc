package office_test

import (
	"strings"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// told is an answer as a person reads it, line by line and cell by cell.
func told(t *testing.T, a answer.Answer) string {
	t.Helper()
	c, err := words.For(words.English)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, l := range a.Lines {
		b.WriteString(answer.Sentence(c, l) + "\n")
	}
	for _, x := range a.Tables {
		for _, r := range x.Rows {
			for _, cell := range r.Cells {
				b.WriteString(answer.Text(c, cell) + "|")
			}
			b.WriteString("\n")
		}
	}
	if a.Cannot != nil {
		b.WriteString(answer.Sentence(c, *a.Cannot))
	}
	for _, l := range a.Next {
		b.WriteString(answer.Sentence(c, l) + "\n")
	}
	return strings.NewReplacer("\u00a0", " ", "\u202f", " ", "−", "-").Replace(b.String())
}

// write writes facts in the demo house's last hours.
func write(t *testing.T, o *office.Office, at time.Time, facts ...record.Fact) {
	t.Helper()
	d := house.Draft{Person: "owner", Device: "office-pc", When: record.At(at), Facts: facts}
	copy(d.Key[:], t.Name()[max(0, len(t.Name())-8):])
	d.Key[15] = byte(len(facts))
	if _, err := o.Submit(t.Context(), d); err != nil {
		t.Fatal(err)
	}
}

// end is after the last entry of the demo house.
var end = time.Date(2026, 11, 30, 18, 0, 0, 0, time.FixedZone("", 3600))

func saysAll(t *testing.T, got string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(got, w) {
			t.Errorf("does not say %q:\n%s", w, got)
		}
	}
}

// The cost table of the demo house's run, to the last digit. Source: the invented cost
// table of the season, by hand in the tests of package cost.
func TestCostOfTheRun(t *testing.T) {
	o := demoOffice(t)
	saysAll(t, told(t, o.Cost("R2")), "2.433", "15 357.02", "6 312", "6 290", "2.442", "1.3 g", "8.2 kg", "39.39", "1.650", "0.422", "0.080", "0.070", "0.020", "0.093", "0.005", "0.022",
		"Before overheads and carriage")
	saysAll(t, told(t, o.Cost("r2-03")), "15 357.02") // a lot mark asks for its run
	saysAll(t, told(t, o.Cost("D020")), "4.80", "1 392.00", "290.0 kg")
	saysAll(t, told(t, o.Cost("L04")), "4.80", "2 315.0 kg")
}

// What has no price is not nothing: the whole is not said, and what to set is.
func TestCostNotKnown(t *testing.T) {
	o := demoOffice(t)
	got := told(t, o.Cost("R3"))
	saysAll(t, got, "Can't say the whole of R3", "honey, packing stuff, labour", "9 900", "cost.bought", "cost.material.LABEL-6040", "cost.people")
	saysAll(t, told(t, o.Cost("D101")), "Can't say what", "cost.bought")
	saysAll(t, told(t, o.Cost("")), "Can't say the whole", "R2", "SP-01")
	for _, code := range []record.Code{"nope", "O-01"} {
		if a := o.Cost(code); a.Cannot == nil {
			t.Errorf("%s has a cost: %s", code, told(t, a))
		}
	}
}

// A price holds from when it was set: an old run keeps its own.
func TestPriceHoldsFromItsDay(t *testing.T) {
	o := demoOffice(t)
	money := func(m int64) quantity.Figure { return quantity.Figure{Mantissa: m, Decimals: 2, Unit: quantity.Money} }
	write(t, o, end, &record.SettingChanged{Setting: "cost.own", Value: money(520), Reason: "a bad summer"},
		&record.SettingChanged{Setting: "cost.bought", Value: money(310)}, &record.SettingChanged{Setting: "cost.material.LABEL-6040", Value: money(7)},
		&record.SettingChanged{Setting: "cost.people", Value: quantity.Figure{Mantissa: 4, Unit: quantity.Each}})
	saysAll(t, told(t, o.Cost("R2")), "15 357.02")
	got := told(t, o.Cost("R3"))
	saysAll(t, got, "set only later", "3.10", "4.80", "by the clock: 4 people × 9.42 h")
	if strings.Contains(got, "Can't say") {
		t.Errorf("everything is set:\n%s", got)
	}
}
