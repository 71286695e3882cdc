package office

import (
	"context"
	"errors"
	"math"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// blendEdition names the models that a plan was reckoned with.
const blendEdition = "limits with the readings' doubt, in whole grams, 1"

// PlanOf is a blend as a plan to be recorded under a number, with the contents as the
// search saw them; false when there is no blend.
func (w *BlendWork) PlanOf(code record.Code) (f *record.BlendPlanned, shown []house.Shown, ok bool) {
	s, k := w.State(), w.Case
	var draws []blend.Draw
	var b blend.Blend
	switch {
	case s.Found != nil && s.Found.Plan != nil:
		draws, b = s.Found.Plan.Draws, s.Found.Plan.Blends[0]
	case s.Checked != nil && len(s.Checked.Faults) == 0 && len(k.Out) == 0 && len(s.Checked.Draws) > 0:
		draws, b = s.Checked.Draws, s.Checked.Blend
	default:
		return nil, nil, false
	}
	f = &record.BlendPlanned{Plan: code, Product: k.Ask.Product, To: k.Ask.Tank, Due: k.Ask.Due, Edition: blendEdition,
		Wanted: record.Weight{Figure: quantity.OfGrams(k.Problem.Batches[0].Grams), How: quantity.Typed}, Risk: chanceFigure(k.Problem.Risk)}
	if k.Ask.Order != "" {
		f.Orders = []record.Code{k.Ask.Order}
	}
	for _, u := range k.Uses(draws) {
		p := record.PlannedPart{Content: u.Content.Code, Mass: record.Weight{Figure: quantity.OfGrams(u.Draw.Grams), How: quantity.Calculated}}
		if p.All = record.No; u.Left <= 0 {
			p.All = record.Yes
		}
		f.Parts = append(f.Parts, p)
		in := u.Content.Code // a filling of a vessel is looked for by the vessel, which may hold another by now
		if u.Content.Vessel != "" {
			in = u.Content.Vessel
		}
		shown = append(shown, house.Shown{Code: in, Content: u.Shown})
	}
	worst := 0.0
	for _, x := range b.Figures {
		worst = max(worst, x.Chance)
	}
	f.Breach = chanceFigure(worst)
	f.Limits, f.Origin = k.promises()
	return f, shown, true
}

// chanceFigure is a chance in per cent.
func chanceFigure(chance float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(10_000 * chance)), Decimals: 2, Unit: quantity.Pct}
}

// promises are the limits that were kept beyond the law's, and the label.
func (k *BlendCase) promises() (all []record.Promise, origin []record.CountryShare) {
	b := k.Problem.Batches[0]
	for i, l := range b.Limits {
		if k.Origin[i] == "law" || len(l.Ways) != 1 {
			continue
		}
		t := l.Ways[0][0]
		p, ok := PropertyOf(t.Measure)
		if f, is := figureOf[p]; !ok || !is || blend.Measure(f) != t.Measure {
			continue // a forecast or a ratio is no reading
		}
		x := record.Promise{Property: p, Bound: record.Below, Value: bound(t.Measure, t.Bound)}
		if t.Least {
			x.Bound = record.Above
		}
		all = append(all, x)
	}
	for _, c := range b.Label {
		origin = append(origin, record.CountryShare{Country: c.Country, Percent: percentFigure(float64(c.Percent))})
	}
	return all, origin
}

// AcceptBlend records a blend as a plan. Contents that changed since the search are
// asked about; one that now breaks a limit is refused.
func (o *Office) AcceptBlend(ctx context.Context, w *BlendWork, d house.Draft, code record.Code) (Receipt, error) {
	if code == "" {
		o.Read(func(v *View) { code = v.NextCode(record.Plan, "P-1") })
	}
	f, shown, ok := w.PlanOf(code)
	if !ok {
		return Receipt{}, &house.Refusal{Key: "refused.plan-none", Next: "next.plan-again"}
	}
	d.Facts, d.Shown = []record.Fact{f}, append(d.Shown, shown...)
	return o.Submit(ctx, d)
}

// plansSound refuses a planned blend that breaks a rule, however it was written down: a
// plan may be refused, what happened never is.
func plansSound(s *house.State, d *house.Draft, today record.Day) error {
	for _, f := range d.Facts {
		p, ok := f.(*record.BlendPlanned)
		if !ok {
			continue
		}
		if err := planSound(&View{State: s}, p, today); err != nil {
			return err
		}
	}
	return nil
}

func planSound(v *View, f *record.BlendPlanned, today record.Day) error {
	ask := BlendAsk{Product: f.Product, Tank: f.To, Risk: f.Risk}
	for _, p := range f.Parts {
		ask.Only = append(ask.Only, AskedPart{p.Content, p.Mass.Grams()})
	}
	for _, l := range f.Limits {
		m, ok := figureOf[l.Property]
		if !ok {
			continue
		}
		value := l.Value
		d := Demand{Measure: blend.Measure(m), Most: &value}
		if l.Bound == record.Above {
			d.Least, d.Most = &value, nil
		}
		ask.Demands = append(ask.Demands, d)
	}
	for _, c := range f.Origin {
		percent := c.Percent
		ask.Demands = append(ask.Demands, Demand{Share: true, By: blend.ByCountry, Name: c.Country, Stated: true, Least: &percent})
	}
	k, err := v.BlendCase(ask, today)
	var wrong *BlendWrong
	switch {
	case errors.As(err, &wrong):
		return &house.Refusal{Key: wrong.Key, Args: wrong.Args, Next: wrong.Next}
	case err != nil:
		return &house.Refusal{Key: "refused.malformed", Args: answer.Args{"why": err.Error()}, Next: "next.type-again"}
	}
	x, err := k.check()
	if err != nil {
		return &house.Refusal{Key: "refused.malformed", Args: answer.Args{"why": err.Error()}, Next: "next.type-again"}
	}
	if faults := k.FaultLines(x); len(faults) > 0 {
		return &house.Refusal{Key: "refused.plan-breaks", Args: answer.Args{"plan": f.Plan, "why": faults[0]}, Next: "next.plan-again"}
	}
	return nil
}
