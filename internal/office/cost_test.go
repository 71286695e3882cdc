package office_test

import (
	"slices"
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

// A run by the clock is work only while somebody is awake: R5 went over a night.
func TestHoursOverNight(t *testing.T) {
	o := demoOffice(t)
	write(t, o, end, &record.SettingChanged{Setting: "cost.people", Value: quantity.Figure{Mantissa: 2, Unit: quantity.Each}})
	saysAll(t, told(t, o.Cost("R5")), "over night", "Can't say the whole")
	saysAll(t, told(t, o.Cost("R6")), "by the clock: 2 people")
	o = demoOffice(t) // half a person is no number of people, and is not rounded to one
	write(t, o, end, &record.SettingChanged{Setting: "cost.people", Value: quantity.Figure{Mantissa: 25, Decimals: 1, Unit: quantity.Each}})
	saysAll(t, told(t, o.Cost("R6")), "2.5 people, want a whole number", "Can't say the whole")
}

// The heat of a week: what the plan warms counts, at two tariffs by the hours. Drums that
// stand from 17:00 to 07:00 next but three mornings are 8 h of each night in the cheap
// hours, so the price lies between the two as their hours do (arithmetic).
func TestEnergyOfTheWeek(t *testing.T) {
	o := demoOffice(t)
	at := time.Date(2026, 9, 14, 12, 0, 0, 0, end.Location())
	v, err := o.AsOf(t.Context(), at)
	if err != nil {
		t.Fatal(err)
	}
	d := &office.DayPlan{}
	for _, x := range []struct {
		days  int
		codes []record.Code
	}{{0, []record.Code{"D001", "D002"}}, {3, []record.Code{"D027"}}, {8, []record.Code{"D028"}}} {
		p := &office.PlanOrder{Steps: []office.PlanStep{{Kind: "warm", From: at.AddDate(0, 0, x.days), To: at.AddDate(0, 0, x.days+4)}}}
		for _, code := range x.codes {
			i := slices.IndexFunc(v.State.Contents(), func(c house.Content) bool { return c.Code == code })
			p.Uses = append(p.Uses, office.BlendUse{Candidate: office.Candidate{Content: v.State.Contents()[i]}})
		}
		d.Orders = append(d.Orders, p)
	}
	a := v.Energy(at, d)
	if rows := a.Tables[0].Rows; len(rows) != 2 || len(rows[0].Cells[0].([]record.Code)) != 2 {
		t.Errorf("three drums are warmed in the week to come: %s", told(t, a))
	}
	saysAll(t, told(t, a), "D001 and D002|580.0 kg|14 Sep 2026, 12:00", "D027|285.0 kg|17 Sep 2026, 12:00")
	saysAll(t, told(t, v.Energy(at, nil)), "still being drawn up")

	wanted := time.Date(2026, 12, 4, 7, 0, 0, 0, end.Location())
	hour := func(h int64) quantity.Figure { return quantity.Figure{Mantissa: h, Unit: quantity.Hour} }
	write(t, o, end, &record.WarmingWanted{What: []record.Code{"D026", "D027"}, Ready: record.DayOf(wanted), Clock: "07:00"},
		&record.SettingChanged{Setting: "cost.night-price", Value: quantity.Figure{Mantissa: 14, Decimals: 2, Unit: quantity.Money}},
		&record.SettingChanged{Setting: "cost.night-from", Value: hour(22)}, &record.SettingChanged{Setting: "cost.night-until", Value: hour(6)})
	o.Read(func(v *office.View) {
		a := v.Energy(end, &office.DayPlan{})
		r := a.Tables[0].Rows[0].Cells
		from := r[2].(record.When).Time()
		cheap, all := 0.0, wanted.Sub(from).Minutes()
		for m := from; m.Before(wanted); m = m.Add(time.Minute) {
			if m.Hour() >= 22 || m.Hour() < 6 {
				cheap++
			}
		}
		kwh := r[6].(quantity.Figure).Float()
		want := kwh * (0.14*cheap + 0.28*(all-cheap)) / all
		got, ok := r[8].(quantity.MoneyCents)
		if !ok || float64(got) < 100*want-3 || float64(got) > 100*want+3 { // kWh are told to 0.1, so the price is within 0.05 × 0.28 and half a cent
			t.Errorf("%v for %v kWh, want %.2f\n%s", got, kwh, want, told(t, a))
		}
	})
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
