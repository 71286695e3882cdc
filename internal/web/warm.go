package web

import (
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/heat"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// How to warm drums so that they can be filled by a time. It is asked by a form that
// records nothing; the answer takes a second or two.
type warmPage struct {
	*frame
	Of, By, Most, Power, Water string
	Hint                       string
	Grains                     []option
	Settings                   []option
	Refused, Next              string
	Lines                      []answerLine
	Sheets                     []*sheet
	Do                         []answerLine
	Beware                     []answerLine
	Rests                      []string
	Wish                       string
	Wanted                     *sheet
}

func (v *visit) warm() error {
	p := warmPage{frame: v.frame("stock", v.say("page.warm")), Of: v.arg("of"), By: v.arg("by"), Most: v.arg("most"), Power: v.arg("power"), Water: v.arg("water"), Hint: v.say("page.warm.of-hint")}
	p.Grains = v.options(v.arg("grain"), "fine", option{Value: "fine", Text: v.say("grain.fine")}, option{Value: "medium", Text: v.say("grain.medium")},
		option{Value: "coarse", Text: v.say("grain.coarse")}, option{Value: "clear", Text: v.say("page.warm.clear")})
	p.Settings = v.options(v.arg("settings"), "2", option{Value: "1", Text: "1"}, option{Value: "2", Text: "2"}, option{Value: "3", Text: "3"})
	if p.By == "" {
		p.By = v.now.AddDate(0, 0, 7).Format("2006-01-02") + "T07:00"
	}
	if v.arg("work") != "" {
		if err := v.warmed(&p); err != nil {
			return err
		}
	}
	v.wanted(&p)
	return v.render("warm", p)
}

// options marks the one that is chosen.
func (v *visit) options(chosen, otherwise string, all ...option) []option {
	if !offered(all, chosen) {
		chosen = otherwise
	}
	for i := range all {
		all[i].On = all[i].Value == chosen
	}
	return all
}

// wanted lists what is written down as wanted warm.
func (v *visit) wanted(p *warmPage) {
	var day answer.Answer
	v.s.office.Read(func(h *office.View) { day = h.WarmWeek(v.now) })
	for _, t := range day.Tables {
		if t.Key == "to-warm" && len(t.Rows) > 0 {
			p.Wanted = v.sheet(t, "mass_g", "place")
		}
	}
}

// warmed works the plan out, or says in the form why not.
func (v *visit) warmed(p *warmPage) error {
	ask, why := v.warmAsk(p)
	if why == nil {
		var a answer.Answer
		if a, why = v.s.office.Warming(ask); why == nil {
			v.warmAnswer(p, ask, a)
			return nil
		}
	}
	if no, ok := why.(*house.Refusal); ok {
		p.Refused, p.Next = v.refusal(no), v.next(no)
		return nil
	}
	return why
}

// warmAsk reads the form.
func (v *visit) warmAsk(p *warmPage) (ask office.WarmAsk, err error) {
	ask = office.WarmAsk{At: v.now, Settings: map[string]int{"1": 1, "2": 2, "3": 3}[v.arg("settings")], Clear: v.arg("grain") == "clear",
		Grain: map[string]heat.Grain{"fine": heat.FineGrain, "medium": heat.MediumGrain, "coarse": heat.CoarseGrain}[v.arg("grain")]}
	if ask.Settings == 0 {
		ask.Settings = 2
	}
	by, err := record.ParseWhen(p.By, v.now)
	if err != nil {
		return ask, &house.Refusal{Key: "page.form.when-wrong", Args: answer.Args{"typed": p.By}}
	}
	ask.By = by.Time()
	fact, errs := record.FromCells(record.KindWarmingWanted, map[string]string{"what": p.Of, "ready": by.Time().Format(time.DateOnly)}, v.c.Style().Decimal)
	if wanted, ok := fact.(*record.WarmingWanted); ok && len(errs) == 0 {
		ask.Of = wanted.What
	}
	for _, x := range []struct {
		typed string
		unit  quantity.Unit
		take  func(quantity.Figure)
	}{
		{p.Most, v.c.Style().Temp, func(f quantity.Figure) { ask.Most, _ = f.Celsius() }},
		{p.Power, quantity.KW, func(f quantity.Figure) { ask.PowerKW = f }},
		{p.Water, quantity.Pct, func(f quantity.Figure) { ask.Water = quantity.WaterPct(f.Float()) }},
	} {
		if strings.TrimSpace(x.typed) == "" {
			continue
		}
		f, err := quantity.ParseFigure(x.typed, quantity.Want{Unit: x.unit, Style: v.c.Style().Decimal})
		if err != nil {
			text, _ := v.c.Refusal(err)
			return ask, &house.Refusal{Key: "warm.cannot", Args: answer.Args{"detail": text}}
		}
		x.take(f)
	}
	return ask, nil
}

func (v *visit) warmAnswer(p *warmPage, ask office.WarmAsk, a answer.Answer) {
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			p.Sheets = append(p.Sheets, v.sheet(t, "mass_g", "water_pct", "hmf", "hmf_low"))
		}
	}
	for _, l := range a.Next {
		if strings.HasPrefix(l.Key, "caution.") {
			p.Beware = append(p.Beware, v.line(l))
		} else {
			p.Do = append(p.Do, v.line(l))
		}
	}
	for _, l := range append(a.Rests, a.Sources...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
	codes := make([]string, len(ask.Of))
	for i, c := range ask.Of {
		codes[i] = string(c)
	}
	p.Wish = link("/do/want-warm", "of", strings.Join(codes, "; "), "day", ask.By.Format(time.DateOnly), "clock", ask.By.Format("15:04"), "back", "/warm")
}

// wantWarmTask writes down that contents are wanted warm.
func (v *visit) wantWarmTask(of record.Code) (*task, error) {
	return &task{About: string(of), Back: "/warm", Parts: []part{{Kind: record.KindWarmingWanted, Cells: []cell{
		{Name: "what", Start: v.arg("of")}, {Name: "ready", Start: v.arg("day")}, {Name: "clock", Start: v.arg("clock"), Small: true}, {Name: "temp"}, {Name: "note"}}}}}, nil
}

// warmJobs are the heaters to be lit, for the list of what is due.
func (v *visit) warmJobs(t answer.Table) (all []job) {
	for _, r := range t.Rows {
		codes, _ := r.Cells[2].([]record.Code)
		j := job{Text: v.say("page.warm.light", "of", v.text(r.Cells[2])), Under: v.say("page.warm.by-when", "by", v.text(r.Cells[5])), Class: markClass(r.Mark)}
		if r.Cells[0] != nil {
			j.When, j.Under = v.dayAndHour(r.Cells[0]), v.text(r.Cells[1])+" · "+j.Under
		}
		names := make([]string, len(codes))
		for i, c := range codes {
			names[i] = string(c)
		}
		by, _ := r.Cells[5].(record.When)
		j.Href = link("/warm", "of", strings.Join(names, "; "), "by", by.Time().Format("2006-01-02T15:04"))
		if j.Icon = chipIcons[j.Class]; j.Class == "" {
			j.Icon = "clock"
		}
		all = append(all, j)
	}
	return all
}

// dayAndHour is a moment without its year.
func (v *visit) dayAndHour(c answer.Cell) string {
	w, ok := c.(record.When)
	if !ok {
		return v.text(c)
	}
	return v.c.DayMonth(w.Time()) + " " + v.c.Clock(w.Time())
}
