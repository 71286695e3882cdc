package office

import (
	"combline/internal/answer"
	"combline/internal/record"
)

// ScaleList answers of every instrument whether it is right today: its last check against
// something known, and what was weighed since the last good one where it is off.
func (v *View) ScaleList(today record.Day) answer.Answer {
	a := answer.Answer{Question: "scales"}
	t := a.Table("scales", "of", "what", "result", "against", "verdict", "when", "in_doubt")
	var off, late int64
	for _, tool := range v.Care(today).Tools {
		if tool.Check == nil {
			late++
			t.Row(answer.Care, tool.Instrument, textOrNil(tool.What), nil, nil, answer.Key("scales.never"), nil, nil)
			continue
		}
		f := tool.Check.Fact
		key, mark := "scales.right", answer.Good
		s := v.JudgeScale(tool.Instrument, f.Against, f.Read)
		doubted := any(nil)
		switch {
		case f.InOrder == record.No || s.Known && !s.InOrder():
			off++
			key, mark = "scales.off", answer.Bad
			if codes, _, _ := v.WeighedSince(tool.Instrument); len(codes) > 0 {
				doubted = int64(len(codes))
			}
			a.Then("next.scales.off", answer.Args{"of": tool.Instrument})
		case DayOf(tool.Check.When) != today:
			late++
			key, mark = "scales.not-today", answer.Care
		case !s.Known && f.InOrder != record.Yes:
			key, mark = "scales.unknown", answer.Care
		}
		t.Row(mark, tool.Instrument, textOrNil(tool.What), f.Read, f.Against, answer.Key(key), tool.Check.When, doubted)
	}
	args := answer.Args{"off": off, "late": late, "n": int64(len(t.Rows)), "day": today}
	switch {
	case len(t.Rows) == 0:
		a.Cannot = &answer.Line{Key: "scales.none"}
	case off > 0:
		a.Lines = append(a.Lines, answer.Line{Key: "scales.some-off", Args: args, Mark: answer.Bad})
	case late > 0:
		a.Warn("scales.some-late", args)
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "scales.all-right", Args: args, Mark: answer.Good})
	}
	v.restsOnRecord(&a)
	return a
}
