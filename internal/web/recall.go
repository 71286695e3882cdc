package web

import (
	"slices"
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
	Running  []runningRecall
	Start    string
	Last     []fact2
}

// A runningRecall is one that was started and has not ended.
type runningRecall struct {
	Code, Text, Since, Clock, End string
	Seconds                       int64 // since it was started
}

func (v *visit) recall() error {
	code := v.of()
	title := v.say("page.recall")
	if code != "" {
		title += " · " + string(code)
	}
	p := recallPage{frame: v.frame("trace", title), Of: string(code), Start: link("/do/recall", "of", string(code), "back", link("/recall", "of", string(code)))}
	var a answer.Answer
	var recalls []goods.Recall
	at := time.Now()
	v.s.office.Read(func(h *office.View) {
		if code != "" {
			a = h.RecallList(code)
		}
		recalls = h.State.Goods.Recalls()
	})
	p.Took = v.say("page.recall.took", "ms", int64(time.Since(at)/time.Millisecond)+1)
	for _, r := range slices.Backward(recalls) {
		v.addRecall(&p, r)
	}
	if code == "" {
		return v.render("recall", p)
	}
	p.about(code)
	if a.Cannot != nil {
		p.Cannot = v.sentence(*a.Cannot)
		return v.render("recall", p)
	}
	t := tablesOf(a)
	p.Share, p.Possible = v.recallSheet(t["share"], &p, "page.recall.share"), v.recallSheet(t["possible"], &p, "page.recall.possible")
	if c := t["recall-contacts"]; len(c.Rows) > 0 {
		p.Contacts = v.sheetTo(recallAPage, c, 0, "")
	}
	return v.render("recall", p)
}

func (v *visit) addRecall(p *recallPage, r goods.Recall) {
	text := string(r.Recall) + " · " + v.say(r.Scope.Key()) + " · " + v.text(r.Roots)
	if r.Ended != nil {
		took := quantity.Minutes(r.EndedAt.When.Minute - r.When.Minute)
		p.Last = append(p.Last, fact2{text, v.text(r.When) + " · " + v.c.Duration(took), link("/history", "of", string(r.Recall))})
		return
	}
	seconds := max(0, v.now.Unix()-r.When.Minute*60)
	p.Running = append(p.Running, runningRecall{Code: string(r.Recall), Text: text, Since: v.text(r.When), Seconds: seconds,
		Clock: v.c.Duration(quantity.Minutes(float64(seconds) / 60)), End: link("/do/recall-end", "of", string(r.Recall), "back", link("/recall", "of", p.Of))})
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
