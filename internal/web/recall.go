package web

import (
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// The recall list: what must come back, by share and apart by possibility, and how
// long it takes when it is practised or meant.
type recallPage struct {
	*frame
	Of       string
	Cannot   string
	Took     string
	Share    *sheet
	Possible *sheet
	Contacts *sheet
	Sums     []fact2
	Said     []answerLine // how much of it is accounted for
	Running  []runningRecall
	Start    string
	Last     []fact2
}

// A runningRecall is one that was started and has not ended.
type runningRecall struct {
	Code, Text, Since, Clock, End, Report string
	Seconds                               int64 // since it was started
	Steps                                 []recallStep
	Did                                   []string
}

// A recallStep is a step that is written down with one tap.
type recallStep struct{ Action, Key, Did, Customer, Text string }

func (v *visit) recall() error {
	code := v.of()
	title := v.say("page.recall")
	if code != "" {
		title += " · " + string(code)
	}
	p := recallPage{frame: v.frame("trace", title), Of: string(code), Start: link("/do/recall", "of", string(code), "back", link("/recall", "of", string(code)))}
	var a answer.Answer
	at := time.Now()
	v.s.office.Read(func(h *office.View) {
		if code != "" {
			a = h.RecallList(code)
		}
	})
	p.Took = v.say("page.recall.took", "ms", int64(time.Since(at)/time.Millisecond)+1)
	v.s.office.Read(func(h *office.View) {
		for _, r := range slices.Backward(h.State.Goods.Recalls()) {
			v.addRecall(&p, h, r)
		}
	})
	if code == "" {
		return v.render("recall", p)
	}
	p.about(code)
	if a.Cannot != nil {
		p.Cannot = v.sentence(*a.Cannot)
		return v.render("recall", p)
	}
	if sent, err := v.onPaper(p.frame, v.say("paper.title.recall"), a); sent || err != nil {
		return err
	}
	for _, l := range a.Lines {
		if strings.HasPrefix(l.Key, "recall.accounted") {
			p.Said = append(p.Said, v.line(l))
		}
	}
	t := tablesOf(a)
	p.Share, p.Possible = v.recallSheet(t["share"], &p, "page.recall.share"), v.recallSheet(t["possible"], &p, "page.recall.possible")
	if c := t["recall-contacts"]; len(c.Rows) > 0 {
		p.Contacts = v.sheetTo(recallAPage, c, 0, "")
	}
	return v.render("recall", p)
}

func (v *visit) addRecall(p *recallPage, h *office.View, r goods.Recall) {
	report := link("/recall/report", "of", string(r.Recall))
	text := string(r.Recall) + " · " + v.say(r.Scope.Key()) + " · " + v.text(r.Roots)
	if r.Ended != nil {
		took := quantity.Minutes(r.EndedAt.When.Minute - r.When.Minute)
		p.Last = append(p.Last, fact2{text, v.text(r.When) + " · " + v.c.Duration(took), report})
		return
	}
	seconds := max(0, v.now.Unix()-r.When.Minute*60)
	back := link("/recall", "of", p.Of)
	if p.Of == "" && len(r.Roots) > 0 {
		back = link("/recall", "of", string(r.Roots[0]))
	}
	run := runningRecall{Code: string(r.Recall), Text: text, Since: v.text(r.When), Seconds: seconds, Report: report,
		Clock: v.c.Duration(quantity.Minutes(float64(seconds) / 60)), End: link("/do/recall-end", "of", string(r.Recall), "back", report)}
	for _, s := range r.Steps {
		did := v.say(s.Step.Key())
		if s.Customer != "" {
			did += ": " + customerOf(h, s.Customer)
		}
		run.Did = append(run.Did, did+", "+v.c.Duration(quantity.Minutes(s.When.Minute-r.When.Minute)))
	}
	run.Steps = v.recallSteps(h, r, link("/do/recall-step", "of", string(r.Recall), "back", back))
	p.Running = append(p.Running, run)
}

// recallSteps are the steps that have not been done: of the house, then each customer to
// be told.
func (v *visit) recallSteps(h *office.View, r goods.Recall, action string) (all []recallStep) {
	done := func(step record.RecallStepKind, customer record.Code) bool {
		return slices.ContainsFunc(r.Steps, func(s goods.RecallStep) bool { return s.Step == step && s.Customer.Fold() == customer.Fold() })
	}
	for _, step := range []record.RecallStepKind{record.RecallMarkFound, record.RecallListMade, record.RecallStockHeld, record.RecallAuthorityTold} {
		if !done(step, "") {
			all = append(all, recallStep{action, newKey(), step.String(), "", v.say(step.Key())})
		}
	}
	for _, c := range h.RecallCustomers(r.Roots) {
		if len(all) < mostTaps && !done(record.RecallCustomerTold, c) {
			all = append(all, recallStep{action, newKey(), record.RecallCustomerTold.String(), string(c), v.say("page.recall.tell", "name", customerOf(h, c))})
		}
	}
	return all
}

// mostTaps are as many steps as have a button of their own; others are written by hand.
const mostTaps = 16

// recallStepTask writes down a step of a running recall.
func (v *visit) recallStepTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Recall)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.recall-step") + " · " + string(of), Parts: []part{{Kind: record.KindRecallStep,
		Fixed: map[string]string{"recall": string(of)}, Cells: []cell{{Name: "did"}, {Name: "customer"}, {Name: "units"}, {Name: "note"}}}}}, nil
}

// recallReport is how a recall or its practice went, to be printed.
func (v *visit) recallReport() error {
	p := goodsPage{frame: v.frame("trace", v.say("paper.title.recall-report")), Print: true}
	var a answer.Answer
	known := false
	v.s.office.Read(func(h *office.View) { a, known = h.RecallReport(v.of(), record.At(v.now)) })
	if !known {
		return &notThere{v.of(), nil}
	}
	p.Title += " · " + string(a.Of)
	if sent, err := v.onPaper(p.frame, v.say("paper.title.recall-report"), a); sent || err != nil {
		return err
	}
	p.Acts = []option{{Text: v.say("page.recall"), Href: "/recall", Value: "list"}, {Text: v.say("page.history"), Href: link("/history", "of", string(a.Of)), Value: "list"}}
	v.answered(&p, a)
	return v.render("goods", p)
}

// recallSheet is one list, with a box to tick for each line on paper, and its sums.
func (v *visit) recallSheet(t answer.Table, p *recallPage, title string) *sheet {
	var sent, here quantity.Gram
	var units int64
	for _, r := range t.Rows {
		if r.Cells[1] == answer.Key("node.sent") {
			sent += r.Cells[5].(quantity.Gram)
			units += intOf(r.Cells[4])
		} else {
			here += r.Cells[5].(quantity.Gram)
		}
	}
	at := 0
	if v.arg("list") == t.Key {
		at = v.from(len(t.Rows), recallAPage)
	}
	n := len(t.Rows)
	t.Rows = t.Rows[at:min(n, at+recallAPage)]
	s := v.sheet(t)
	s.Title, s.Count = v.say(title), n
	s.Parts = v.parts(n, at, recallAPage, "/recall", "of", p.Of, "list", t.Key)
	for i := range s.Rows { // an address or number that does not apply is no open question
		for j, c := range t.Rows[i].Cells {
			if c == nil && (t.Columns[j].Key != "place" || t.Rows[i].Cells[1] == answer.Key("node.sent")) {
				s.Rows[i].Cells[j].Text = "–"
			}
		}
	}
	p.Sums = append(p.Sums, fact2{v.say(title), v.say("page.recall.sum", "sent", sent, "units", units, "here", here), ""})
	return s
}

// recallTask starts a recall, or its practice: the clock runs from then.
func (v *visit) recallTask(of record.Code) (*task, error) {
	t := &task{Of: of, Alarm: true, Go: v.say("page.task.recall.go"), Note: v.say("page.task.recall.note")}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		if x, ok := h.State.Find(of); ok {
			of = h.State.Code(x)
			likely = []option{{Value: string(of), Text: string(of), Note: v.say(h.State.KindOf(x).Key()), On: true}}
		}
		t.Parts = []part{{Kind: record.KindRecallStarted, Cells: []cell{
			{Name: "kind", Start: "practice"}, {Name: "roots", Likely: likely, Need: true}, {Name: "cause"}, {Name: "told", Hint: v.say("page.task.recall.told")}, {Name: "reason"},
			{Name: "recall", Start: string(h.NextCode(record.Recall, "RC-01"))}}}}
	})
	return t, nil
}

// recallEndTask stops the clock and counts what came back.
func (v *visit) recallEndTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Recall)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.recall-end", "recall", string(of)), Keys: true, Parts: []part{{Kind: record.KindRecallEnded,
		Fixed: map[string]string{"recall": string(of)}, Cells: []cell{{Name: "units_back"}, {Name: "units_destroyed"}, {Name: "note"}}}}}, nil
}
