package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/quantity"
	"combline/internal/record"
)

// RecallOf is a recall by its code.
func (v *View) RecallOf(code record.Code) (goods.Recall, bool) {
	for _, r := range v.State.Goods.Recalls() {
		if r.Recall.Fold() == code.Fold() {
			return r, true
		}
	}
	return goods.Recall{}, false
}

// RecallReport is how a recall or its practice went: its clock step by step, who was told
// and when, what is accounted for, and the list itself. ok is false when no recall bears
// the code.
func (v *View) RecallReport(code record.Code, now record.When) (a answer.Answer, ok bool) {
	r, ok := v.RecallOf(code)
	if !ok {
		return a, false
	}
	a = answer.Answer{Question: "recall-report", Of: r.Recall}
	a.Say("recall.report.what", answer.Args{"kind": answer.Key(r.Scope.Key()), "cause": answer.Key(r.Cause.Key()), "of": r.Roots})
	v.recallClock(&a, r, now)
	if r.Reason != "" {
		a.Say("recall.report.reason", answer.Args{"reason": r.Reason})
	}
	if r.Told != "" {
		a.Say("recall.report.told", answer.Args{"told": r.Told})
	}
	steps := a.Table("recall-steps", "when", "after", "did", "customer", "units", "note")
	steps.Row(answer.Plain, r.When, quantity.Minutes(0), answer.Key("kind.recall-started"), nil, nil, nil)
	for _, s := range r.Steps {
		steps.Row(answer.Plain, s.When, quantity.Minutes(s.When.Minute-r.When.Minute), answer.Key(s.Step.Key()), orNil(s.Customer), countOrNil(s.Units), textOrNil(s.Note))
	}
	if r.Ended != nil {
		steps.Row(answer.Plain, r.EndedAt.When, quantity.Minutes(r.EndedAt.When.Minute-r.When.Minute), answer.Key("kind.recall-ended"), nil, nil, textOrNil(r.Ended.Note))
	}
	for i, root := range r.Roots {
		list := v.RecallList(root)
		a.Lines = append(a.Lines, list.Lines...)
		if len(r.Roots) > 1 { // whose tables these are
			a.Tables = append(a.Tables, answer.Table{Key: "recall-root", Columns: []answer.Column{{Key: "of"}}, Rows: []answer.Row{{Cells: []any{root}}}})
		}
		v.toldAt(&list, r)
		a.Tables = append(a.Tables, list.Tables...)
		if i == mostRoots-1 {
			break
		}
	}
	a.Follows("recall.practice", nil)
	v.restsOnRecord(&a)
	return a, true
}

// mostRoots are as many lists as one report holds.
const mostRoots = 8

// recallClock says when it began, when it ended, and how long that took.
func (v *View) recallClock(a *answer.Answer, r goods.Recall, now record.When) {
	if r.Ended == nil {
		a.Warn("recall.report.runs", answer.Args{"since": r.When, "took": quantity.Minutes(max(0, now.Minute-r.When.Minute))})
		return
	}
	a.Say("recall.report.took", answer.Args{"from": r.When, "to": r.EndedAt.When, "took": quantity.Minutes(r.EndedAt.When.Minute - r.When.Minute)})
	if r.Ended.Back.Given() {
		a.Say("recall.report.back", answer.Args{"units": r.Ended.Back})
	}
	if r.Ended.Destroyed.Given() {
		a.Say("recall.report.destroyed", answer.Args{"units": r.Ended.Destroyed})
	}
}

// toldAt adds to the list of whom to call when each was told.
func (v *View) toldAt(list *answer.Answer, r goods.Recall) {
	i := slices.IndexFunc(list.Tables, func(t answer.Table) bool { return t.Key == "recall-contacts" })
	if i < 0 {
		return
	}
	t := &list.Tables[i]
	t.Columns = append(slices.Clone(t.Columns), answer.Column{Key: "told"})
	for j := range t.Rows {
		row := &t.Rows[j]
		var told any = answer.Key("recall.not-told")
		for _, s := range r.Steps {
			if _, already := told.(record.When); s.Step == record.RecallCustomerTold && !already && s.Customer != "" && s.Customer.Fold() == code(row.Cells[0]).Fold() {
				told = s.When
			}
		}
		if _, already := told.(record.When); !already {
			row.Mark = answer.Care
		}
		row.Cells = append(slices.Clone(row.Cells), told)
	}
}

// recallSums says in short what a recall list comes to: what left and to how many, what
// is still here, by share and apart by possibility, and how much of the whole is
// accounted for.
func (v *View) recallSums(a *answer.Answer, of record.Code) {
	for _, t := range a.Tables {
		if t.Key == "recall-contacts" || len(t.Rows) == 0 && t.Key == "possible" {
			continue
		}
		var sent, here quantity.Gram
		var units int64
		customers := map[string]bool{}
		for _, r := range t.Rows {
			g, _ := r.Cells[5].(quantity.Gram)
			if r.Cells[1] != answer.Key("node.sent") {
				here += g
				continue
			}
			sent += g
			n, _ := r.Cells[4].(int64)
			units += n
			customers[code(r.Cells[2]).Fold()] = true
		}
		a.Say("recall.sum."+t.Key, answer.Args{"sent": sent, "units": units, "n": int64(len(customers)), "here": here})
	}
	w := v.Whereabouts(of)
	if w.Whole <= 0 {
		a.Warn("recall.accounted-unknown", answer.Args{"of": a.Of})
		return
	}
	share := quantity.Percent(100 * float64(w.Found()) / float64(w.Whole))
	line := answer.Line{Key: "recall.accounted", Args: answer.Args{"of": a.Of, "share": share, "whole": w.Whole}}
	if !(share >= 98 && share <= 102) {
		line.Mark = answer.Care
	}
	a.Lines = append(a.Lines, line)
}
