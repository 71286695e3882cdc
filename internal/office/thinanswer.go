package office

import (
	"math"

	"combline/internal/answer"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Answer says how much dry honey it takes, whether that is here, how sure it is, and
// whether the mix keeps.
func (t *Thin) Answer() answer.Answer {
	a := answer.Answer{Question: "two-drums"}
	at := t.Rows[0]
	wet := t.Known[record.Water]
	a.Say("thin.wet", answer.Args{"wet": codesOfParts(t.Ask.Wet), "mass": t.WetKg, "water": usualFigure(record.Water, wet.Value.Value), "to": t.Ask.To})
	for _, r := range t.Rows {
		a.Lines = append(a.Lines, t.Says(r))
	}
	if !t.Ask.Soft && at.Mixture != nil {
		for _, r := range t.Rows {
			if r.Key == "thin.keeps" && r.Mixture != nil {
				a.Warn("thin.never-soft", answer.Args{"crystals": percentFigure(softCrystals), "liquid": usualWater(r.Liquid)})
			}
		}
	}
	t.table(&a)
	t.partsTable(&a)
	if keeps := t.row("thin.keeps"); keeps == nil || keeps.Mixture == nil || !keeps.There {
		a.Then("thin.next.cooking", nil)
	} else {
		a.Then("thin.next.count", nil)
	}
	if !t.Known[record.Yeast].Value.Known() {
		a.Then("thin.next.yeast", answer.Args{"of": codesOfParts(t.Ask.Wet)})
	}
	a.RestsOn("blend.rests.record", answer.Args{"facts": int64(t.Facts)})
	for _, r := range wet.Reads {
		a.RestsOn("thin.rests", answer.Args{"of": r.Of, "when": r.When, "fact": int64(r.Seq)})
	}
	if t.Assumed {
		a.RestsOn("blend.rests.assumed", nil)
	}
	a.Follows("thin.follows", nil)
	a.Follows("blend.follows.ferment", nil)
	return a
}

func codesOfParts(parts []AskedPart) (all []record.Code) {
	for _, p := range parts {
		all = append(all, p.Code)
	}
	return all
}

func (t *Thin) row(key string) *ThinRow {
	for i := range t.Rows {
		if t.Rows[i].Key == key {
			return &t.Rows[i]
		}
	}
	return nil
}

// Says is one row as a sentence.
func (t *Thin) Says(r ThinRow) answer.Line {
	if r.Mixture == nil {
		return answer.Line{Key: r.Key + ".none", Mark: answer.Bad, Args: answer.Args{"to": r.Target}}
	}
	l := answer.Line{Key: r.Key, Args: answer.Args{"dry": grams1(r.DryKg), "total": grams1(r.Total), "to": r.Target, "water": usualFigure(record.Water, r.Water.Value),
		"chance": quantity.Percent(100 * r.Chance), "there": r.There, "lack": grams1(r.LackKg), "yeast": orUnknown(yeastCell(r.Yeast)), "keeps": r.Keeping.Keeping == honey.Keeps,
		"limit": usualFigure(record.Yeast, float64(r.Keeping.Limit)), "why": answer.Key(keepingKey(r.Keeping))}}
	if !r.There {
		l.Mark = answer.Bad
	} else if r.Keeping.Keeping != honey.Keeps {
		l.Mark = answer.Care
	}
	return l
}

// grams1 is a mass of the model to the gram.
func grams1(kg quantity.Kg) quantity.Gram { return quantity.Gram(math.Round(float64(kg) * 1000)) }

func yeastCell(y float64) any {
	if math.IsNaN(y) {
		return nil
	}
	return usualFigure(record.Yeast, y)
}

// keepingKey says whether a mix keeps, and why not.
func keepingKey(r honey.FermentRisk) string {
	switch {
	case r.Keeping == honey.Keeps && r.Reason == honey.FermentAtLimit:
		return "thin.keeping.at-limit"
	case r.Keeping == honey.Keeps:
		return "thin.keeping.yes"
	case r.Reason == honey.FermentNotCounted:
		return "thin.keeping.not-counted"
	case r.Reason == honey.FermentWet:
		return "thin.keeping.wet"
	case r.Keeping == honey.KeepsNot:
		return "thin.keeping.yeast"
	}
	return "unknown"
}

func (t *Thin) table(a *answer.Answer) {
	table := a.Table("thin", "aim", "dry_g", "total_g", "water_pct", "plus_minus", "chance_pct", "yeast_per_g", "keeps", "here")
	for _, r := range t.Rows {
		name := answer.Line{Key: r.Key + ".aim", Args: answer.Args{"to": r.Target}}
		if r.Mixture == nil {
			table.Row(answer.Bad, name, nil, nil, nil, nil, nil, nil, nil, answer.Key("thin.no-amount"))
			continue
		}
		mark := answer.Plain
		here := any(answer.Key("yes"))
		if !r.There {
			mark, here = answer.Bad, answer.Line{Key: "thin.lacks", Args: answer.Args{"mass": grams1(r.LackKg)}}
		} else if r.Keeping.Keeping != honey.Keeps {
			mark = answer.Care
		}
		low, high := r.Water.Band9in10()
		table.Row(mark, name, grams1(r.DryKg), grams1(r.Total), usualFigure(record.Water, r.Water.Value), quantity.Figure{Mantissa: int64(math.Round(50 * (high - low))), Decimals: 2, Unit: quantity.Pct},
			quantity.Percent(100*r.Chance), yeastCell(r.Yeast), answer.Key(keepingKey(r.Keeping)), here)
	}
}

// partsTable says how much of each dry honey, for the amounts that are here.
func (t *Thin) partsTable(a *answer.Answer) {
	table := a.Table("thin-parts", "content", "mass_g", "water_pct", "at_g", "lower_g", "sure_g", "keeps_g", "spare_g")
	for i, x := range t.Dry {
		cells := []any{x.Content.Code, t.Ask.Dry[i].Grams, readCell(x.Known, record.Water)}
		used := false
		for _, key := range []string{"thin.at", "thin.lower", "thin.sure", "thin.keeps", "thin.spare"} {
			var cell any
			if r := t.row(key); r != nil && r.Mixture != nil && i < len(r.Dry) {
				m := min(grams1(r.Dry[i]), t.Ask.Dry[i].Grams)
				cell = m
				used = used || m > 0
			}
			cells = append(cells, cell)
		}
		if used {
			table.Row(answer.Plain, cells...)
		}
	}
}
